"""An editor is told of every caution, condition, figure and verdict word that an edit touched, and of nothing else."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.numbers import for_the_ear
from tests.triage.golden.drafts import PACE, cases, finding_of
from triage.draft import draft
from triage.draft.sentences import sentences_of
from triage.record_line import as_line
from triage.review.edits import Concern, pointed_out

CASES = cases()
NAMES = [case["case"] for case in CASES]
TEXTS = ("script", "reply")
Lines = dict[str, dict[str, Any]]


@pytest.fixture(scope="module")
def lines(knowledge, phrases) -> Lines:
    """The approved drafts as the ledger keeps them, by the name of their case."""
    return {
        case["case"]: as_line(draft([finding_of(case, knowledge)], knowledge, phrases, PACE)[0], knowledge)
        for case in CASES
    }


def of_edit(line: dict[str, Any], where: str, edited: str) -> list[Concern]:
    """What is pointed out when one text is edited."""
    return pointed_out(line, edited if where == "script" else None, edited if where == "reply" else None)


@pytest.fixture
def edit(lines: Lines) -> Callable[..., list[Concern]]:
    """Edit a text of a case: each pair of words is put in the place of the other."""

    def make(name: str, where: str, *changes: tuple[str, str]) -> list[Concern]:
        text = lines[name][where]
        for was, now in changes:
            assert was in text
            text = text.replace(was, now, 1)
        return of_edit(lines[name], where, text)

    return make


def told(found: list[Concern]) -> list[tuple[str, str]]:
    """(kind, sentence) of each concern."""
    return [(one.kind, one.told) for one in found]


# Over all approved drafts


@pytest.mark.parametrize("name", NAMES)
def test_a_text_as_drafted_has_nothing_to_point_out(name: str, lines: Lines) -> None:
    line = lines[name]

    assert pointed_out(line, None, None) == []
    assert pointed_out(line, line["script"], line["reply"]) == []


@pytest.mark.parametrize("where", TEXTS)
@pytest.mark.parametrize("name", NAMES)
def test_every_caution_that_is_deleted_is_pointed_out(name: str, where: str, lines: Lines) -> None:
    line = lines[name]
    for caution in line["cautions"]:
        for sentence in sentences_of(for_the_ear(caution) if where == "script" else caution):
            assert sentence in line[where]
            found = of_edit(line, where, line[where].replace(sentence, "", 1))

            assert [one.kind for one in found if one.kind.startswith("caution")] == ["caution dropped"]
            assert found[0].was == sentence


def test_no_caution_of_any_brief_can_be_deleted_unseen(knowledge, lines: Lines) -> None:
    for brief in knowledge.briefs.values():
        # One that hangs on what was told, as it reads where that was.
        cautions = [re.sub(r"\{%.*?%\}", "", caution.say) for caution in brief.cautions]
        texts = {
            "script": for_the_ear(" ".join(cautions)),
            "reply": "\n".join(f"- {one}" for one in cautions),
        }
        line = lines["rim-worn-measured"] | texts | {"cautions": cautions}
        for where, text in texts.items():
            for caution in cautions:
                found = of_edit(
                    line, where, text.replace(for_the_ear(caution) if where == "script" else caution, "")
                )

                assert {one.kind for one in found if one.kind.startswith("caution")} == {"caution dropped"}, (
                    caution
                )


WEIGHTY = re.compile(
    r"\b(?:never|not|no|must|until|before|qualified|mechanic|maker's|can't|don't)\b", re.IGNORECASE
)


@pytest.mark.parametrize("where", TEXTS)
@pytest.mark.parametrize("name", NAMES)
def test_every_weighty_word_that_a_caution_loses_is_pointed_out(name: str, where: str, lines: Lines) -> None:
    line = lines[name]
    for caution in line["cautions"]:
        spoken = for_the_ear(caution) if where == "script" else caution
        start = line[where].index(spoken)
        for word in WEIGHTY.finditer(spoken):
            edited = line[where][: start + word.start()] + line[where][start + word.end() :].lstrip()

            assert "caution altered" in [one.kind for one in of_edit(line, where, edited)], word


UNITS = (
    "mm|cm|m|bar|psi|kPa|N·m|N|kgf|kg|g|°C|°|%|teeth|links|speeds?|km/h|rpm|W|inch|in|years|hours|km|per cent"
)
FIGURE = re.compile(rf"(?<![\w.,/])\d+(?:\.\d+)?(?= ?(?:{UNITS})(?!\w))")
SPOKEN_UNITS = (
    "millimetres?|centimetres?|metres|bar|P S I|newton metres|newtons|kilos|grams|degrees Celsius|degrees|per cent|teeth|"
    "links|speeds?|kilometres an hour|watts|inch|inches|hours"
)
TENS = "twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety"
LAST_NUMBER_WORD = re.compile(
    rf"\b(?:(?:{TENS})-)?(?:two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fifteen|sixteen|eighteen|"
    rf"{TENS})(?= (?:{SPOKEN_UNITS})\b)"
)


def _figures(line: dict[str, Any], where: str) -> list[tuple[str, str]]:
    """(figure and what follows it, the text with another figure there) for every figure but the rider's own."""
    text = line[where]
    asked = re.search("“.*?”", text) if where == "script" else None
    others = ("77", "3.14") if where == "reply" else ("seventeen", "four")
    found = []
    for match in (FIGURE if where == "reply" else LAST_NUMBER_WORD).finditer(text):
        if asked is None or match.start() > asked.end():
            other = others[0] if match.group() != others[0] else others[1]
            found.append((text[match.start() :][:30], text[: match.start()] + other + text[match.end() :]))
    return found


