"""Read: messages out of mails, mailboxes, comment exports and notes, and the reason for whatever was refused."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from triage.read.bounds import DEEPEST_FOLDER, LARGEST_MAIL_BYTES, SNIFFED_BYTES
from triage.read.jsonlines import read_json
from triage.read.kinds import kind_of
from triage.read.mail import read_mail
from triage.read.mailboxes import is_maildir, maildir_folders, read_mbox
from triage.read.notes import read_note
from triage.read.progress import metered
from triage.read.tables import read_table
from triage.records import Message, Refusal


def read(
    paths: Sequence[Path],
    columns: Mapping[str, str] | None = None,
    on_progress: Callable[[int], None] | None = None,
) -> Iterator[Message | Refusal]:
    """Every message under the paths, one at a time, in a stable order; what can't be used becomes a Refusal.

    `columns` maps our name of an export's column to theirs. `on_progress` is told the bytes that were read since it was told the last time.
    Nothing but an interrupt comes out as an exception: one bad input costs that input only.
    """
    seen: set[tuple[int, int]] = set()
    for path in paths:
        for file in _walk(path, 0, seen):
            if isinstance(file, Refusal):
                yield file
                continue
            with metered(on_progress, _size(file)):
                yield from _safely(file, columns)


def count_bytes(paths: Sequence[Path]) -> int:
    """The bytes of all files under the paths, for a progress bar."""
    seen: set[tuple[int, int]] = set()
    return sum(
        _size(file) for path in paths for file in _walk(path, 0, seen) if not isinstance(file, Refusal)
    )


def _size(file: Path) -> int:
    try:
        return file.stat().st_size
    except OSError:
        return 0


def _walk(path: Path, depth: int, seen: set[tuple[int, int]]) -> Iterator[Path | Refusal]:
    try:
        status = path.stat()
    except FileNotFoundError:
        what = "a link that leads nowhere" if path.is_symlink() else "there is no such file or folder"
        yield Refusal(shown(path), "", what, "Check the path.")
        return
    except (OSError, ValueError) as fault:
        yield Refusal(
            shown(path), "", f"cannot be opened: {_why(fault)}", "Check the path and its permissions."
        )
        return
    if stat.S_ISDIR(status.st_mode):
        yield from _walk_folder(path, status, depth, seen)
    elif not stat.S_ISREG(status.st_mode):
        yield Refusal(
            shown(path), "", "not an ordinary file (a pipe, socket or device)", "Copy its content to a file."
        )
    elif (status.st_dev, status.st_ino) not in seen:
        seen.add((status.st_dev, status.st_ino))
        yield path


def _walk_folder(
    folder: Path, status: os.stat_result, depth: int, seen: set[tuple[int, int]]
) -> Iterator[Path | Refusal]:
    if (status.st_dev, status.st_ino) in seen:
        if folder.is_symlink():
            yield Refusal(
                shown(folder), "", "a link back into a folder already read", "Nothing is lost; leave it out."
            )
        return
    if depth > DEEPEST_FOLDER:
        reason = f"folders nested deeper than {DEEPEST_FOLDER}"
        yield Refusal(shown(folder), "", reason, "Give the inner folder by itself.")
        return
    seen.add((status.st_dev, status.st_ino))
    try:
        entries = maildir_folders(folder) if is_maildir(folder) else sorted(folder.iterdir())
    except OSError as fault:
        yield Refusal(
            shown(folder), "", f"the folder cannot be read: {_why(fault)}", "Check its permissions."
        )
        return
    for entry in entries:
        if not entry.name.startswith("."):
            yield from _walk(entry, depth + 1, seen)


def _safely(file: Path, columns: Mapping[str, str] | None) -> Iterator[Message | Refusal]:
    source = shown(file)
    last = ""
    is_empty = True
    try:
        for found in _read_file(file, source, columns):
            last = found.item
            is_empty = False
            yield found
    except OSError as fault:
        yield Refusal(source, "", f"cannot be read: {_why(fault)}", "Check the file and its permissions.")
    except Exception as fault:  # one bad input costs that input only, whatever is wrong with it
        place = f"after {last}" if last else ""
        yield Refusal(
            source,
            place,
            f"could not be read: {type(fault).__name__}: {str(fault)[:200]}",
            "Please report it; leave it out for now.",
        )
    else:
        if is_empty:
            yield Refusal(source, "", "there is no message in it", "Nothing to answer; leave it out.")


def _read_file(file: Path, source: str, columns: Mapping[str, str] | None) -> Iterator[Message | Refusal]:
    with file.open("rb") as opened:
        head = opened.read(SNIFFED_BYTES)
        if not head.strip():
            yield Refusal(source, "", "the file is empty", "Nothing to answer; leave it out.")
            return
        kind = kind_of(head, columns)
        if kind == "mail":
            yield read_mail(head + opened.read(LARGEST_MAIL_BYTES), source, "")
            return
    if kind == "mbox":
        yield from read_mbox(file, source)
    elif kind == "json":
        yield from read_json(file, source, columns)
    elif kind == "table":
        yield from read_table(file, source, columns)
    elif kind == "note":
        yield from read_note(file, source)
    else:
        yield Refusal(
            source, "", f"{kind.partition(':')[2]}, not a message", "If it came with a mail, give the mail."
        )


def shown(path: Path) -> str:
    """The path as it can be printed: a name that is not UTF-8 keeps what can be read of it."""
    return str(path).encode("utf-8", "replace").decode("utf-8")


def _why(fault: BaseException) -> str:
    return getattr(fault, "strerror", None) or str(fault)


__all__ = ["count_bytes", "read"]
