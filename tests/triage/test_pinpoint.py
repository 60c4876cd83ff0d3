"""What an ask is about within its brief: found by the askings of each point, and answered before all else."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from knowledge.base import Knowledge
from knowledge.brief import Brief, Caution, Point
from knowledge.phrases import load_phrases
from tests.asked import asked, found
from triage.draft import draft
from triage.pinpoint import pinpoint
from triage.records import Classified, Message, Question
from triage.sorter.encoder import Vectors
from triage.sorter.points import Asked, Meant, Points, points_of, wants_of

DISH = "wheels/dish"
TOLERANCE = Point(
    asked=("how far off", "what tolerance", "is 2 mm fine", "does it matter", "how much is too much"),
    headline="Within a millimetre is good work.",
    say="Rim brakes mind sooner than discs.",
    alone=True,
)
GAUGE = TOLERANCE.model_copy(update={"asked": ("a", "b", "c", "d", "e"), "alone": False})
DIRECTIONS = {"rim": 0, "how far": 1, "gauge": 2}


def encode(texts: object) -> Vectors:
    """A text points where its words say; one without such a word points nowhere known."""
    vectors = np.full((len(list(texts)), 4), 1e-3, dtype=np.float32)  # type: ignore[call-overload]
    for row, text in enumerate(texts):  # type: ignore[arg-type, var-annotated]
        for word, direction in DIRECTIONS.items():
            vectors[row, direction] += word in text
        vectors[row, 3] += not any(word in text for word in DIRECTIONS)
    return np.asarray(vectors / np.linalg.norm(vectors, axis=1, keepdims=True), dtype=np.float32)


def with_points(knowledge: Knowledge, of: str = DISH, **points: Point) -> Knowledge:
    return changed(knowledge, knowledge.briefs[of].model_copy(update={"points": points}))


def changed(knowledge: Knowledge, brief: Brief) -> Knowledge:
    """With another brief, and another digest, since words that were made lately are kept by it."""
    briefs = {**knowledge.briefs, brief.id: brief}
    return replace(knowledge, briefs=briefs, digest=f"{knowledge.digest}{brief!r}")


def point(asked: str) -> Point:
    return TOLERANCE.model_copy(update={"asked": (asked,) * 5, "headline": asked, "say": None})


def sample(knowledge: Knowledge) -> Points:
    """A brief whose general askings speak of the rim, with two points."""
    brief: Brief = knowledge.briefs[DISH].model_copy(
        update={
            "examples": ("rim one", "rim two"),
            "points": {
                "tolerance": point("how far off"),
                "gauge": point("need a gauge"),
            },
        }
    )
    found = points_of(replace(knowledge, briefs={DISH: brief}), encode, lambda: encode, "test")
    assert found is not None
    return found


@pytest.fixture
def points(knowledge: Knowledge, tmp_path: object, monkeypatch: pytest.MonkeyPatch) -> Points:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return sample(knowledge)


def asked_at(points: Points, *asked: Asked) -> list[tuple[str, ...]]:
    return [meant.points for meant in points.of(asked)]


@pytest.mark.parametrize(
    ("ask", "story", "point"),
    [
        ("how far off may it be", "", "tolerance"),
        ("must I buy a gauge", "", "gauge"),
        ("my rim is on one side", "", None),
        ("what shall I do", "", None),
        ("the gauge or the rim, how far", "", None),
        ("the gauge, how far", "they want to sell me a gauge", "gauge"),
        ("the gauge, how far", "nobody tells how far", "tolerance"),
    ],
)
def test_an_ask_is_about_the_point_whose_askings_lie_nearest(
    points: Points, ask: str, story: str, point: str | None
) -> None:
    assert asked_at(points, Asked(DISH, ask, story)) == [(f"{DISH}#{point}",) if point else ()]


def test_between_points_none_is_taken(points: Points) -> None:
    (meant,) = points.of([Asked(DISH, "how far off the rim is, says the gauge", "")])
    assert (meant.points, meant.perhaps) == ((), None)
    assert set(meant.likely) == {f"{DISH}#tolerance", f"{DISH}#gauge"}


@pytest.mark.parametrize(
    ("chances", "told", "perhaps"),
    [
        ((0.30, 0.45, 0.25), ("tolerance",), "gauge"),
        ((0.35, 0.45, 0.20), ("tolerance",), None),  # too unlikely to take up a rider's time
        ((0.10, 0.60, 0.30), ("tolerance",), None),  # sure enough
        ((0.32, 0.30, 0.38), (), "gauge"),
        ((0.50, 0.20, 0.30), (), None),  # the general answer is likelier
        ((0.60, 0.10, 0.30), (), None),
        ((0.34, 0.36, 0.30), (), "tolerance"),
        ((0.20, 0.45, 0.35), ("tolerance", "gauge"), None),  # both are told
    ],
)
def test_what_may_be_meant_instead_is_the_likeliest_that_is_not_told(
    points: Points, chances: tuple[float, ...], told: tuple[str, ...], perhaps: str | None
) -> None:
    assert points.within[DISH].perhaps(np.asarray(chances, dtype=np.float32), told) == perhaps


@pytest.mark.parametrize(
    ("ask", "story", "in_order"),
    [
        ("how far", "", False),
        ("lay a gauge", "", True),
        ("a rim", "", True),  # learnt from neither
        ("how far", "lay the gauge on", True),
    ],
)
def test_whether_an_ask_wants_a_working_order_is_learnt_from_those_that_are_marked(
    knowledge: Knowledge, points: Points, ask: str, story: str, in_order: bool
) -> None:
    marked = (*[(f"how far {n}", False) for n in range(40)], *[(f"gauge {n}", True) for n in range(40)])
    wants = wants_of(replace(knowledge, wants=marked), encode)
    (meant,) = replace(points, wants=wants).of([Asked(DISH, ask, story)])
    assert meant.in_order is in_order


def test_where_nothing_is_marked_every_ask_gets_its_steps(knowledge: Knowledge, points: Points) -> None:
    assert wants_of(replace(knowledge, wants=(("how far", False),)), encode) is None
    (meant,) = replace(points, wants=None).of([Asked(DISH, "how far", "")])
    assert meant.in_order


SEVERAL = (
    "how far off may it be, would you say",
    "do I have to own a gauge then",
    "and what of the rim itself",
    "a gauge?",
)


def test_each_sentence_that_asks_may_be_about_another_point(points: Points) -> None:
    mixed = Asked(DISH, " ".join(SEVERAL[:3]), "", SEVERAL[:3])
    assert asked_at(points, mixed) == [(f"{DISH}#tolerance", f"{DISH}#gauge")]
    turned = Asked(DISH, " ".join(SEVERAL[2::-1]), "", SEVERAL[2::-1])
    assert asked_at(points, turned) == [(f"{DISH}#gauge", f"{DISH}#tolerance")]


def test_a_sentence_about_the_whole_brief_or_too_short_to_tell_adds_no_point(points: Points) -> None:
    told = Asked(DISH, " ".join((SEVERAL[0], *SEVERAL[2:])), "", (SEVERAL[0], *SEVERAL[2:]))
    assert asked_at(points, told, Asked("brakes/soft", "how far off", "")) == [(f"{DISH}#tolerance",), ()]


def test_a_brief_without_points_reads_nothing(points: Points) -> None:
    def unread(_: object) -> Vectors:
        raise AssertionError("it was read")

    assert replace(points, encode=unread).of([Asked("brakes/soft", "how far off", "")]) == [Meant()]


def test_vectors_are_read_once_and_a_cut_off_file_is_made_anew(
    points: Points, knowledge: Knowledge, tmp_path: object
) -> None:
    from triage.sorter.cache import home

    (file,) = home().glob("points-*.joblib")
    whole = file.read_bytes()
    file.write_bytes(whole[:40])
    question = [Asked(DISH, "how far off", "")]
    assert sample(knowledge).of(question) == points.of(question)
    assert file.stat().st_size == len(whole)


def test_only_a_question_with_a_brief_is_given_a_point(
    points: Points, message: Callable[..., Message]
) -> None:
    def classified(is_question: bool, brief: str | None) -> Classified:
        question = Question("q", message("how far off"), "how far off", "", is_question)
        return Classified(question, "wheels", 0.9, ((brief, 0.9),) if brief else ())

    told, aside, unsorted = pinpoint(
        [classified(True, DISH), classified(False, DISH), classified(True, None)], points
    )
    assert (told.point, aside.point, unsorted.point) == (f"{DISH}#tolerance", None, None)


def reply_at(
    knowledge: Knowledge,
    point: str,
    of: str | None = None,
    *,
    perhaps: str | None = None,
    in_order: bool = True,
    **told: object,
) -> str:
    question = asked(point.split("#")[0] if of is None else of, told)
    pointed = replace(question.classified, point=point, perhaps=perhaps, in_order=in_order)
    question = replace(question, classified=pointed)
    (made,) = draft([found(question, knowledge)], knowledge, load_phrases(), 150.0)
    assert made.reply is not None
    assert made.script is not None
    return made.reply


def test_an_explanation_opens_with_what_was_asked(knowledge: Knowledge) -> None:
    kept = with_points(knowledge)
    headline, body = "Seat the wheel afresh;", "Dish is what makes the rim stand midway"
    general = reply_at(kept, f"{DISH}#tolerance")
    assert general.index(headline) < general.index(body)
    alone = reply_at(with_points(knowledge, tolerance=TOLERANCE), f"{DISH}#tolerance")
    assert "Within a millimetre is good work. Rim brakes mind sooner than discs." in alone
    assert body not in alone


def test_beside_a_verdict_the_point_follows_it(knowledge: Knowledge) -> None:
    kept = with_points(knowledge, tolerance=TOLERANCE)
    told = reply_at(kept, f"{DISH}#tolerance", dish_gap_mm=4.0)
    assert told.index("That can be put right with a spoke key") < told.index(TOLERANCE.headline)


def test_beside_a_verdict_that_no_number_of_theirs_gave_the_point_leads(knowledge: Knowledge) -> None:
    arm, point = "cranks/stripped-pedal-thread", TOLERANCE.model_copy(update={"cautions": ()})
    told = reply_at(with_points(knowledge, arm, tolerance=point), f"{arm}#tolerance")
    assert told.index(point.headline) < told.index("Force nothing;")


def test_beside_a_no_a_point_is_not_gone_into(knowledge: Knowledge) -> None:
    spoke = "wheels/broken-spoke"
    kept = with_points(knowledge, spoke, tolerance=TOLERANCE)
    assert TOLERANCE.headline in reply_at(kept, f"{spoke}#tolerance", spokes_broken="one")
    assert TOLERANCE.headline not in reply_at(kept, f"{spoke}#tolerance", spokes_broken="several")


def test_a_point_that_is_written_for_it_stands_behind_a_no(knowledge: Knowledge) -> None:
    spoke = "wheels/broken-spoke"
    point = TOLERANCE.model_copy(update={"beside_a_no": True})
    told = reply_at(with_points(knowledge, spoke, beside=point), f"{spoke}#beside", spokes_broken="several")

    assert told.index("don't ride that") < told.index(point.headline)


def test_the_point_of_another_brief_says_nothing(knowledge: Knowledge) -> None:
    kept = with_points(knowledge, tolerance=TOLERANCE)
    assert "good work" not in reply_at(kept, "wheels/wheel-truing#tolerance", of=DISH)


def test_each_thing_that_is_answered_is_a_paragraph_of_its_own(knowledge: Knowledge) -> None:
    told = reply_at(with_points(knowledge, gauge=GAUGE), f"{DISH}#gauge").split("\n\n")
    assert told[1] == f"{GAUGE.headline} {GAUGE.say}"
    assert told[2].startswith(("Please mind:", "Good", "Kind", "All"))

    decided = reply_at(with_points(knowledge, gauge=GAUGE), f"{DISH}#gauge", dish_gap_mm=4.0).split("\n\n")
    assert decided[1].startswith("That can be put right with a spoke key")
    assert decided[2] == f"{GAUGE.headline} {GAUGE.say}"


def test_a_point_answers_by_itself_but_for_what_the_riders_own_numbers_come_to(knowledge: Knowledge) -> None:
    cartridge, told = "tyres/gas-cartridge", {"tyre_width_mm": 23.0, "bead_seat_mm": 622.0}
    kept = with_points(knowledge, cartridge, gauge=GAUGE)
    assert "Yours holds about" in reply_at(kept, f"{cartridge}#gauge", **told)
    assert "Yours holds about" not in reply_at(kept, f"{cartridge}#gauge")
    alone = with_points(knowledge, cartridge, tolerance=TOLERANCE)
    assert "Yours holds about" not in reply_at(alone, f"{cartridge}#tolerance", **told)


def test_where_a_fact_is_missing_a_point_is_said_first_and_the_fact_asked_for_ones_own(
    knowledge: Knowledge,
) -> None:
    post = "frame-fit/post-size"
    brief = knowledge.briefs[post]
    assert not brief.safety
    told = reply_at(with_points(knowledge, post, gauge=GAUGE), f"{post}#gauge")
    assert told.split("\n\n")[1] == f"{GAUGE.headline} {GAUGE.say}"
    assert "To settle it for yours, tell us: " in told
    assert brief.answers["need-more"].headline not in told
    assert brief.checklist[-1].do not in told
    assert brief.answers["need-more"].headline in reply_at(with_points(knowledge, post), post + "#gauge")


def test_where_a_fact_is_missing_and_it_may_hurt_the_point_leads_and_the_word_of_caution_follows(
    knowledge: Knowledge,
) -> None:
    tyre = "tyres/cut-tyre"
    told = reply_at(with_points(knowledge, tyre, gauge=GAUGE), f"{tyre}#gauge")
    paragraphs = told.split("\n\n")
    assert paragraphs[1] == f"{GAUGE.headline} {GAUGE.say}"
    assert "look inside before you ride" in paragraphs[2]
    assert "To settle it for yours, tell us: " in told


@pytest.mark.parametrize("headline", ["Yes, that will do.", "yes: all of it"])
def test_no_plain_yes_stands_before_a_word_of_caution(knowledge: Knowledge, headline: str) -> None:
    tyre, point = "tyres/cut-tyre", GAUGE.model_copy(update={"headline": headline})
    told = reply_at(with_points(knowledge, tyre, gauge=point), f"{tyre}#gauge")
    assert told.index("look inside before you ride") < told.index(headline)


def test_a_look_before_riding_follows_a_point_unless_a_danger_was_told(knowledge: Knowledge) -> None:
    rim = "wheels/cracked-rim"
    kept = with_points(knowledge, rim, gauge=GAUGE)
    told = reply_at(kept, f"{rim}#gauge")
    assert told.index(GAUGE.headline) < told.index("Don't ride it until")
    question = asked(rim, {})
    danger = replace(
        question.classified,
        point=f"{rim}#gauge",
        question=replace(question.classified.question, flags=("danger",)),
    )
    (made,) = draft([found(replace(question, classified=danger), kept)], kept, load_phrases(), 150.0)
    assert made.reply is not None
    assert made.reply.index("Don't ride it until") < made.reply.index(GAUGE.headline)


def test_a_stop_is_not_said_twice(knowledge: Knowledge) -> None:
    rim, stop = "wheels/cracked-rim", GAUGE.model_copy(update={"headline": "Don't ride it; the rim is done."})
    told = reply_at(with_points(knowledge, rim, gauge=stop), f"{rim}#gauge")
    assert stop.headline in told
    assert "Don't ride it until" not in told.partition("Please mind:")[0]


@pytest.mark.parametrize(
    ("headline", "say"),
    [
        ("Never use a hammer.", None),
        ("Don't ride it hard.", None),
        ("It depends.", "If you see a crack, it isn't ridden."),
    ],
)
def test_what_is_no_whole_stop_silences_none(knowledge: Knowledge, headline: str, say: str | None) -> None:
    rim, point = "wheels/cracked-rim", GAUGE.model_copy(update={"headline": headline, "say": say})
    told = reply_at(with_points(knowledge, rim, gauge=point), f"{rim}#gauge")
    assert told.index(headline) < told.index("Don't ride it until") < told.index("Please mind:")


def test_what_may_be_meant_instead_follows_the_answer_and_says_so(knowledge: Knowledge) -> None:
    other = GAUGE.model_copy(update={"headline": "A gauge isn't needed.", "say": "Turn the wheel round."})
    kept = with_points(knowledge, gauge=GAUGE, other=other)
    told = reply_at(kept, f"{DISH}#gauge", perhaps=f"{DISH}#other")
    assert told.index(GAUGE.headline) < told.index("A gauge isn't needed. Turn the wheel round.")
    assert "\n\nA gauge isn't needed. Turn the wheel round.\n\n" in told
    assert "needed" not in reply_at(kept, f"{DISH}#gauge", perhaps="wheels/wheel-truing#other")


def test_what_may_be_meant_stands_before_what_is_said_in_general_and_may_leave_it_one_sentence(
    knowledge: Knowledge,
) -> None:
    other = GAUGE.model_copy(update={"headline": "A gauge isn't needed.", "say": "Turn the wheel round."})
    kept, nowhere = with_points(knowledge, other=other), f"{DISH}#none"
    told = reply_at(kept, nowhere, perhaps=f"{DISH}#other", in_order=False).split("\n\n")
    assert told[1] == "A gauge isn't needed. Turn the wheel round."
    assert told[2].startswith("Seat the wheel afresh;")
    assert "Dish is what makes the rim stand midway" not in "".join(told)
    assert "Dish is what makes the rim stand midway" in reply_at(kept, nowhere, perhaps=f"{DISH}#other")
    assert "needed" not in reply_at(kept, nowhere)
    decided = reply_at(kept, nowhere, perhaps=f"{DISH}#other", dish_gap_mm=4.0)
    assert decided.index("That can be put right with a spoke key") < decided.index("A gauge isn't needed.")


def test_what_may_be_meant_instead_is_held_back_behind_a_no_that_it_is_not_written_for(
    knowledge: Knowledge,
) -> None:
    spoke = "wheels/broken-spoke"
    written = TOLERANCE.model_copy(update={"headline": "Carry a spare.", "beside_a_no": True})
    kept = with_points(knowledge, spoke, tolerance=TOLERANCE, written=written)
    pointed = f"{spoke}#nothing"
    held = reply_at(kept, pointed, of=spoke, perhaps=f"{spoke}#tolerance", spokes_broken="several")
    assert TOLERANCE.headline not in held
    told = reply_at(kept, pointed, of=spoke, perhaps=f"{spoke}#written", spokes_broken="several")
    assert told.index("don't ride that") < told.index("Carry a spare.")


def named(knowledge: Knowledge, of: str = DISH, **changes: object) -> Knowledge:
    """A brief whose first and third step and second caution have names, with a point that calls them."""
    brief = knowledge.briefs[of]
    steps = tuple(
        check.model_copy(update={"name": {0: "first", 2: "third"}.get(n)})
        for n, check in enumerate(brief.checklist)
    )
    cautions = (
        Caution(say="Mind the first."),
        Caution(say="Mind the second.", name="second"),
        Caution(say="Mind the third."),
    )
    point = GAUGE.model_copy(update={"steps": ("third", "first"), "cautions": ("second",), **changes})
    update = {"checklist": steps, "cautions": cautions, "points": {"gauge": point}}
    return changed(knowledge, brief.model_copy(update=update))


def test_only_the_steps_and_cautions_that_belong_to_a_point_are_told_in_the_order_of_the_brief(
    knowledge: Knowledge,
) -> None:
    first, second, third, *_ = knowledge.briefs[DISH].checklist
    told = reply_at(named(knowledge), f"{DISH}#gauge")
    assert f"1. {first.sentence}" in told
    assert f"2. {third.sentence}" in told
    assert second.do not in told
    assert "Please mind:\n- Mind the second.\n" in told
    assert "In this order" not in reply_at(named(knowledge, steps=()), f"{DISH}#gauge")
    assert f"One thing to do: {first.sentence}" in reply_at(
        named(knowledge, steps=("first",)), f"{DISH}#gauge"
    )


def test_a_matter_of_safety_keeps_its_first_caution_where_a_point_names_none_and_beside_a_stop(
    knowledge: Knowledge,
) -> None:
    assert "Please mind" not in reply_at(named(knowledge, cautions=()), f"{DISH}#gauge")
    rim = "wheels/cracked-rim"
    told = reply_at(named(knowledge, rim, cautions=()), f"{rim}#gauge")
    assert "- Mind the first.\n- If anything is in doubt" in told
    assert "Mind the second." not in told
    assert "- Mind the first.\n- Mind the second.\n" in reply_at(named(knowledge, rim), f"{rim}#gauge")
    harmless = reply_at(named(knowledge), f"{DISH}#gauge")
    assert "Mind the first." not in harmless
    every = reply_at(named(knowledge, rim, cautions=None), f"{rim}#gauge")
    assert "- Mind the first.\n- Mind the second.\n- Mind the third.\n" in every


def test_a_few_sentences_come_without_steps_that_are_anothers(knowledge: Knowledge) -> None:
    kept, nowhere = named(knowledge), f"{DISH}#none"
    first, second, third, *_ = (check.sentence for check in knowledge.briefs[DISH].checklist)
    assert second in reply_at(kept, nowhere, in_order=False)
    told = reply_at(kept, nowhere, in_order=False, perhaps=f"{DISH}#gauge")
    assert (first in told, second in told, third in told) == (True, False, True)
    assert second in reply_at(kept, nowhere, perhaps=f"{DISH}#gauge")


def test_a_no_comes_without_steps_where_a_few_sentences_are_wanted(knowledge: Knowledge) -> None:
    spoke = "wheels/broken-spoke"
    last = knowledge.briefs[spoke].checklist[-1].do
    assert last in reply_at(knowledge, f"{spoke}#none", spokes_broken="several")
    assert last not in reply_at(knowledge, f"{spoke}#none", spokes_broken="several", in_order=False)


def test_a_point_that_is_a_whole_answer_asks_for_nothing_and_leaves_nothing_open(
    knowledge: Knowledge,
) -> None:
    tyre, whole = "tyres/cut-tyre", GAUGE.model_copy(update={"settles": True})
    for point, verdict, asks in ((GAUGE, "need-more", True), (whole, "explain", False)):
        kept = with_points(knowledge, tyre, gauge=point)
        question = asked(tyre, {})
        pointed = replace(question, classified=replace(question.classified, point=f"{tyre}#gauge"))
        finding = found(pointed, kept)
        assert (finding.verdict, bool(finding.asks), bool(finding.ready)) == (verdict, asks, asks)
    told = reply_at(kept, f"{tyre}#gauge")
    assert told.split("\n\n")[1] == f"{GAUGE.headline} {GAUGE.say}"
    assert "look inside before you ride" not in told
    assert "have a qualified" in told or "qualified bicycle mechanic" in told


def test_what_hangs_on_a_fact_is_asked_for_if_any_of_several_points_does(knowledge: Knowledge) -> None:
    tyre, whole = "tyres/cut-tyre", GAUGE.model_copy(update={"settles": True})
    kept, question = with_points(knowledge, tyre, gauge=GAUGE, whole=whole), asked(tyre, {})
    both = replace(question.classified, point=f"{tyre}#whole", more_points=(f"{tyre}#gauge",))
    assert found(replace(question, classified=both), kept).verdict == "need-more"
