"""Topic and briefs of a question, and which asks of one message are one matter."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest

from triage.classify import LEAST_TOPIC_CONFIDENCE, classify
from triage.records import TOLD_BESIDE, Classified, Message, Question
from triage.sorter.sorter import Labels, Sorted

NAMES = ["brakes/soft-lever", "frame/crack", "frame/dent", "lubrication/which-oil"]
LABELS = Labels(NAMES, ["brakes", "frame", "lubrication"], np.array([0, 1, 1, 2]), np.zeros(3, dtype=bool))


def classified(questions: Sequence[Question], chances: Sequence[Sequence[float]]) -> list[Classified]:
    none = np.zeros(len(questions))
    return classify(questions, Sorted(LABELS, np.asarray(chances), none, none[:, None]))


def asked(message: Message, *beside: bool, is_question: bool = True) -> list[Question]:
    return [
        Question(f"q-{number}", message, f"text {number}", "", is_question, (TOLD_BESIDE,) if told else ())
        for number, told in enumerate(beside)
    ]


def test_a_topic_has_the_chances_of_its_briefs_together(message: Callable[..., Message]) -> None:
    (found,) = classified(asked(message("a"), False), [[0.3, 0.35, 0.25, 0.1]])
    assert found.topic == "frame"
    assert found.topic_confidence == pytest.approx(0.6)


def test_the_likeliest_briefs_are_of_any_topic_and_the_first_one_names_it(
    message: Callable[..., Message],
) -> None:
    (found,) = classified(asked(message("a"), False), [[0.4, 0.35, 0.25, 0.0]])
    assert (found.topic, found.topic_confidence) == ("brakes", pytest.approx(0.4))
    assert found.briefs[:3] == (
        ("brakes/soft-lever", pytest.approx(0.4)),
        ("frame/crack", pytest.approx(0.35)),
        ("frame/dent", pytest.approx(0.25)),
    )


def test_below_the_least_confidence_nothing_is_guessed(message: Callable[..., Message]) -> None:
    # Of three topics the likeliest has a third at least, so that here nothing adds up to one.
    least = LEAST_TOPIC_CONFIDENCE - 0.01
    (found,) = classified(asked(message("a"), False), [[least, 0.1, 0.1, 0.2]])
    assert (found.topic, found.briefs) == ("other", ())


def test_what_was_only_read_is_never_quite_certain(message: Callable[..., Message]) -> None:
    (found,) = classified(asked(message("a"), False), [[0.0, 1.0, 0.0, 0.0]])
    assert found.topic_confidence < 1
    assert found.briefs[0][1] < 1


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
