"""What a rider names of things that exclude one another, and which points then speak of something else."""

from __future__ import annotations

import numpy as np
import pytest

from knowledge.base import Contrast, Knowledge
from triage.sorter.contrasts import Contrasts, speaks_of_another
from triage.sorter.points import Within

CARBON = Contrast("material", "carbon", True, ("carbon",))
STEEL = Contrast("material", "steel", True, ("steel", "cromo"))
TANDEM = Contrast("kind", "tandem", False, ("tandem", "tandems"))
DISC = Contrast("brake", "disc", True, ("disc", "rotor"))
CABLE = Contrast("pull", "cable", True, ("cable disc",))
LOUD = Contrast("kind", "cargo", True, ("Long John",))
ALL = Contrasts([LOUD, CARBON, STEEL, TANDEM, DISC, CABLE])


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("A scratch in my CARBON bar", {CARBON}),
        ("it's not carbon, it's cromo", {STEEL}),
        ("no tandem, but a steel fork with a carbon steerer", {CARBON, STEEL}),
        ("cable disc rubs", {CABLE, DISC}),
        ("my long john creaks", {LOUD}),
        ("steely nerves on discworld", set()),
        ("two tandem’s rotors", {TANDEM, DISC}),
        ("both tandems", {TANDEM}),
        ("", set()),
    ],
)
def test_what_a_text_names(text: str, named: set[Contrast]) -> None:
    assert {(one.name, one.value) for one in ALL.named(text)} == {(one.name, one.value) for one in named}


def test_a_point_is_about_what_most_of_its_askings_name_alone() -> None:
    assert ALL.about(["carbon bar", "carbon post", "carbon, a nick", "a nick in it"]) == {CARBON}
    assert ALL.about(["carbon bar", "carbon post", "a chip", "a nick in it"]) == frozenset()
    assert ALL.about(["carbon or steel", "steel or carbon on a tandem"]) == frozenset()


@pytest.mark.parametrize(
    ("about", "named", "its_own", "another"),
    [
        ({CARBON}, {STEEL}, (), True),
        ({CARBON}, {STEEL, CARBON}, (), False),
        ({CARBON}, {DISC}, (), False),  # nothing is said of the material
        ({CARBON}, (), (), False),
        ({TANDEM}, (), (), True),  # nobody means a tandem without naming it
        ({TANDEM}, (), {TANDEM}, False),  # but where all is about tandems
        ({TANDEM}, {TANDEM}, (), False),
        ((), {STEEL}, (), False),
    ],
)
def test_what_speaks_of_another_thing(
    about: set[Contrast], named: set[Contrast], its_own: set[Contrast], another: bool
) -> None:
    assert speaks_of_another(frozenset(about), frozenset(named), frozenset(its_own)) is another


def test_little_is_left_of_a_point_that_speaks_of_another_thing() -> None:
    none = np.zeros((1, 1), dtype=np.float32)
    within = Within(
        ("", "nick-in-carbon", "how-deep"), none, none, none, none,
        (frozenset(), frozenset({CARBON}), frozenset()),
    )  # fmt: skip
    chances = np.asarray([[0.2, 0.6, 0.2]], dtype=np.float32)
    kept = within.of_the_same(chances, frozenset({CARBON}))
    left = within.of_the_same(chances, frozenset({STEEL}))
    assert kept.tolist() == chances.tolist()
    assert left.sum() == pytest.approx(1.0)
    assert left[0, 1] == pytest.approx(0.06 / 0.46)


def test_our_own_askings_seldom_name_another_thing_than_their_point(knowledge: Knowledge) -> None:
    contrasts = Contrasts(knowledge.contrasts)
    asked = against = 0
    for brief in knowledge.briefs.values():
        its_own = contrasts.its_own(brief.every_example)
        for point in brief.points.values():
            about = contrasts.about(point.asked)
            named = [contrasts.named(text) for text in point.asked] if about else []
            asked += len(named)
            against += sum(speaks_of_another(about, one, its_own) for one in named)
    assert asked > 4000
    assert against < 0.03 * asked
