"""The wording of thirty-three drafts is what an editor last read and approved, and reads as a mail should."""

from __future__ import annotations

import re

import pyphen
import pytest

from knowledge.base import Knowledge
from knowledge.phrases import Phrases
from tests.triage.golden.drafts import approved, cases, worked_out

CASES = cases()
SYLLABLES = pyphen.Pyphen(lang="en_GB")
LONGEST_AVERAGE_SENTENCE_WORDS = 16
HARDEST_GRADE = 8.0
"""School years: what readers of a daily paper take in their stride, by common practice of plain-language guides."""


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_a_draft_reads_as_it_was_approved(case: dict, knowledge: Knowledge, phrases: Phrases) -> None:
    """Where this fails: read the new draft, and approve it with `python -m tests.triage.golden.drafts --approve NAME`."""
    assert worked_out(case, knowledge, phrases) == approved(case["case"])


def test_the_approved_drafts_cover_thirty_briefs_and_every_verdict() -> None:
    verdicts = {approved(case["case"]).split(",")[0] for case in CASES}

    assert len({case["brief"] for case in CASES}) >= 30
    assert verdicts == {"yes", "yes-if", "not-recommended", "inspect-first", "need-more", "explain"}


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_a_reply_is_no_harder_to_read_than_a_daily_paper(case: dict) -> None:
    length, grade = readability(approved(case["case"]).split("=== reply")[1])

    assert length <= LONGEST_AVERAGE_SENTENCE_WORDS
    assert grade <= HARDEST_GRADE


def test_the_grade_tells_plain_words_from_stilted_ones() -> None:
    plain = "Take the wheel out. Look at the rim. If you see a crack, do not ride."
    stilted = (
        "Notwithstanding aforementioned considerations regarding dimensional compatibility, practitioners should "
        "endeavour to undertake comprehensive examination of all constituent components before reinstallation."
    )

    assert readability(plain)[1] < 3
    assert readability(stilted)[1] > 15


def readability(text: str) -> tuple[float, float]:
    """Words a sentence, and the grade of Kincaid and others (1975), from memory: 0.39 words + 11.8 syllables - 15.59."""
    sentences = [s for s in re.split(r"(?<=[.!?:])\s+|\n+", text) if re.search(r"[A-Za-z]{2}", s)]
    words = re.findall(r"[A-Za-z'’-]*[A-Za-z][A-Za-z'’-]*", text)
    syllables = sum(len(SYLLABLES.positions(word.lower())) + 1 for word in words)
    length = len(words) / len(sentences)
    return length, 0.39 * length + 11.8 * syllables / len(words) - 15.59
