"""An inbox on disk: an mbox, comment exports, and beside them the truth about what was planted."""

from __future__ import annotations

import base64
import binascii
import csv
import html
import json
import random
import re
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import IO, Any

from benchmarks.inbox.compose import Composer, Rates, Written, kinds_of
from benchmarks.inbox.variety import Variety
from knowledge.base import Knowledge

KINDS = ("mbox", "csv", "jsonl", "mixed")
MAKING = "1"
"""Counts up when the same seed would write otherwise, so that an inbox kept from before is not taken for one of now."""
_FROM = re.compile(r"^(>*From )", re.MULTILINE)
_WRAP = re.compile(r"(.{1,72})(?:[ ]+|(?=\n)|$)")
Put = Callable[[Written], None]


@dataclass(frozen=True)
class Made:
    """An inbox: its messages under `inbox`, `truth` with the planted repeats, `about` with what it is like."""

    folder: Path

    @property
    def inbox(self) -> Path:
        """The folder to draft from."""
        return self.folder / "inbox"

    @property
    def truth(self) -> Path:
        """A table: message_id, repeats (the earlier message_id), kind."""
        return self.folder / "truth.csv"

    @property
    def about(self) -> dict[str, Any]:
        """Counts and variety; empty where the inbox is not finished."""
        try:
            about: dict[str, Any] = json.loads((self.folder / "about.json").read_text(encoding="utf-8"))
        except FileNotFoundError:
            return {}
        return about


def make_inbox(
    knowledge: Knowledge,
    messages: int,
    folder: Path,
    kind: str = "mixed",
    seed: int = 7,
    rates: Rates | None = None,
    on_progress: Callable[[int], None] | None = None,
) -> Made:
    """Write so many messages below the folder, one by one; what lies there finished for the same call is left as it is.

    Raises:
        ValueError: the kind is none of mbox, csv, jsonl, mixed.
    """
    if kind not in KINDS:
        raise ValueError(f"kind: expected one of {', '.join(KINDS)}, got {kind}")
    rates = rates or Rates()
    rates = replace(rates, mails={"mbox": 1.0, "mixed": rates.mails}.get(kind, 0.0))
    asked = {"messages": messages, "kind": kind, "seed": seed, "making": MAKING, "knowledge": knowledge.digest,
             "rates": asdict(rates)}  # fmt: skip
    made = Made(folder)
    if made.about.get("asked") == asked:
        return made
    made.inbox.mkdir(parents=True, exist_ok=True)
    (folder / "about.json").unlink(missing_ok=True)
    for old in made.inbox.iterdir():
        old.unlink()
    began = time.perf_counter()
    composer = Composer(knowledge, seed, rates)
    counts: Counter[str] = Counter()
    variety = Variety()
    with _files(made, kind, composer) as put:
        for number, written in enumerate(composer.messages(messages), 1):
            put(written)
            counts.update(kinds_of(written))
            variety.add(written.text)
            if on_progress is not None and number % 500 == 0:
                on_progress(500)
    about = {
        "asked": asked,
        "counts": dict(counts.most_common()),
        "redrawn because written before": composer.redraws,
        "bytes": sum(file.stat().st_size for file in made.inbox.iterdir()),
        "seconds": time.perf_counter() - began,
        **variety.told(),
    }
    (folder / "about.json").write_text(json.dumps(about, indent=1, ensure_ascii=False), encoding="utf-8")
    return made


@contextmanager
def _files(made: Made, kind: str, composer: Composer) -> Iterator[Put]:
    """Open files, and a function that puts a message where it belongs."""
    with ExitStack() as stack:

        def opened(name: str) -> IO[str]:
            # surrogateescape carries the bytes of mails that are not UTF-8 through to the file
            return stack.enter_context(
                (made.folder / name).open("w", encoding="utf-8", errors="surrogateescape", newline="")
            )

        truth = csv.writer(opened("truth.csv"))
        truth.writerow(("message_id", "repeats", "kind"))
        mails = (
            _mail_writer(opened("inbox/archive.mbox"), composer.seed) if kind in ("mbox", "mixed") else None
        )
        comments: list[Put] = []
        if kind in ("csv", "mixed"):
            comments.append(_table_writer(opened("inbox/comments.csv")))
        if kind in ("jsonl", "mixed"):
            comments.append(_json_writer(opened("inbox/comments.jsonl")))

        def put(written: Written) -> None:
            if written.repeats:
                truth.writerow((written.identity, written.repeats, written.repeat_kind))
            if written.is_mail and mails is not None:
                mails(written)
            else:
                comments[composer.number % len(comments)](written)

        yield put


def _table_writer(file: IO[str]) -> Put:
    table = csv.writer(file)
    table.writerow(("id", "author", "date", "text", "likes"))

    def put(written: Written) -> None:
        moment = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(written.received))
        table.writerow((written.identity, written.author, moment, written.text, written.likes))

    return put


