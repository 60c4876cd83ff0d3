"""The command line: thin doors onto the same functions that the desk uses."""

from __future__ import annotations

import click

from triage.cli.desk import desk_command
from triage.cli.draft import draft_command
from triage.cli.episode import episode_group
from triage.cli.figure import figure_command
from triage.cli.gaps import gaps_command
from triage.cli.knowledge import knowledge_group
from triage.cli.learn import correct_command, learn_command
from triage.cli.ledger import ledger_group
from triage.cli.recall import recall_command
from triage.cli.score import score_command
from triage.cli.suggest import Suggesting


@click.group(
    cls=Suggesting, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100}
)
@click.version_option(package_name="quillstem")
def main() -> None:
    """Sort riders' questions, work the answers out from cited figures, draft them.

    \b
    Start here:
      quillstem draft sample_inbox --out drafts
      quillstem desk
      quillstem figure travel_per_click_mm cable_pull=2.3mm actuation_ratio=1.7
      quillstem knowledge check
    """


main.add_command(draft_command)
main.add_command(desk_command)
main.add_command(episode_group)
main.add_command(figure_command)
main.add_command(knowledge_group)
main.add_command(ledger_group)
main.add_command(recall_command)
for command in (score_command, correct_command, learn_command, gaps_command):
    main.add_command(command)
