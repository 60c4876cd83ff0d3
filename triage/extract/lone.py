"""Lone numbers: figures without a unit of which nothing says that they count something else."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from triage.extract.forms import form, word_set
from triage.extract.numbers import PLAIN, number
from triage.extract.passage import Passage
from triage.extract.units import UNIT_PATTERN

_LONE = form(
    rf"({PLAIN})(?:'?s\b|[\s-]?ish\b)?(?![\w/%°\"-]|[.,]\d|\s?(?:{UNIT_PATTERN})(?!\w)|\s?x\s?\d)",
    catches="21",
    leaves="21 mm",
)
_SIGN = form(r"(?:\b|(?<=\s))(plus|minus|negative)\s$", catches="at minus ", leaves="surplus ")
_NEXT_WORD = re.compile(r"\s*([a-z']+)")
_LAST_WORD = re.compile(r"([a-z']+)[\s\"'-]*$")
# A number before any other word counts that: "5 bolts", "3 times".
_GOES_ON = word_set(
    """a an and or nor but while whereas though although yet so then than as if when because since until unless that which who
    in on at to from for of off with without by across over under after before between beside against versus vs into onto out up
    down behind inside outside there here now today yesterday this these those the my mine his her its our your their it i we he she
    they you is are was were be been has have had can could will would shall should may might must does do did says said say stands
    wide long deep thick high tall apart apiece each all both either only just at about around again already dead flat exactly
    too instead still please correct right rubs rub fits fit really front rear back left drive non inner outer radial minimum
    maximum max min cold hot wet dry loaded unloaded round measured
    when nowadays new originally apiece
    remain remains sits sit sounds seems feels looks comes goes gives makes reads read shows allowed forbidden enough max etched stamped printed marked engraved"""
)
_COUNTED_THINGS = word_set("spoke spokes")
"""Their names are cues of a size, but a whole number right before one counts them: "one spoke is loose"."""
_LABELS = word_set(
    "number no nr size page step m model mark grade type class version series bus room flat chapter day level phase option ref reference "
    "serial invoice order parcel box code ticket postcode times"
)


@dataclass(frozen=True, slots=True)
class Lone:
    """A figure and the stretch in which it stands."""

    value: float
    start: int
    end: int
    is_signed: bool = False


def lone_numbers(passage: Passage) -> Iterator[Lone]:
    """Every free figure without a unit that neither counts the next word nor is labelled by the last one."""
    for match in passage.at_numbers(_LONE):
        following = _NEXT_WORD.match(passage.text, match.end())
        if (
            following is not None
            and following[1] not in _GOES_ON
            and not _begins_a_cue(passage, following.start(1))
        ):
            continue
        if following is not None and following[1] in _COUNTED_THINGS and match[1].isdigit():
            continue
        if passage.text[match.end() : match.end() + 1] == ")" and "(" not in passage.before(
            match.start(), 24
        ):
            # "1) the chain drops": it numbers what follows.
            continue
        if passage.before(match.start(), 1) == "#":
            # "Spoke #20" names one of them.
            continue
        last = _LAST_WORD.search(passage.before(match.start(), 16))
        if last is not None and last[1] in _LABELS:
            continue
        if _is_of_a_name(passage, match.start()):
            continue
        sign = _SIGN.search(passage.before(match.start(), 7))
        value = number(match[1])
        below = sign is not None and sign[1] != "plus"
        yield Lone(-value if below else value, match.start(), match.end(1), sign is not None)


# "The RoadRunner 3 went on easily": a model's number. Must not catch "Tyres 32, Gap 5" nor "my PSI 60".
_A_NAME = re.compile(r"(?:\b[A-Z][a-z]+[A-Z]\w*|(?<=[a-z] )[A-Z][a-z]{2,})\s$")


def _is_of_a_name(passage: Passage, place: int) -> bool:
    """Whether the number belongs to a name in the middle of a sentence, none of whose words names a quantity."""
    named = _A_NAME.search(passage.cased, max(0, place - 24), place)
    return named is not None and not any(named.start() <= cue.start < place for cue in passage.cues)


def _begins_a_cue(passage: Passage, place: int) -> bool:
    return any(cue.start == place for cue in passage.cues)
