"""What reads like the messages of those who had better not ride on, told apart from what only sounds like it."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from knowledge.base import Knowledge
from knowledge.phrases import Phrases
from training.heed import found_by_pattern, marked, questions_of
from triage.heed import by_meaning, heed
from triage.pipeline import Desk, make_drafts
from triage.records import MAY_HURT, Message, Question, Refusal
from triage.sorter import Sorted, Sorter
from triage.sorter.sorter import Labels

STOP, CARE, HARMLESS = "frame-fit/cracked-fork", "brakes/pad-wear", "lubrication/which-chain-lubricant"
LABELS = Labels(
    [STOP, CARE, HARMLESS],
    ["frame-fit", "brakes", "lubrication"],
    np.arange(3),
    np.array([False, False, False]),
)


def read(*rows: tuple[float, float, float], outside: float = 0.01) -> Sorted:
    return Sorted(LABELS, np.array(rows), np.full(len(rows), outside), np.zeros((len(rows), 0)))


def question(message: Message, flags: tuple[str, ...] = (), is_question: bool = True) -> Question:
    return Question("q", message, message.text, "", is_question, flags)


@pytest.fixture
def asked(message: Callable[..., Message]) -> Question:
    return question(message("It tips a little under the shoe. What is that?"))


def test_what_is_most_like_a_stop_is_pointed_out_and_comes_to_the_top(
    asked: Question, knowledge: Knowledge
) -> None:
    stop, care, harmless = heed(
        [asked] * 3, read((0.95, 0.04, 0.01), (0.0, 0.9, 0.1), (0.0, 0.05, 0.95)), knowledge
    )

    assert stop.flags == (MAY_HURT, "urgent")
    assert care.flags in ((), (MAY_HURT,))
    assert harmless.flags == ()


def test_a_danger_that_its_words_tell_makes_it_likelier(asked: Question, knowledge: Knowledge) -> None:
    told = question(asked.message, ("danger",))
    unsure = read((0.2, 0.5, 0.3), (0.2, 0.5, 0.3))

    without, with_it = heed([asked, told], unsure, knowledge)

    assert MAY_HURT not in without.flags
    assert MAY_HURT in with_it.flags


@pytest.mark.parametrize("flag", ["not-english", "automatic-reply", "too-long"])
def test_what_was_not_read_or_asks_nothing_is_left(asked: Question, knowledge: Knowledge, flag: str) -> None:
    sure = read((0.95, 0.04, 0.01))

    assert heed([question(asked.message, (flag,))], sure, knowledge)[0].flags == (flag,)
    assert heed([question(asked.message, is_question=False)], sure, knowledge)[0].flags == ()


def test_marked_messages_are_pointed_out_as_well_as_when_last_measured(
    knowledge: Knowledge, sorter: Sorter, message: Callable[..., Message]
) -> None:
    """Measured by cross-validation: 0.59 of what is pointed out may hurt, and 0.41 of what may hurt is; patterns alone find 0.20."""
    messages = list(marked())
    questions = [
        question(message(one.text), ("danger",) if found_by_pattern(one.text) else ()) for one in messages
    ]
    heeded = heed(questions, sorter.at_once([one.text for one in messages]), knowledge)
    found = np.array([MAY_HURT in one.flags for one in heeded])
    hurts = np.array([one.may_hurt for one in messages])

    assert (found & hurts).sum() / hurts.sum() > 0.37
    assert (found & hurts).sum() / found.sum() > 0.54


def test_what_is_meant_tells_of_a_danger_where_words_leave_it_open(
    asked: Question, knowledge: Knowledge
) -> None:
    plane = by_meaning().plane
    assert plane is not None
    assert plane.shape == (768,)
    towards = plane / np.linalg.norm(plane)

    near, far = heed([asked] * 2, read(*[(0.3, 0.4, 0.3)] * 2), knowledge, np.stack([towards, -towards]))

    assert MAY_HURT in near.flags
    assert MAY_HURT not in far.flags


def test_marked_messages_are_told_apart_better_by_what_they_mean(
    knowledge: Knowledge, sorter: Sorter
) -> None:
    """Measured by cross-validation: 0.66 of what is pointed out may hurt, and 0.59 of what may hurt is; by words alone 0.60 and 0.41.

    These it was learnt from, so here it only has to find more than that.
    """
    found, hurts = [], []
    for one in marked():
        questions = questions_of(one.text)
        whole = sorter.at_once([one.text] * len(questions))
        meant = sorter.meant([q.text for q in questions], [q.story for q in questions])
        assert meant is not None
        found.append(any(MAY_HURT in q.flags for q in heed(questions, whole, knowledge, meant)))
        hurts.append(one.may_hurt)
    right = np.array(found) & np.array(hurts)

    assert right.sum() / sum(hurts) > 0.6
    assert right.sum() / sum(found) > 0.7


def test_messages_that_ask_nothing_are_heeded_without_being_read(
    knowledge: Knowledge, phrases: Phrases, sorter: Sorter, message: Callable[..., Message]
) -> None:
    refused: list[Refusal] = []

    (draft,) = make_drafts(
        [message("Thanks, great show as ever!")], Desk(knowledge, phrases, sorter, 150.0), refused
    )

    assert not refused
    assert MAY_HURT not in draft.flags