def test_the_drafts_have_many_figures_and_cautions_to_try(lines: Lines) -> None:
    assert sum(len(_figures(line, "reply")) for line in lines.values()) > 150
    assert sum(len(line["cautions"]) for line in lines.values()) > 60
    assert sum(len(_figures(line, "script")) for line in lines.values()) > 80


@pytest.mark.parametrize("where", TEXTS)
@pytest.mark.parametrize("name", NAMES)
def test_every_figure_that_is_changed_is_pointed_out(name: str, where: str, lines: Lines) -> None:
    for figure, edited in _figures(lines[name], where):
        assert of_edit(lines[name], where, edited), figure


@pytest.mark.parametrize("where", TEXTS)
@pytest.mark.parametrize("name", NAMES)
def test_paragraphs_in_another_order_have_nothing_to_point_out(name: str, where: str, lines: Lines) -> None:
    paragraphs = lines[name][where].split("\n\n")
    for place in range(len(paragraphs) - 1):
        moved = [*paragraphs]
        moved[place], moved[place + 1] = moved[place + 1], moved[place]

        assert of_edit(lines[name], where, "\n\n".join(moved)) == []


EVENED: dict[str, Callable[[str], str]] = {
    "round apostrophes": lambda text: text.replace("'", "’"),
    "straight quotes": lambda text: text.replace("“", '"').replace("”", '"'),
    "narrow blanks": lambda text: text.replace(" mm", "\u202fmm").replace(" %", "\u00a0%"),
    "no blank before a unit": lambda text: re.sub(r"(\d) (mm|bar|%)(?!\w)", r"\1\2", text),
    "double blanks": lambda text: text.replace(" ", "  "),
    "other line ends": lambda text: text.replace("\n", "\r\n"),
    "broken lines": lambda text: text.replace(", ", ",\n"),
    "all in one line": lambda text: " ".join(text.split()),
    "no commas": lambda text: text.replace(", ", " "),
    "an added closing": lambda text: f"{text}\n\nMany thanks for writing in!",
    "all in one line, and a word more": lambda text: f"{' '.join(text.split())} Thanks.",
}  # fmt: skip


@pytest.mark.parametrize("how", EVENED)
@pytest.mark.parametrize("where", TEXTS)
@pytest.mark.parametrize("name", NAMES)
def test_what_nobody_need_look_at_is_not_pointed_out(name: str, where: str, how: str, lines: Lines) -> None:
    text = lines[name][where]

    assert of_edit(lines[name], where, EVENED[how](text)) == []


