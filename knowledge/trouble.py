"""Trouble in a knowledge file: where it is, what is wrong, what to do, with the line as it was typed."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Trouble:
    """One fault of one file."""

    file: str
    line: int
    field: str
    wrong: str
    remedy: str = ""
    typed: str = ""

    def __str__(self) -> str:
        text = f"{self.file}:{self.line}: {self.field}: {self.wrong}"
        if self.typed:
            text += f"\n    {self.typed.rstrip()}"
        if self.remedy:
            text += f"\n    {self.remedy}"
        return text


class KnowledgeError(Exception):
    """The knowledge base cannot be used; nothing was run."""

    def __init__(self, troubles: list[Trouble]) -> None:
        self.troubles = sorted(troubles)
        files = {trouble.file for trouble in troubles}
        problems = "1 problem" if len(troubles) == 1 else f"{len(troubles)} problems"
        where = "1 file" if len(files) == 1 else f"{len(files)} files"
        listed = "\n".join(map(str, self.troubles))
        super().__init__(f"{listed}\n\n{problems} in {where}. Nothing was run.")


def not_yaml(file: object, error: Exception) -> Trouble:
    """What is said of a file that can't be read as YAML, with the line at which its reader gave up."""
    mark = getattr(error, "problem_mark", None)
    wrong = f"not readable as YAML: {getattr(error, 'problem', None) or error}"
    return Trouble(str(file), mark.line + 1 if mark else 1, "file", wrong, "Mind indents and quotes.")
