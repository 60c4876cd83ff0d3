"""Every seed, every input that reached new ground, and every one that broke a promise once, tried again."""

from __future__ import annotations

import pytest

from tests.fuzz.seeds import found, kept, seeds
from tests.fuzz.targets import TARGETS, tried


@pytest.mark.parametrize("target", TARGETS)
def test_no_kept_input_breaks_a_promise(target):
    inputs = [*seeds(target), *kept(target), *found(target)]

    assert inputs
    for data in inputs:
        tried(target, data)
