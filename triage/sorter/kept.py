"""The sorter of a knowledge base, trained once and kept beside the user's other caches."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable
from pathlib import Path

import joblib

from knowledge.base import Knowledge
from triage.sorter.examples import Examples, examples_of
from triage.sorter.fold import Folder, folder_for
from triage.sorter.sorter import Sorter, train

SORTER_VERSION = "2"


def sorter_for(
    knowledge: Knowledge, corrected: Iterable[tuple[str, str]] = (), cache: Path | None = None
) -> Sorter:
    """The sorter of a knowledge base and an editor's corrections, from the cache where neither has changed."""
    examples = examples_of(knowledge).plus(corrected)
    folder = folder_for(knowledge)
    file = _file(examples, folder, cache)
    if file.is_file():
        try:
            return Sorter(**joblib.load(file), fold=folder.fold)
        except Exception:  # a cut-off or foreign cache file is only a cache: train again
            file.unlink(missing_ok=True)
    sorter = train(examples, folder.fold)
    _keep(sorter, file)
    return sorter


def _file(examples: Examples, folder: Folder, cache: Path | None) -> Path:
    digest = hashlib.sha256(SORTER_VERSION.encode())
    for text, label in (
        *zip(examples.texts, examples.labels, strict=True),
        *zip(examples.own_texts, examples.own_labels, strict=True),
    ):
        digest.update(f"{label}\0{folder.fold(text)}\0".encode())
    home = cache or Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "quillstem"
    return home / f"sorter-{digest.hexdigest()[:24]}.joblib"


def _keep(sorter: Sorter, file: Path) -> None:
    """Write the sorter beside its place and rename it, so that a reader never sees half of one."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        beside = file.with_suffix(f".{os.getpid()}.part")
        joblib.dump({name: value for name, value in vars(sorter).items() if name != "fold"}, beside)
        beside.replace(file)
    except OSError:
        # A read-only home costs the next run its training time and nothing else.
        return