def _json_writer(file: IO[str]) -> Put:
    def put(written: Written) -> None:
        moment = time.strftime("%Y-%m-%dT%H:%M:%S+01:00", time.gmtime(written.received + 3600))
        comment = {"id": written.identity, "author": written.author, "text": written.text, "published_at": moment,
                   "like_count": written.likes}  # fmt: skip
        file.write(json.dumps(comment, ensure_ascii=False) + "\n")

    return put


def _mail_writer(file: IO[str], seed: int) -> Put:
    chance = random.Random(seed)

    def put(written: Written) -> None:
        moment = time.gmtime(written.received)
        file.write(f"From {written.address} {time.strftime('%a %b %d %H:%M:%S %Y', moment)}\n")
        file.write(mail(written, chance))
        file.write("\n\n")

    return put


def mail(written: Written, chance: random.Random) -> str:
    """A whole mail as an mbox holds it; bytes that are not UTF-8 are escaped as surrogates."""
    moment = time.strftime("%a, %d %b %Y %H:%M:%S +0000", time.gmtime(written.received))
    head = (
        f"From: {_worded(written.author)} <{written.address}>\nTo: Questions <questions@show.invalid>\n"
        f"Subject: {_worded(written.subject)}\nDate: {moment}\nMessage-ID: <{written.identity}>\nMIME-Version: 1.0\n"
    )
    if written.in_reply_to:
        head += f"In-Reply-To: <{written.in_reply_to}>\nReferences: <{written.in_reply_to}>\n"
    parts = []
    if written.html != "alone":
        parts.append(_part("plain", _with_tail(written), chance))
    if written.html:
        parts.append(_part("html", _page(written), chance))
    body = parts[0] if len(parts) == 1 else _parcel("alternative", parts, written)
    if written.picture_bytes:
        body = _parcel("mixed", [body, _picture(written.picture_bytes)], written)
    return head + body


def _worded(text: str) -> str:
    if text.isascii():
        return text
    return f"=?utf-8?b?{base64.b64encode(text.encode()).decode()}?="


def _with_tail(written: Written) -> str:
    tail = ""
    if written.signature:
        # Phones put their line below without the two dashes.
        tail = (
            f"\n\n{'' if written.signature.startswith('Sent from') else '-- ' + chr(10)}{written.signature}"
        )
    return f"{written.text}{tail}" + (f"\n\n{written.quoted}" if written.quoted else "")


def _page(written: Written) -> str:
    told = html.escape(written.text, quote=False).replace("\n\n", "</p><p>").replace("\n", "<br>\n")
    page = f'<html><head><style>p{{margin:0 0 1em;color:#222}}</style></head><body><div dir="ltr"><p>{told}</p></div>'
    if written.signature:
        page += (
            f'<div class="signature">-- <br>{html.escape(written.signature).replace(chr(10), "<br>")}</div>'
        )
    if written.quoted:
        page += f"<blockquote>{html.escape(written.quoted).replace(chr(10), '<br>')}</blockquote>"
    return page + "</body></html>"


def _part(kind: str, text: str, chance: random.Random) -> str:
    """A text part in one of the encodings that mail programs use."""
    text = _FROM.sub(r">\1", text)
    draw = chance.random()
    charset, coding = "utf-8", "quoted-printable"
    if draw < 0.10:
        coding = "base64"
        told = base64.encodebytes(text.encode()).decode()
    elif draw < 0.30:
        coding = "8bit"
        text = _WRAP.sub(r"\1\n", text) if kind == "plain" and draw < 0.20 else text
        if draw < 0.17 and _is_latin(text):
            charset = "iso-8859-1"
            told = text.encode("latin-1").decode("utf-8", "surrogateescape")
        else:
            told = text
    else:
        told = binascii.b2a_qp(text.encode()).decode()
    return f'Content-Type: text/{kind}; charset="{charset}"\nContent-Transfer-Encoding: {coding}\n\n{told}'


def _is_latin(text: str) -> bool:
    try:
        text.encode("latin-1")
    except UnicodeEncodeError:
        return False
    return True


def _picture(size: int) -> str:
    # No picture at all inside: only its size matters to a reader that never opens it.
    body = base64.encodebytes(bytes(byte * 7 % 251 for byte in range(size))).decode()
    return (
        'Content-Type: image/jpeg; name="bike.jpg"\nContent-Disposition: attachment; filename="bike.jpg"\n'
        f"Content-Transfer-Encoding: base64\n\n{body}"
    )


def _parcel(kind: str, parts: list[str], written: Written) -> str:
    line = f"=_{kind}_{written.received:x}"
    whole = "".join(f"--{line}\n{part}\n" for part in parts)
    return f'Content-Type: multipart/{kind}; boundary="{line}"\n\n{whole}--{line}--\n'
