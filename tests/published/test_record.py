"""The handbook's record of checks is the one that these tests would write."""

from __future__ import annotations

import json

from tests.published.conftest import RECORD, label_of


def test_the_handbook_lists_only_checks_that_exist_and_lists_enough_of_them(request):
    collected = {label_of(item.nodeid) for item in request.session.items}
    recorded = {
        label for labels in json.loads(RECORD.read_text(encoding="utf-8")).values() for label in labels
    }

    gone = recorded - collected
    if len(collected) > 200:  # the whole folder was collected, not a part of it
        assert not gone, "run: QUILLSTEM_RECORD_CHECKS=1 pytest tests/published"
    assert len(recorded) >= 200
