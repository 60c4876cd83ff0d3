"""What is wrong with a template is told before anything is worded with it."""

from __future__ import annotations

import pytest

from knowledge.wording import fault_of

KNOWN = {"gap_mm", "rim_type"}


@pytest.mark.parametrize(
    ("source", "said"),
    [
        ("{{ gap }}", "asks for unknown gap"),
        ("{{ gap_mm.hihg }}", "asks for gap_mm.hihg"),
        ("{{ gap_mm.high - gap_mm.number }}", "works with gap_mm.high as with a number"),
        ("{% if gap_mm < 2 %}small{% endif %}", "gap_mm.number is one"),
        ("{% if false %}{{ -gap_mm.words }}{% endif %}", "works with gap_mm.words"),
        ("{% if gap_mm.number < %}", "not a template"),
    ],
)
def test_faults(source, said):
    assert said in (fault_of(source, KNOWN) or "")


@pytest.mark.parametrize(
    "source",
    [
        "Nothing to fill in.",
        "{{ gap_mm }} on a {{ rim_type.words }} for {{ rider }}",
        "{% if gap_mm.known and gap_mm.number < 2 %}{{ gap_mm.low }}{% endif %}",
        "{% if gap_mm.low == gap_mm.high %}one{% endif %}",
        "{% set twice = gap_mm.number * 2 %}{% if twice > 3 %}{{ twice | round }}{% endif %}",
        "{{ gap_mm.high.split(' ')[0] | float / 2 }}",
    ],
)
def test_what_is_right_is_left_alone(source):
    assert fault_of(source, KNOWN) is None
