"""Which column of an export is which: the usual names, without regard to case, spaces or underscores."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from triage.read.bounds import MOST_COLUMNS
from triage.read.text import one_line

USUAL: dict[str, tuple[str, ...]] = {
    "text": (
        "text", "comment", "commenttext", "body", "message", "content", "question", "textdisplay", "textoriginal",
        "commentbody", "msg", "messagetext", "kommentar", "nachricht", "commentaire", "comentario", "answer",
    ),
    "id": ("id", "commentid", "messageid", "uid", "cid", "guid", "uuid", "externalid", "msgid"),
    "author": (
        "author", "user", "username", "name", "from", "authorname", "authordisplayname", "displayname", "sender",
        "commenter", "nick", "nickname", "handle", "writer", "fromname", "autor", "auteur",
    ),
    "date": (
        "date", "publishedat", "published", "created", "createdat", "timestamp", "time", "datetime", "posted", "postedat",
        "sent", "received", "datum", "updatedat", "createdutc", "createdtime",
    ),
    "likes": ("likes", "like", "likecount", "votes", "score", "upvotes", "likescount", "points", "hearts", "thumbsup"),
    "channel": ("channel", "source", "platform", "medium"),
    "parent": ("parent", "parentid", "replyto", "inreplyto", "inreplytoid"),
    "address": ("email", "mail", "emailaddress", "address", "authoremail"),
    "subject": ("subject", "title", "betreff", "headline"),
}  # fmt: skip


def matched(found: Iterable[str], given: Mapping[str, str] | None) -> dict[str, str]:
    """Our name to theirs, for every column that is one of ours; what the desk gave wins."""
    theirs = list(found)
    plain = {_plain(name): name for name in reversed(theirs)}
    result = {}
    for ours, usual in USUAL.items():
        wanted = (given or {}).get(ours)
        if wanted is not None:
            name = wanted if wanted in theirs else plain.get(_plain(wanted))
        else:
            name = next((plain[one] for one in usual if one in plain), None)
        if name is not None:
            result[ours] = name
    return result


def _plain(name: str) -> str:
    return re.sub(r"[^\w]|_", "", name).lower()


def missing_text(found: Iterable[str], given: Mapping[str, str] | None) -> tuple[str, str]:
    """What to say of an export whose text column is not found: reason and remedy."""
    listed = ", ".join(one_line(str(name), 60) for name in list(found)[:40]) or "none"
    wanted = (given or {}).get("text")
    reason = f'no column "{wanted}"' if wanted else "no column for the text of the comments"
    return f"{reason}; columns found: {listed}", "Name it: --columns text=THEIR_NAME"


def too_many(what: str) -> tuple[str, str]:
    """What to say of an export with more columns, or names in one object, than are read: reason and remedy."""
    return f"more than {MOST_COLUMNS} {what}", "Leave out what is not about the comments."
