"""A text as its sentences, which is what a draft can drop."""

from __future__ import annotations

import re

# "3 bar. Then" ends a sentence, "0.5 mm" and "e.g. a rule" do not.
_END = re.compile(r"(?<=[.!?])\s+(?=[A-Z“])")


def sentences_of(text: str) -> list[str]:
    """The sentences of a text, in order."""
    return [one for one in _END.split(text) if one.strip()]
