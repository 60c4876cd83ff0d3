"""What a run leaves in its folder: the drafts for programs, the script, the replies, the sheet, the summary."""

from triage.output.write import write_outputs

__all__ = ["write_outputs"]
