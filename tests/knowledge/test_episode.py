"""The rules of an episode are read from one file, a desk's own laid over it, and every fault names line and field."""

from __future__ import annotations

import csv
import re

import pytest
import yaml

from knowledge.base import HOME
from knowledge.episode import EpisodeRules, load_episode_rules
from knowledge.trouble import KnowledgeError


@pytest.fixture
def own(tmp_path):
    """A desk's own folder with these rules in it."""

    def write(text: str):
        (tmp_path / "episode.yaml").write_text(text, encoding="utf-8")
        return tmp_path

    return write


def refused(folder) -> str:
    with pytest.raises(KnowledgeError) as caught:
        load_episode_rules(folder)
    return str(caught.value)


def test_the_shipped_rules_are_whole_and_cannot_be_changed_by_the_way():
    rules = load_episode_rules()

    assert rules.mix.at_least_one_of == ("not-recommended", "inspect-first")
    with pytest.raises(ValueError, match="frozen"):
        rules.mix.items_at_most = 3


def test_every_rule_in_the_file_has_a_plain_comment():
    lines = (HOME / "episode.yaml").read_text(encoding="utf-8").splitlines()
    rules = load_episode_rules()
    for block in ("time", "weights", "mix", "near_misses", "order"):
        for name in type(getattr(rules, block)).model_fields:
            number = next(n for n, line in enumerate(lines) if line.strip().startswith(f"{name}:"))
            tells = "#" in lines[number] or lines[number - 1].strip().startswith("#")
            assert tells or name == "of_one_topic_at_most", name  # which tells by its name alone


def test_every_topic_has_its_spoken_name():
    with (HOME / "topics.csv").open(encoding="utf-8", newline="") as file:
        topics = {row["topic"] for row in csv.DictReader(file)}

    assert set(load_episode_rules().topics_spoken) == topics


def test_every_kind_of_link_has_variants():
    assert all(len(set(phrases)) >= 2 for _, phrases in load_episode_rules().links)


def test_a_desks_own_file_needs_only_what_it_wants_otherwise(own):
    folder = own("mix:\n  items_at_most: 7\n  at_least_one_of: []\ntopics_spoken:\n  winter: winter riding\n")

    rules = load_episode_rules(folder)
    ours = load_episode_rules()

    assert (rules.mix.items_at_most, rules.mix.at_least_one_of) == (7, ())
    assert rules.mix.weeks_between == ours.mix.weeks_between
    assert rules.weights == ours.weights
    assert rules.topics_spoken == {**ours.topics_spoken, "winter": "winter riding"}


def test_a_folder_without_rules_of_its_own_and_an_empty_file_leave_ours(own, tmp_path):
    assert load_episode_rules(tmp_path) == load_episode_rules()
    assert load_episode_rules(own("# nothing yet\n")) == load_episode_rules()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "weights:\n  safty: 30\n",
            '2: weights.safty: unknown key\n      safty: 30\n    Did you mean "safety"?',
        ),
        (
            "jokes: 3\n",
            "1: jokes: unknown key\n    jokes: 3\n"
            "    One of: links, mix, near_misses, order, time, topics_spoken, weights.",
        ),
        (
            "weights:\n  fresh: 1\n  safety: plenty\n",
            "3: weights.safety: Input should be a valid number\n      safety: plenty",
        ),
        (
            "weights:\n  safety: true\n",
            "2: weights.safety: Input should be a valid number\n      safety: true",
        ),
        (
            "weights:\n  each_further: 1.2\n",
            "2: weights.each_further: Input should be less than or equal to 1\n      each_further: 1.2",
        ),
        (
            "weights:\n  fresh: nan\n",
            "2: weights.fresh: Input should be a valid number\n      fresh: nan",
        ),
        (
            "time:\n  slack_seconds: -5\n",
            "2: time.slack_seconds: Input should be greater than or equal to 0\n      slack_seconds: -5",
        ),
        (
            "mix:\n  items_at_most: 2.5\n",
            "2: mix.items_at_most: Input should be a valid integer\n      items_at_most: 2.5",
        ),
        (
            "mix:\n  at_least_one_of: [not-recomended]\n",
            "2: mix.at_least_one_of.0: Input should be 'yes', 'yes-if', 'not-recommended', 'inspect-first', 'need-more' "
            "or 'explain'\n      at_least_one_of: [not-recomended]",
        ),
        (
            "time: 900\n",
            "1: time: Input should be a valid dictionary or instance of TimeRules\n    time: 900",
        ),
        (
            "links:\n  closer:\n    - One to go.\n    - '{rider} has the last word.'\n",
            "4: links.closer.1: only {topic} can be put in\n        - '{rider} has the last word.'",
        ),
        (
            "links:\n  closer: ['{topic']\n",
            "2: links.closer.0: mind the braces: expected '}' before end of string\n      closer: ['{topic']",
        ),
        (
            "links:\n  closer: []\n",
            "2: links.closer: Tuple should have at least 1 item after validation, not 0\n      closer: []",
        ),
        ("mix: [1\n", "2: file: not readable as YAML: did not find expected ',' or ']'\n    Mind indents and quotes."),
        ("mix: 1\nmix: 2\n", "1: file: not readable as YAML: line 2: mix: stands twice\n    Mind indents and quotes."),
        ("- mix\n", "1: file: expected keys such as weights: and mix:"),
    ],
)  # fmt: skip
def test_a_fault_is_told_with_line_and_field(own, text, told):
    folder = own(text)

    assert refused(folder) == f"{folder / 'episode.yaml'}:{told}\n\n1 problem in 1 file. Nothing was run."


def test_all_faults_are_told_together(own):
    message = refused(own("time:\n  slack_seconds: -5\nmix:\n  items_at_most: 0\n"))

    assert "episode.yaml:2: time.slack_seconds" in message
    assert "episode.yaml:4: mix.items_at_most" in message
    assert message.endswith("2 problems in 1 file. Nothing was run.")


def test_a_rule_that_is_missing_is_told(own, monkeypatch, tmp_path):
    ours = yaml.safe_load((HOME / "episode.yaml").read_text(encoding="utf-8"))
    del ours["mix"]["weeks_between"]
    home = tmp_path / "home"
    home.mkdir()
    (home / "episode.yaml").write_text(yaml.safe_dump(ours, sort_keys=False), encoding="utf-8")
    monkeypatch.setattr("knowledge.episode.HOME", home)

    message = refused(None)

    assert "mix.weeks_between: Field required" in message
    assert load_episode_rules(own("mix: {weeks_between: 4}\n")).mix.weeks_between == 4


def test_the_rules_survive_a_round_trip():
    rules = load_episode_rules()

    assert EpisodeRules.model_validate(rules.model_dump()) == rules


def test_every_number_of_the_shipped_rules_has_its_unit_beside_it_and_is_said_to_be_our_own_choice():
    text = (HOME / "episode.yaml").read_text(encoding="utf-8")
    numbers = re.findall(r"^  \w+: -?[\d.]+.*$", text, re.MULTILINE)

    assert len(numbers) > 30
    assert [line for line in numbers if not re.search(r"# \[[^\]]+\]", line)] == []
    assert "this desk's own choice" in text
