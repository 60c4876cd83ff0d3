"""Topic and briefs of a question."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest

from triage.classify import LEAST_TOPIC_CONFIDENCE, classify
from triage.records import Classified, Message, Question
from triage.sorter.sorter import Labels, Sorted

NAMES = ["brakes/soft-lever", "frame/crack", "frame/dent", "lubrication/which-oil"]
LABELS = Labels(NAMES, ["brakes", "frame", "lubrication"], np.array([0, 1, 1, 2]), np.zeros(3, dtype=bool))


def classified(questions: Sequence[Question], chances: Sequence[Sequence[float]]) -> list[Classified]:
    none = np.zeros(len(questions))
    return classify(questions, Sorted(LABELS, np.asarray(chances), none, none[:, None]))


def asked(message: Message) -> list[Question]:
    return [Question("q-0", message, "text 0", "", True)]


def test_a_topic_has_the_chances_of_its_briefs_together(message: Callable[..., Message]) -> None:
    (found,) = classified(asked(message("a")), [[0.3, 0.35, 0.25, 0.1]])
    assert found.topic == "frame"
    assert found.topic_confidence == pytest.approx(0.6)


def test_the_likeliest_briefs_are_of_any_topic_and_the_first_one_names_it(
    message: Callable[..., Message],
) -> None:
    (found,) = classified(asked(message("a")), [[0.4, 0.35, 0.25, 0.0]])
    assert (found.topic, found.topic_confidence) == ("brakes", pytest.approx(0.4))
    assert found.briefs[:3] == (
        ("brakes/soft-lever", pytest.approx(0.4)),
        ("frame/crack", pytest.approx(0.35)),
        ("frame/dent", pytest.approx(0.25)),
    )


def test_below_the_least_confidence_nothing_is_guessed(message: Callable[..., Message]) -> None:
    # Of three topics the likeliest has a third at least, so that here nothing adds up to one.
    least = LEAST_TOPIC_CONFIDENCE - 0.01
    (found,) = classified(asked(message("a")), [[least, 0.1, 0.1, 0.2]])
    assert (found.topic, found.briefs) == ("other", ())


def test_what_was_only_read_is_never_quite_certain(message: Callable[..., Message]) -> None:
    (found,) = classified(asked(message("a")), [[0.0, 1.0, 0.0, 0.0]])
    assert found.topic_confidence < 1
    assert found.briefs[0][1] < 1