@pytest.mark.parametrize("name", NAMES)
def test_numbers_put_in_figures_in_a_script_or_in_words_in_a_reply_stay_the_same(
    name: str, lines: Lines
) -> None:
    line = lines[name]
    in_words = "\n\n".join(
        "\n".join(for_the_ear(row) for row in part.split("\n")) for part in line["reply"].split("\n\n")
    )

    assert [one for one in of_edit(line, "reply", in_words) if not one.kind.startswith("figure")] == []
    assert [one.told for one in of_edit(line, "reply", in_words)] == []


# Cautions

PUMP = 'The caution "Never pump a tyre to its…"'
DOUBT = 'The caution "If in doubt, a qualified wheel…"'


def test_a_caution_that_is_gone_is_named(edit) -> None:
    found = edit(
        "rim-worn-measured",
        "reply",
        ("- Never pump a tyre to its limit on a rim whose wall you doubt.\n", ""),
    )

    assert found == [
        Concern(
            "reply",
            "caution dropped",
            "Never pump a tyre to its limit on a rim whose wall you doubt.",
            None,
            f"{PUMP} no longer stands in the reply.",
        )
    ]


@pytest.mark.parametrize(
    ("was", "now", "sentence"),
    [
        ("Never pump", "Pump", f'{PUMP} has lost "never" in the script.'),
        ("Never pump", "Always pump", f'{PUMP} has lost "never" in the script.'),
        ("pump a tyre to its limit", "pump a tyre to its limit before riding", f'{PUMP} has gained "before" in the script.'),
        ("whose wall you doubt", "with a doubtful wall", f'{PUMP} is worded otherwise in the script.'),
        ("a qualified wheel mechanic measures", "a wheel mechanic measures", f'{DOUBT} has lost "qualified" in the script.'),
        ("in five minutes", "in 50 minutes", f'{DOUBT} has lost "5 min" and has gained "50 min" in the script.'),
        ("whose wall you doubt.", "whose wall you doubt?", f'{PUMP} is worded otherwise in the script.'),
    ],
)  # fmt: skip
def test_a_caution_that_is_altered_says_how(was: str, now: str, sentence: str, edit) -> None:
    found = edit("rim-worn-measured", "script", (was, now))

    assert ("caution altered", sentence) in told(found)


def test_an_altered_caution_shows_both_wordings(edit) -> None:
    found = edit("rim-worn-measured", "reply", ("Never pump", "Do pump"))

    assert (found[0].was, found[0].now) == (
        "Never pump a tyre to its limit on a rim whose wall you doubt.",
        "Do pump a tyre to its limit on a rim whose wall you doubt.",
    )


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("If in doubt, a qualified", "If in doubt a qualified"),
        ("in five minutes", "in 5 minutes"),
        ("Never pump", "NEVER pump"),
        (
            "for carbon rims there is no such figure at all.",
            "for carbon rims there is no such figure at all!",
        ),
    ],
)
def test_a_comma_a_capital_or_a_numeral_in_a_caution_is_nothing(was: str, now: str, edit) -> None:
    assert edit("rim-worn-measured", "script", (was, now)) == []


def test_a_caution_drawn_into_a_longer_sentence_is_altered(edit) -> None:
    found = edit("rim-worn-measured", "reply", ("- Never pump", "- Some say that you should never pump"))

    assert [one.kind for one in found] == ["caution altered"]


def test_a_caution_may_stand_anywhere(edit) -> None:
    caution = "Never pump a tyre to its limit on a rim whose wall you doubt."

    assert (
        edit("rim-worn-measured", "reply", (f"- {caution}\n", ""), ("Hi Vera,", f"Hi Vera,\n\n{caution}"))
        == []
    )


def test_a_decimal_comma_is_no_whole_number(edit) -> None:
    found = edit("pressure-over-the-limit", "reply", ("never above 5 bar", "never above 0,5 bar"))

    assert told(found)[0] == (
        "caution altered",
        'The caution "Never above the lower of the…" has lost "5 bar" and has gained "0.5 bar" in the reply.',
    )


