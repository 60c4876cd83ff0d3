"""The sorter of a knowledge base, trained once and kept beside the user's other caches."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import joblib

from knowledge.base import Knowledge
from triage import part_names
from triage.sorter.adapted import adapted
from triage.sorter.beforehand import beforehand, digest_of_file
from triage.sorter.cache import alone, home, keep, make_room, was_used
from triage.sorter.encoder import Vectors, encode, has_model, version
from triage.sorter.examples import Examples, examples_of
from triage.sorter.fold import Folder, folder_for
from triage.sorter.meaning import Encode, KnownVectors, OnProgress, Remembering
from triage.sorter.points import points_of
from triage.sorter.sorter import Sorter

SORTER_VERSION = "8"
_NOT_KEPT = frozenset({"fold", "encode", "points"})
MOST_KEPT = 4
"""Sorters that stay on the disk, the last used ones: each takes 300 MB."""


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
    sorter = _kept_or_taught(knowledge, corrected, folder, cache, on_progress)
    if sorter.encode is None:
        return sorter

    def known() -> Encode:
        vectors = _known(cache, on_progress)
        return lambda texts: _read_and_kept(vectors, texts, cache)

    return replace(sorter, points=points_of(knowledge, sorter.encode, known, _read_with(), cache))


def _read_and_kept(vectors: KnownVectors, texts: Sequence[str], cache: Path | None) -> Vectors:
    """What the texts mean, which the next teaching need not read again."""
    read = vectors(texts)
    _keep_vectors(vectors, texts, cache)
    return read


def _keep_vectors(vectors: KnownVectors, texts: Sequence[str], cache: Path | None) -> None:
    file = _vectors(cache)
    if keep(file, lambda beside: vectors.write(beside, texts)):
        for older in set(file.parent.glob("examples-*.npz")) - {file}:
            older.unlink(missing_ok=True)


def _kept_or_taught(
    knowledge: Knowledge,
    corrected: Sequence[tuple[str, str]],
    folder: Folder,
    cache: Path | None,
    on_progress: OnProgress | None,
) -> Sorter:
    # To fold all examples takes seconds, so a note says which file they led to the last time.
    note = home(cache) / f"sorter-of-{_digest_of(knowledge, corrected)}.txt"
    noted = _noted(note)
    sorter = _loaded(noted, folder) if noted is not None else None
    if sorter is not None:
        return sorter
    examples = examples_of(knowledge).plus(corrected)
    file = _file(examples, folder, cache)
    sorter = _loaded(file, folder)
    if sorter is None:
        with alone(home(cache), "teaching"):
            sorter = _loaded(file, folder) or _trained_and_kept(examples, folder, file, cache, on_progress)
    keep(note, lambda beside: beside.write_text(file.name, encoding="utf-8"))
    return sorter


def known_vectors(cache: Path | None = None, on_progress: OnProgress | None = None) -> KnownVectors | None:
    """What encodes texts and knows the examples' vectors; None where there is no language model."""
    if not has_model():
        return None
    return _known(cache, on_progress)


def _known(cache: Path | None, on_progress: OnProgress | None) -> KnownVectors:
    changed = adapted()
    before = None if changed is None else beforehand(changed.file())
    return KnownVectors(_encode(), _vectors(cache), on_progress, before)


def _encode() -> Encode:
    """The language model as it was taught the trade, where it was."""
    changed = adapted()
    return encode if changed is None else changed.encode()


def _reader() -> str:
    """Which language model reads."""
    changed = adapted()
    return version() if changed is None else version(changed.file())


def _vectors(cache: Path | None) -> Path:
    """Where the examples' vectors are kept."""
    return home(cache) / f"examples-{_reader()}.npz"


def _trained_and_kept(
    examples: Examples, folder: Folder, file: Path, cache: Path | None, on_progress: OnProgress | None
) -> Sorter:
    trained = _trained(examples, folder, cache, on_progress)
    if not keep(file, lambda beside: _dump(trained, beside)):
        return trained
    _make_room(file.parent)
    return _loaded(file, folder) or trained


def _trained(
    examples: Examples, folder: Folder, cache: Path | None, on_progress: OnProgress | None
) -> Sorter:
    from triage.sorter.teach import train

    known, changed = known_vectors(cache, on_progress), adapted()
    weighing = None if changed is None else changed.weighing()
    sorter = train(examples, folder.fold, known, weighing)
    if known is None:
        return sorter
    _keep_vectors(known, [*examples.texts, *examples.own_texts], cache)
    return _with_encoder(sorter)


def _with_encoder(sorter: Sorter) -> Sorter:
    return replace(sorter, encode=Remembering(_encode()) if sorter.meaning is not None else None)


def _version() -> str:
    if not has_model():
        return f"{SORTER_VERSION}\0read once"
    changed = adapted()
    weighed = "" if changed is None else changed.digest_of_weights()
    return f"{SORTER_VERSION}\0{_read_with()}\0{weighed}"


def _read_with() -> str:
    """Which language model reads, and what came read with the program: a little coarser than the model reads it."""
    return f"{_reader()}\0{digest_of_file()}"


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
        was_used(file)
        return sorter
    except Exception:
        with suppress(OSError):  # one that others own is left to them
            file.unlink(missing_ok=True)
        return None


def _file(examples: Examples, folder: Folder, cache: Path | None) -> Path:
    digest = hashlib.sha256(_version().encode())
    for text, label in (
        *zip(examples.texts, examples.labels, strict=True),
        *zip(examples.own_texts, examples.own_labels, strict=True),
    ):
        digest.update(f"{label}\0{folder.fold(text)}\0{text}\0".encode())
    return home(cache) / f"sorter-{digest.hexdigest()[:24]}.joblib"


def _dump(sorter: Sorter, file: Path) -> None:
    joblib.dump({name: value for name, value in vars(sorter).items() if name not in _NOT_KEPT}, file)


def _make_room(folder: Path) -> None:
    """Remove the sorters that were not used for longest, and notes that lead to none."""
    left = make_room(folder, "sorter-*.joblib", MOST_KEPT)
    with suppress(OSError):
        for note in folder.glob("sorter-of-*.txt"):
            if note.read_text(encoding="utf-8") not in left:
                note.unlink(missing_ok=True)
