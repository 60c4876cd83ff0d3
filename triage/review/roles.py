"""Who may do what at the desk: three roles, and the rights of each."""

from __future__ import annotations

from collections.abc import Mapping

ROLES: Mapping[str, str] = {
    "presenter": "prepares the episode: reads, corrects, edits scripts, plans the show",
    "desk": "answers the mail: reads, corrects, edits replies, sends what is signed",
    "editor": "checks and signs: everything",
}
RIGHTS: Mapping[str, frozenset[str]] = {
    "look": frozenset(ROLES),
    "correct": frozenset(ROLES),
    "edit-script": frozenset({"presenter", "editor"}),
    "edit-reply": frozenset({"desk", "editor"}),
    "sign": frozenset({"editor"}),
    "plan": frozenset({"presenter", "editor"}),
    "send": frozenset({"desk", "editor"}),
    "see-addresses": frozenset({"desk", "editor"}),
}
"""Each right with the roles that have it."""


def may(role: str, right: str) -> bool:
    """Whether a role has a right.

    >>> may("editor", "sign"), may("presenter", "sign")
    (True, False)
    """
    return role in RIGHTS[right]
