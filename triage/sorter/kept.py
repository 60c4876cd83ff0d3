"""The sorter of a knowledge base, trained once and kept beside the user's other caches."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import joblib
from filelock import FileLock

from knowledge.base import Knowledge
from triage import part_names
from triage.sorter import encoder
from triage.sorter.adapted import adapted
from triage.sorter.encoder import WEIGHTS_DIGEST, encode, model_folder
from triage.sorter.examples import Examples, examples_of
from triage.sorter.fold import Folder, folder_for
from triage.sorter.meaning import Encode, KnownVectors, OnProgress
from triage.sorter.sorter import Sorter

SORTER_VERSION = "6"
_NOT_KEPT = frozenset({"fold", "encode"})
MOST_KEPT = 4
"""Sorters that stay on the disk, the last used ones: each takes a quarter of a gigabyte."""


def sorter_for(
    knowledge: Knowledge,
    corrected: Iterable[tuple[str, str]] = (),
    cache: Path | None = None,
    on_progress: OnProgress | None = None,
) -> Sorter:
    """The sorter of a knowledge base and an editor's corrections, from the cache where neither has changed.

    Where it must be taught, `on_progress` is told how many examples of how many were read for their meaning.
    """
    corrected = list(corrected)
    folder = folder_for(knowledge)
    # To fold all examples takes seconds, so a note says which file they led to the last time.
    note = _home(cache) / f"sorter-of-{_digest_of(knowledge, corrected)}.txt"
    noted = _noted(note)
    sorter = _loaded(noted, folder) if noted is not None else None
    if sorter is not None:
        return sorter
    examples = examples_of(knowledge).plus(corrected)
    file = _file(examples, folder, cache)
    sorter = _loaded(file, folder)
    if sorter is None:
        with _alone(_home(cache)):
            sorter = _loaded(file, folder) or _trained_and_kept(examples, folder, file, cache, on_progress)
    _keep(note, lambda beside: beside.write_text(file.name, encoding="utf-8"))
    return sorter


@contextmanager
def _alone(home: Path) -> Iterator[None]:
    """One process teaches; one that wants a sorter meanwhile waits, and mostly finds it taught."""
    lock = FileLock(home / "teaching.lock")
    try:
        home.mkdir(parents=True, exist_ok=True)
        lock.acquire()
    except OSError:
        # A read-only home: there is nothing to share then, so each teaches for itself.
        pass
    try:
        yield
    finally:
        lock.release()


def known_vectors(cache: Path | None = None, on_progress: OnProgress | None = None) -> KnownVectors | None:
    """What encodes texts and knows the examples' vectors; None where there is no language model."""
    if model_folder() is None:
        return None
    return KnownVectors(_encode(), _vectors(cache), on_progress)


def _encode() -> Encode:
    """The language model as it was taught the trade, where it was."""
    changed = adapted()
    return encode if changed is None else changed.encode()


def _vectors(cache: Path | None) -> Path:
    """Where the examples' vectors are kept."""
    return _home(cache) / f"examples-{_encoder_digest()}.npz"


def _trained_and_kept(
    examples: Examples, folder: Folder, file: Path, cache: Path | None, on_progress: OnProgress | None
) -> Sorter:
    trained = _trained(examples, folder, cache, on_progress)
    if not _keep(file, lambda beside: _dump(trained, beside)):
        return trained
    _make_room(file.parent)
    return _loaded(file, folder) or trained


def _trained(
    examples: Examples, folder: Folder, cache: Path | None, on_progress: OnProgress | None
) -> Sorter:
    from triage.sorter.teach import train

    known, changed = known_vectors(cache, on_progress), adapted()
    sorter = train(examples, folder.fold, known, None if changed is None else changed.weights())
    if known is None:
        return sorter
    file = _vectors(cache)
    if _keep(file, lambda beside: known.write(beside, [*examples.texts, *examples.own_texts])):
        for older in set(file.parent.glob("examples-*.npz")) - {file}:
            older.unlink(missing_ok=True)
    return _with_encoder(sorter)