def test_abbreviations_and_units_end_no_sentence(lines: Lines) -> None:
    line = lines["rim-worn-measured"] | {
        "cautions": ["Torque it to 5 N·m, e.g. with a key of approx. 4.5 mm. Never more."],
        "reply": "Hi.\n\nTorque it to 5 N·m, e.g. with a key of approx. 4.5 mm. Never more.",
    }

    assert told(of_edit(line, "reply", line["reply"].replace("approx. 4.5", "approx. 4.7"))) == [
        ("caution altered", 'The caution "Torque it to 5 N·m, e.g.…" has lost "4.5 mm" and has gained "4.7 mm" in the reply.'),
        ("figure changed", 'The reply says "4.7 mm" where the draft gave "4.5 mm".'),
    ]  # fmt: skip


# Conditions


CONDITION = (
    "the value lies between the tyre's printed minimum and the lower of the tyre's and the rim's maximum"
)
VALUE = 'The condition "On one condition: the value lies…"'


@pytest.mark.parametrize(
    ("now", "kind", "sentence"),
    [
        ("", "condition dropped", f'{VALUE} no longer stands in the reply.'),
        (f"Make sure that {CONDITION}.", "condition altered", f'{VALUE} is worded otherwise in the reply.'),
        (f"On one condition: {CONDITION.replace('lower', 'higher')}.", "condition altered", f'{VALUE} is worded otherwise in the reply.'),
        (f"On no condition: {CONDITION}.", "condition altered", f'{VALUE} has gained "no" in the reply.'),
    ],
)  # fmt: skip
def test_a_condition_that_no_longer_binds_is_pointed_out(now: str, kind: str, sentence: str, edit) -> None:
    found = edit("pressure-over-the-limit", "reply", (f"On one condition: {CONDITION}.", now))

    assert told(found) == [(kind, sentence)]


@pytest.mark.parametrize("lead", ["The condition: ", "Only if ", "All this provided that "])
def test_a_condition_may_be_led_up_to_in_other_words(lead: str, edit) -> None:
    assert (
        edit("pressure-over-the-limit", "reply", (f"On one condition: {CONDITION}", f"{lead}{CONDITION}"))
        == []
    )


# Verdict words

NOT = "The verdict is not-recommended, and the reply"
MORE = "The verdict is need-more, and the reply"


@pytest.mark.parametrize(
    ("name", "was", "now", "sentence"),
    [
        ("cracked-fork", "Don't ride it, not even home, until", "Ride it home, until",
         f'{NOT} turns "Don\'t ride it, not even home…" into "Ride it home, until somebody qualified…".'),
        ("cracked-fork", "Don't ride it, not even home, until somebody qualified has had the fork out and looked. ", "",
         f'{NOT} no longer says "Don\'t ride it, not even home…".'),
        ("cracked-fork", "Walk it or have it fetched.", "Walk it or have it fetched. You can ride it home.",
         f'{NOT} now says "You can ride it home".'),
        ("hookless-too-narrow", "Not recommended; that is outside", "Recommended; that is inside",
         f'{NOT} turns "Not recommended; that is outside what…" into "Recommended; that is inside what a…".'),
        ("rim-worn-measured", "No. That rim is finished", "Yes. That rim is finished",
         f'{NOT} no longer says "No".'),
        ("rim-heat-unknown", "That hangs on how steep it is", "It is fine however steep it is",
         f'{MORE} turns "That hangs on how steep it…" into "It is fine however steep it…".'),
    ],
)  # fmt: skip
def test_a_verdict_that_is_turned_or_dropped_is_pointed_out(
    name: str, was: str, now: str, sentence: str, edit
) -> None:
    assert told(edit(name, "reply", (was, now))) == [("verdict word changed", sentence)]


@pytest.mark.parametrize(
    ("name", "was", "now"),
    [
        ("cracked-fork", "Don't ride it, not even home, until", "Do not ride it, not even home, until"),
        ("cracked-fork", "Walk it or have it fetched.", "Walk it or have it fetched. You can ride it once it has been looked at."),
        ("hookless-too-narrow", "It may hold for months", "It can hold for months"),
        # A yes may be put in any words.
        ("rim-width-unknown", "That hangs on a width", "That all hangs on a width"),
        ("broken-spoke", "Hi Paolo,", "Hi Paolo, you can ride it home."),
    ],
)  # fmt: skip
def test_a_verdict_in_other_words_is_not_pointed_out(
    name: str, was: str, now: str, edit, lines: Lines
) -> None:
    was = was if was in lines[name]["reply"] else "Hello Paolo,"

    assert edit(name, "reply", (was, now)) == []


