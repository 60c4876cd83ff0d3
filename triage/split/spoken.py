"""Messages that were spoken and written down by a machine: spoken marks become marks, and what only fills a pause is left out."""

from __future__ import annotations

import re

_RECORDED = re.compile(
    r"\b(?:voice ?(?:message|note|memo|mail)|dictat(?:ed|ing|ion)|speech to text|speaking (?:this|into))\b",
    re.IGNORECASE,
)
_MARKS = (
    (re.compile(r"\s*\bquestion mark\b", re.IGNORECASE), "?"),
    (re.compile(r"\s*\bexclamation mark\b", re.IGNORECASE), "!"),
    # "It came to a full stop" is told and not dictated.
    (re.compile(r"(?<!\ba)(?<!\bthe)(?<!\bmy)\s+\bfull stop\b", re.IGNORECASE), "."),
    (re.compile(r"\s*\bnew (?:paragraph|line)\b\s*", re.IGNORECASE), ".\n\n"),
    (re.compile(r"\s*\bcomma\b(?=\s)", re.IGNORECASE), ","),
)
_PAUSE = re.compile(r"[,.]?\s*\b(?:u+h+m*|u+m+|er+m+|hmm+)\b[,.]*", re.IGNORECASE)
_FILLING = re.compile(r"\b(?:you know|i mean|(?:sort|kind) of like|like you know)\b,?\s?", re.IGNORECASE)
_TWICE = re.compile(r"\b(\w+)(?:\s+\1\b)+", re.IGNORECASE)
_HEADED = re.compile(
    r"^\W*(?:(?:hi|hello|hey|ok|okay|so|right)\b[\s,]*)*(?:(?:this is|here is|here's|just)\s)?(?:an?\s|my\s)?(?:quick\s)?voice ?(?:message|note|memo)(?:\s(?:here|again|for you|from \w+))?[\s,.:–-]*",
    re.IGNORECASE,
)
FEWEST_SIGNS = 2
"""So many spoken marks or pauses tell a recording that doesn't say so."""


def written(text: str) -> str:
    """The text as its speaker would have written it; as it is where it was typed."""
    signs = len(_PAUSE.findall(text)) + sum(len(mark.findall(text)) for mark, _ in _MARKS)
    if not signs or (signs < FEWEST_SIGNS and _RECORDED.search(text) is None):
        return text
    text = _HEADED.sub("", text)
    for spoken, mark in _MARKS:
        text = spoken.sub(mark, text)
    text = _PAUSE.sub("", text)
    text = _FILLING.sub("", text)
    return _TWICE.sub(r"\1", text).strip()