def _with_encoder(sorter: Sorter) -> Sorter:
    return replace(sorter, encode=_encode() if sorter.meaning is not None else None)


def _version() -> str:
    if model_folder() is None:
        return f"{SORTER_VERSION}\0read once"
    changed = adapted()
    weighed = "" if changed is None else changed.digest_of_weights()
    return f"{SORTER_VERSION}\0{_encoder_digest()}\0{weighed}"


@lru_cache(maxsize=1)
def _encoder_digest() -> str:
    """What the vectors hang on: the model, what it was taught, and the program that runs it."""
    changed = adapted()
    taught = "" if changed is None else changed.digest()
    program = Path(encoder.__file__).read_bytes()
    return hashlib.sha256(f"{WEIGHTS_DIGEST}{taught}".encode() + program).hexdigest()[:12]


def _digest_of(knowledge: Knowledge, corrected: Sequence[tuple[str, str]]) -> str:
    digest = hashlib.sha256(f"{_version()}\0{knowledge.digest}\0{_code()}".encode())
    for text, label in corrected:
        digest.update(f"{label}\0{text}\0".encode())
    return digest.hexdigest()[:24]


@lru_cache(maxsize=1)
def _code() -> str:
    """A digest of what learns and folds, so that a changed program looks again."""
    files = [*sorted(Path(__file__).parent.glob("*.py")), Path(part_names.__file__)]
    return hashlib.sha256(b"\0".join(file.read_bytes() for file in files)).hexdigest()


def _noted(note: Path) -> Path | None:
    try:
        return note.with_name(Path(note.read_text(encoding="utf-8")).name)
    except (OSError, UnicodeDecodeError):
        return None


def _loaded(file: Path, folder: Folder) -> Sorter | None:
    """The sorter in a file; None where there is none. A cut-off or foreign file is only a cache, and is removed."""
    if not file.is_file():
        return None
    try:
        # Its large arrays stay in the file and are read where they are needed, so that many processes share them.
        sorter = _with_encoder(Sorter(**joblib.load(file, mmap_mode="r"), fold=folder.fold))
        with suppress(OSError):  # a cache that others own is read all the same
            os.utime(file)
        return sorter
    except Exception:
        with suppress(OSError):  # one that others own is left to them
            file.unlink(missing_ok=True)
        return None


def _home(cache: Path | None) -> Path:
    return cache or Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "quillstem"


def _file(examples: Examples, folder: Folder, cache: Path | None) -> Path:
    digest = hashlib.sha256(_version().encode())
    for text, label in (
        *zip(examples.texts, examples.labels, strict=True),
        *zip(examples.own_texts, examples.own_labels, strict=True),
    ):
        digest.update(f"{label}\0{folder.fold(text)}\0{text}\0".encode())
    return _home(cache) / f"sorter-{digest.hexdigest()[:24]}.joblib"


def _dump(sorter: Sorter, file: Path) -> None:
    joblib.dump({name: value for name, value in vars(sorter).items() if name not in _NOT_KEPT}, file)


def _make_room(folder: Path) -> None:
    """Remove the sorters that were not used for longest, and notes that lead to none."""
    with suppress(OSError):
        kept = sorted(folder.glob("sorter-*.joblib"), key=lambda file: file.stat().st_mtime)
        for old in kept[:-MOST_KEPT]:
            old.unlink(missing_ok=True)
        left = {file.name for file in kept[-MOST_KEPT:]}
        for note in folder.glob("sorter-of-*.txt"):
            if note.read_text(encoding="utf-8") not in left:
                note.unlink(missing_ok=True)


def _keep(file: Path, write: Callable[[Path], object]) -> bool:
    """Write beside a file's place and rename, so that a reader never sees half of one; whether that worked."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        beside = file.with_suffix(f".{os.getpid()}.part")
        write(beside)
        beside.replace(file)
    except OSError:
        # A read-only home costs the next run its training time and nothing else.
        return False
    return True
