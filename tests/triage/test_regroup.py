"""Which asks of one message are one matter, and which one question is about two."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import pytest

from triage.classify import classify
from triage.records import TOLD_BESIDE, Classified, Message, Question
from triage.regroup import SHARED, SURE, askings, part, regroup, rejoin
from triage.regroup import UNSURE as UNSURE_OF_AN_ASK
from triage.sorter.sorter import Labels, Sorted
from triage.split.clauses import clauses_of

NAMES = ["brakes/soft-lever", "frame/crack", "frame/dent", "lubrication/which-oil"]
LABELS = Labels(NAMES, ["brakes", "frame", "lubrication"], np.array([0, 1, 1, 2]), np.zeros(3, dtype=bool))


def classified(questions: Sequence[Question], chances: Sequence[Sequence[float]]) -> list[Classified]:
    none = np.zeros(len(questions))
    return rejoin(classify(questions, Sorted(LABELS, np.asarray(chances), none, none[:, None])))


def asked(message: Message, *beside: bool, is_question: bool = True) -> list[Question]:
    return [
        Question(f"q-{number}", message, f"text {number}", "", is_question, (TOLD_BESIDE,) if told else ())
        for number, told in enumerate(beside)
    ]


def test_two_sentences_of_one_kind_are_one_ask(message: Callable[..., Message]) -> None:
    (found,) = classified(asked(message("a"), False, False), [[0, 0.9, 0.1, 0], [0, 0.8, 0.2, 0]])
    assert found.question.text == "text 0 text 1"


def test_what_was_asked_before_something_else_is_not_answered_twice(message: Callable[..., Message]) -> None:
    first, second = classified(
        asked(message("a"), False, False, False), [[0, 0.9, 0.1, 0], [0, 0, 0, 1.0], [0, 0.8, 0.2, 0]]
    )
    assert (first.question.text, second.question.text) == ("text 0 text 2", "text 1")


def test_an_ask_in_two_sentences_is_as_sure_as_the_one_that_tells_more(
    message: Callable[..., Message],
) -> None:
    (found,) = classified(asked(message("a"), False, False), [[0, 0.4, 0.3, 0.1], [0, 0.9, 0.1, 0]])
    assert found.question.text == "text 0 text 1"
    assert found.briefs[0] == ("frame/crack", pytest.approx(0.9))


def test_one_kind_in_two_messages_is_two_asks(message: Callable[..., Message]) -> None:
    questions = [*asked(message("a"), False), *asked(message("b"), False)]
    assert len(classified(questions, [[0, 0.9, 0.1, 0], [0, 0.8, 0.2, 0]])) == 2


@pytest.mark.parametrize(
    ("first", "second", "count"),
    [
        ([0, 0.9, 0.1, 0], [0, UNSURE_OF_AN_ASK - 0.2, UNSURE_OF_AN_ASK - 0.05, 0.3], 1),
        ([0, 0.9, 0.1, 0], [0, SHARED - 0.05, UNSURE_OF_AN_ASK - 0.05, 0.3], 2),
        ([0, 0.9, 0.1, 0], [0, 0.2, UNSURE_OF_AN_ASK + 0.05, 0.3], 2),
        ([0.3, 0.35, 0.2, 0], [0.1, 0.2, 0.3, 0.25], 1),
    ],
)
def test_an_unsure_ask_belongs_to_a_neighbour_whose_kind_is_likely_for_it_too(
    message: Callable[..., Message], first: list[float], second: list[float], count: int
) -> None:
    assert len(classified(asked(message("a"), False, False), [first, second])) == count
    apart = [*asked(message("a"), False), *asked(message("b"), False)]
    assert len(classified(apart, [first, second])) == 2


def test_unsure_asks_that_were_put_together_are_sorted_by_all_that_they_say(
    message: Callable[..., Message],
) -> None:
    none = np.zeros(4)
    chances = [[0.3, 0.35, 0.2, 0], [0.1, 0.2, 0.3, 0.25], [0.3, 0.35, 0.2, 0], [0, 0, 0, 1.0]]
    two, other = asked(message("a"), False, False), asked(message("b"), False)
    alone = [replace(question, question_id="r-0") for question in other]
    more = [replace(asked(message("c"), False)[0], question_id="s-0")]
    before = classify([*two, *alone, *more], Sorted(LABELS, np.asarray(chances), none, none[:, None]))
    read: list[str] = []

    def sort(questions: Sequence[Question]) -> list[Classified]:
        read.extend(question.text for question in questions)
        surely = np.asarray([[0, 0, 1.0, 0]] * len(questions))
        empty = np.zeros(len(questions))
        return classify(questions, Sorted(LABELS, surely, empty, empty[:, None]))

    found = regroup(before, sort)
    assert read == ["text 0 text 1"]
    assert [one.briefs[0][0] for one in found] == ["frame/dent", "frame/crack", "lubrication/which-oil"]
    assert [one.question.message.text for one in found] == ["a", "b", "c"]


OIL, CRACK = [0, 0.0, 0.0, 1.0], [0, 0.9, 0.1, 0]


@pytest.mark.parametrize(
    ("ask", "danger", "kept"),
    [
        (OIL, CRACK, True),
        (CRACK, CRACK, False),
        ([0, 0.2, 0.8, 0], CRACK, False),
        ([0, 0.01, 0.99, 0], CRACK, False),
        ([1.0, 0, 0, 0], CRACK, True),
        (OIL, [0.25, 0.25, 0.25, 0.25], True),
    ],
)
def test_a_danger_is_a_matter_of_its_own_unless_an_ask_is_about_it(
    message: Callable[..., Message], ask: list[float], danger: list[float], kept: bool
) -> None:
    found = classified(asked(message("a"), False, True), [ask, danger])
    assert found[0].question.text == "text 0"
    assert len(found) == (2 if kept else 1)


def test_a_danger_is_held_beside_every_ask_of_its_message_and_no_other(
    message: Callable[..., Message],
) -> None:
    same = asked(message("a"), False, False, True)
    assert len(classified(same, [CRACK, OIL, CRACK])) == 2
    other = [*asked(message("b"), False), *asked(message("a"), False, True)]
    assert len(classified(other, [CRACK, OIL, CRACK])) == 3


def test_what_was_set_aside_beside_an_ask_leaves_no_record(message: Callable[..., Message]) -> None:
    aside = asked(message("a"), True, is_question=False)
    assert classified([*asked(message("a"), False), *aside], [OIL, CRACK])[0].question.text == "text 0"
    assert len(classified([*asked(message("a"), False), *aside], [OIL, CRACK])) == 1


SOFT, CRACK, DENT = ([0.9, 0.1, 0.0, 0.0], [0.0, 0.9, 0.1, 0.0], [0.0, 0.1, 0.9, 0.0])
UNSURE = [SURE - 0.05, 0.25, 0.1, 0.0]


def parted(message: Message, whole: Sequence[float], *asks: tuple[str, Sequence[float]]) -> list[Classified]:
    """A question that tells and asks in these words, with what each of them is sorted as."""
    texts = tuple(text for text, _ in asks)
    text = f"I was out on my steel tourer. {' and '.join(texts)}"
    (one,) = classified([Question("q-1", message, text, "", True, asked=texts)], [whole])
    found = askings([one])
    chances = dict(asks)
    none = np.zeros(len(found))
    labelled = Sorted(LABELS, np.asarray([chances[a.text] for a in found]), none, none[:, None])
    return part([one], classify(found, labelled) if found else [])


def test_what_is_surely_asked_about_two_kinds_of_thing_is_two_questions(
    message: Callable[..., Message],
) -> None:
    first, second = ("is this line a crack", CRACK), ("why is my lever so soft", SOFT)
    one, other = parted(message("a"), CRACK, first, second)
    assert (one.question.question_id, one.briefs[0][0]) == ("q-1", "frame/crack")
    assert (other.question.question_id, other.briefs[0][0]) == ("q-2", "brakes/soft-lever")
    assert one.question.text == "I was out on my steel tourer. is this line a crack"
    assert other.question.text == "why is my lever so soft"
    assert (one.question.asked, other.question.asked) == ((first[0],), (second[0],))

    # What is told before it in the same sentence takes nothing away.
    told = ("the line runs along the seam, is it a crack", CRACK)
    assert len(parted(message("a"), CRACK, told, second)) == 2

    # What the whole was taken for comes first and keeps its name, wherever it is asked.
    one, other = parted(message("a"), SOFT, first, second)
    assert (one.question.question_id, one.briefs[0][0]) == ("q-1", "brakes/soft-lever")
    assert other.question.text.startswith("I was out on my steel tourer.")


def test_one_question_stays_one_where_a_second_kind_is_not_sure(message: Callable[..., Message]) -> None:
    for second in (UNSURE, CRACK):
        (one,) = parted(message("a"), CRACK, ("is this line a crack", CRACK), ("why is it so soft", second))
        assert len(one.question.asked) == 2
    (one,) = parted(message("a"), CRACK, ("is this line a crack", CRACK), ("and why", SOFT))
    assert len(one.question.asked) == 2


def test_what_is_unsure_goes_with_what_was_asked_before_it(message: Callable[..., Message]) -> None:
    asks = (
        ("is this line a crack", CRACK),
        ("why is my lever so soft", SOFT),
        ("does it need new fluid", UNSURE),
    )
    one, other = parted(message("a"), CRACK, *asks)
    assert one.question.asked == ("is this line a crack",)
    assert other.question.asked == ("why is my lever so soft", "does it need new fluid")


def test_a_thought_about_what_was_asked_is_no_question_of_its_own(message: Callable[..., Message]) -> None:
    asks = (("is this line a crack", CRACK), ("perhaps some fluid in the lever would help", SOFT))
    (one,) = parted(message("a"), CRACK, *asks)
    assert one.question.asked == tuple(text for text, _ in asks)


def test_a_kind_that_the_message_asks_about_elsewhere_is_not_answered_twice(
    message: Callable[..., Message],
) -> None:
    letter = message("a")
    texts = ("is this line a crack", "why is my lever so soft")
    both = classified(
        [
            Question("q-1", letter, " and ".join(texts), "", True, asked=texts),
            Question(
                "q-2", letter, "What makes a lever soft?", "", True, asked=("What makes a lever soft?",)
            ),
        ],
        [CRACK, SOFT],
    )
    found = askings(both)
    none = np.zeros(2)
    sorted_ = classify(found, Sorted(LABELS, np.asarray([CRACK, SOFT]), none, none[:, None]))
    assert [one.question.question_id for one in part(both, sorted_)] == ["q-1", "q-2"]


@pytest.mark.parametrize(
    ("sentence", "clauses"),
    [
        (
            "Can I put a 32 mm tyre on a 19 mm rim, and what pressure should I run at 80 kg?",
            ["Can I put a 32 mm tyre on a 19 mm rim", "what pressure should I run at 80 kg?"],
        ),
        (
            "can i just bolt it in or need spacers, and whats with the dish then",
            ["can i just bolt it in or need spacers", "whats with the dish then"],
        ),
        (
            "The chain is at its mark, should I change it and can I fit a wider one instead?",
            ["The chain is at its mark, should I change it", "can I fit a wider one instead?"],
        ),
        (
            "How do I get the post out but how do I keep the paint, also which grease goes in?",
            ["How do I get the post out", "how do I keep the paint", "which grease goes in?"],
        ),
    ],
)
def test_two_asks_in_one_sentence_are_told_apart(sentence: str, clauses: list[str]) -> None:
    assert clauses_of(sentence) == clauses


@pytest.mark.parametrize(
    "sentence",
    [
        "How long and how wide is the axle of this hub?",
        "Is it the hub that is worn and can be heard?",
        "I rode home and what I found there was a flat.",
        "The wheel came and is the rim not a beauty?",
        "Should I use grease or should I use paste on it?",
        "Why does the bearing creak and click when I climb?",
    ],
)
def test_one_ask_stays_whole(sentence: str) -> None:
    assert clauses_of(sentence) == [sentence]


def test_what_two_questions_of_a_message_ask_besides_is_answered_once(
    message: Callable[..., Message],
) -> None:
    letter = message("a")
    own, besides = ("is this line a crack", "how deep is this dent"), "why is my lever so soft"
    both = classified(
        [
            Question(f"q-{n}", letter, f"{text} and {besides}", "", True, asked=(text, besides))
            for n, text in enumerate(own, start=1)
        ],
        [CRACK, DENT],
    )
    found = askings(both)
    none = np.zeros(4)
    sorted_ = classify(found, Sorted(LABELS, np.asarray([CRACK, SOFT, DENT, SOFT]), none, none[:, None]))
    assert [one.briefs[0][0] for one in part(both, sorted_)] == [
        "frame/crack",
        "brakes/soft-lever",
        "frame/dent",
    ]


def test_what_no_longer_stands_in_the_text_parts_nothing(message: Callable[..., Message]) -> None:
    texts = ("is this line a crack", "why is my lever so soft")
    (one,) = classified([Question("q-1", message("a"), "Something else.", "", True, asked=texts)], [CRACK])
    none = np.zeros(2)
    sorted_ = classify(askings([one]), Sorted(LABELS, np.asarray([CRACK, SOFT]), none, none[:, None]))
    assert part([one], sorted_) == [one]