# Figures


@pytest.mark.parametrize(
    ("name", "where", "was", "now", "expected"),
    [
        ("rim-worn-measured", "reply", "about 0.7 mm", "about 0.8 mm",
         [("figure changed", 'The reply says "0.8 mm" where the draft gave "0.7 mm".')]),
        ("rim-worn-measured", "reply", "Wall left to wear: −0.1 mm", "Wall left to wear: 0.1 mm",
         [("figure changed", 'The reply says "0.1 mm" where the draft gave "−0.1 mm" (wall left to wear).')]),
        ("rim-worn-measured", "reply", "- Wall left to wear: −0.1 mm\n", "",
         [("figure gone", 'The reply no longer gives "−0.1 mm" (wall left to wear).')]),
        ("rim-worn-measured", "reply", "Hi Vera,", "Hi Vera, it has 4.9 mm.",
         [("new figure", 'The reply says "4.9 mm"; no working gives that figure.')]),
        ("rim-worn-measured", "script", "about zero point seven millimetres", "about zero point six millimetres",
         [("figure changed", 'The script says "0.6 mm" where the draft gave "0.7 mm".')]),
        ("rim-worn-measured", "script", "That is the whole of it.", "Mine took twelve hundred and five newton metres.",
         [("new figure", 'The script says "1,205 N·m"; no working gives that figure.')]),
        # A bare number is a figure where it is what a figure comes to.
        ("mixed-shifter", "reply", "would suit this lever: 1.72", "would suit this lever: 1.75",
         [("figure changed", 'The reply says "1.75" where the draft gave "1.72" (actuation ratio that would suit this lever).')]),
        # Two figures that change places are two that changed.
        ("pressure-over-the-limit", "reply", "here about 58 kg against 47 kg", "here about 47 kg against 58 kg",
         [("figure changed", 'The reply says "47 kg" where the draft gave "58 kg" (load on the rear tyre).'),
          ("figure changed", 'The reply says "58 kg" where the draft gave "47 kg" (load on the front tyre).')]),
        # Both ends of a stretch have the unit that is said once.
        ("rim-heat-unknown", "script", "fifty-five to one hundred and sixty-three", "fifty to one hundred and sixty-three",
         [("figure changed", 'The script says "50 °C" where the draft gave "55 °C" (rim temperature after some minutes of it).')]),
        # In a sentence that is put otherwise, the words next to a figure tell which it was.
        ("pressure-over-the-limit", "reply", "Start near 5.8 bar (84 psi) in front", "Begin near 5.9 bar (84 psi) in front",
         [("figure changed", 'The reply says "5.9 bar" where the draft gave "5.8 bar".')]),
    ],
)  # fmt: skip
def test_a_figure_that_is_not_the_draft_s_is_told(
    name: str, where: str, was: str, now: str, expected: list[tuple[str, str]], edit
) -> None:
    assert sorted(told(edit(name, where, (was, now)))) == sorted(expected)


def test_a_changed_figure_shows_the_words_as_they_stand(edit) -> None:
    found = edit("rim-worn-measured", "script", ("zero point seven millimetres", "0.8 mm"))

    assert [(one.was, one.now) for one in found] == [("zero point seven millimetres", "0.8 mm")]


