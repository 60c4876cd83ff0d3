"""A step or a promise doesn't go against what the answer above it says."""

from __future__ import annotations

import pytest

from knowledge.base import Knowledge
from tests.asked import reply


@pytest.mark.parametrize(
    ("brief", "name", "careful", "plain", "step"),
    [
        ("frame-fit/post-stuck", "frame_material", "carbon", "steel", "bench vice"),
        ("frame-fit/post-stuck", "frame_material", "carbon", "steel", "cool the post"),
        ("frame-fit/post-stuck", "frame_material", "steel", "carbon", "inspected before anybody rides"),
        ("bearings/stripped-thread-insert", "bolt_place", "steering-or-brake", "accessory", "Drill straight"),
        ("bearings/hub-axle-and-cones", "hub_fault", "axle", "cones", "Before any further ride"),
    ],
)
def test_a_step_is_left_out_where_the_answer_forbids_it(
    knowledge: Knowledge, brief: str, name: str, careful: str, plain: str, step: str
) -> None:
    assert step not in reply(knowledge, brief, {name: careful})
    assert step in reply(knowledge, brief, {name: plain})


def test_a_clamp_on_stem_is_told_off_a_threaded_steerer(knowledge: Knowledge) -> None:
    assert "Not straight onto a threaded steerer" in reply(
        knowledge, "frame-fit/quill-stem", {"stem_conversion": "threadless"}
    )


def test_a_promise_says_what_is_asked(knowledge: Knowledge) -> None:
    assert "We'll ask a builder what the repair costs" in reply(
        knowledge, "frame-fit/cracked-metal-frame", {}
    )