@pytest.mark.parametrize(
    ("name", "where", "was", "now"),
    [
        # Of the working, rounded alike or in another unit.
        ("rim-worn-measured", "reply", "Hi Vera,", "Hi Vera, 0.9 mm is too little."),
        ("pressure-over-the-limit", "reply", "Hi Hank,", "Hi Hank, 105 kg in all."),
        ("pressure-over-the-limit", "reply", "Hi Hank,", "Hi Hank, 580 kPa in front."),
        # Said a second time no longer, but said.
        ("pressure-over-the-limit", "reply", "\n- Load on the front tyre: 47 kg", ""),
        # Numbers of a list, years, codes and what the rider asked are no figures.
        ("rim-worn-measured", "reply", "1. Let the tyre down before you start.", "1) Let the tyre down before you start."),
        ("rim-worn-measured", "reply", "1. Let the tyre down before you start.\n", ""),
        ("rim-worn-measured", "reply", "Hi Vera,", "Hi Vera, the norm of 2014 says so, and so does DOT 4 on a 6902-2RS."),
        ("rim-worn-measured", "script", "Rim wall is zero point nine millimetres", "Rim wall is zero point eight millimetres"),
        ("rim-worn-measured", "script", "zero point seven millimetres", "0.7 mm"),
        ("rim-worn-measured", "reply", "Hi Vera,", "Hi Vera, there were 4 in a row, one of them in the forties."),
        # A gap that only the presenter can fill.
        ("rim-worn-measured", "script", "a worn rim sawn through, from your own workshop", "mine, gone at 0.6 mm"),
    ],
)  # fmt: skip
def test_what_is_no_new_figure_is_not_pointed_out(name: str, where: str, was: str, now: str, edit) -> None:
    assert edit(name, where, (was, now)) == []


@pytest.mark.parametrize(
    ("now", "plain"),
    [
        ("It wants 12 Nm", "12 N·m"), ("It wants twelve newton metres", "12 N·m"), ("It wants 12 newton-metres", "12 N·m"),
        ('A 29" wheel', "29 in"), ("A 29 inch wheel", "29 in"), ("A 34T sprocket", "34 teeth"), ("A 9-tooth cog", "9 teeth"),
        ("An eleven-speed chain", "11 speeds"), ("At 95 rpm", "95 rpm"), ("At 250W", "250 W"), ("At 44 kph", "44 km/h"),
        ("Some 1,250 km on", "1,250 km"), ("Half a centimetre of it", "0.5 cm"), ("Three and a half centimetres", "3.5 cm"),
        ("About 3 1/2 cm", "3.5 cm"), ("A tenth of a degree", "0.1°"),
        ("Some 0,3 g of it", "0.3 g"), ("At minus five degrees Celsius", "−5 °C"),
        ("At 300 N", "300 N"), ("At 83 percent", "83 %"), ("Use 66 PSI", "66 psi"), ("Use 66 p s i", "66 psi"),
        ("Some 4 kilograms", "4 kg"),
    ],
)  # fmt: skip
def test_numbers_with_units_are_read_however_they_are_written(now: str, plain: str, edit) -> None:
    found = edit("cracked-fork", "reply", ("Hello Ines,", f"Hello Ines,\n\n{now}."))

    assert told(found) == [("new figure", f'The reply says "{plain}"; no working gives that figure.')]


# Whatever is typed


@given(st.text(max_size=300))
def test_any_text_can_be_looked_at(text: str) -> None:
    line = {
        "script": None, "reply": "Never ride at 5 bar.", "cautions": ["Never ride at 5 bar."], "conditions": ["it is 5 mm"],
        "figures": [], "asks": [], "nearest": [], "assumed": [], "reasons": [], "verdict": "not-recommended",
        "headline": None, "text": "What?", "whole_text": "What?",
    }  # fmt: skip

    assert all(one.told.endswith(".") for one in pointed_out(line, text, text))


@pytest.mark.parametrize(
    "text", ["1" * 50_000, "1 mm " * 10_000, "Go. " * 12_500, '"' * 50_000, "one hundred and " * 3_000]
)
def test_an_odd_text_takes_seconds_at_most(text: str, lines: Lines) -> None:
    start = time.perf_counter()
    found = of_edit(lines["rim-worn-measured"], "reply", text)

    assert len([one for one in found if one.kind == "caution dropped"]) == 3
    assert time.perf_counter() - start < 10


def test_a_usual_reply_is_looked_through_in_twenty_milliseconds(lines: Lines) -> None:
    line = lines["rim-worn-measured"]
    took = []
    for turn in range(7):
        edited = (
            line["reply"]
            .replace("finished", f"finished, as {turn + 60} others were")
            .replace("Never", f"Never {turn}")
        )
        start = time.perf_counter()
        found = of_edit(line, "reply", edited)
        took.append(time.perf_counter() - start)
        assert found

    assert min(took) < 0.020
