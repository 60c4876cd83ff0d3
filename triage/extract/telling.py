"""Sizes that tell their part by themselves: 172.5 is a crank and 203 a rotor, if the talk is of legs or of brakes."""

from __future__ import annotations

from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.lone import lone_numbers
from triage.extract.passage import Found, Passage

CRANK_LENGTHS_MM = frozenset({150, 152.5, 155, 157.5, 160, 162.5, 165, 167.5, 170, 172.5, 175, 177.5, 180})
ROTOR_DIAMETERS_MM = frozenset({140, 160, 180, 200, 203, 220, 223})
_LIKE_A_SIZE = form(r"0*(?:1[4-8]\d|2[0-2]\d)", catches="172.5", leaves="28")
_OF_CRANKS = form(
    r"\b(?:cranks?|crank arms?|(?:left|right|both|my|the|shorter|longer) arms?|arm length|hips?|knees?|saddle height|inseam|pedal(?:s|ling) circles?)\b",
    catches="my hips say ",
    leaves="the pinch bolts ",
)
_OF_ROTORS = form(
    r"\b(?:rotors?|disc brakes?|brake discs?|callipers?|calipers?|post mounts?|brake adapter|adapter|fork'?s?|brakes?)\b",
    catches="the fork's manual ",
    leaves="the forklift ",
)
_NOT_OF_ROTORS = (
    "crank",
    "stem",
    "travel",
    "spacing",
    "hub",
    "saddle",
    "psi",
    "watt",
    "bcd",
    "kg",
    "head tube",
)
_NOT_OF_CRANKS = (
    "rotor",
    "disc",
    "disk",
    "bcd",
    "bolt circle",
    "watt",
    "psi",
    "stance",
    "q-factor",
    "q factor",
)
_LIMIT = form(
    r"\b(?:allows?|limit|max|maximum|at most|approved|rated|permits?|up to|says no more than)\b[^.;?!\d]{0,20}$",
    catches="the manual allows ",
    leaves="the manual of ",
)
_AT_MOST = form(
    r"[^.;?!\d]{0,6}\b(?:at (?:the )?most|max|maximum|limit)\b", catches=" at the most", leaves=" at the mall"
)
_WISH = form(
    r"\b(?:fit|like|want|try|go to|go up|upgrade|put|swap|change|mount|would|could|can i|enough|bigger|larger|say|suggests?|recommends?|shorter|longer|lying (?:here|about|around)|in a drawer|left over|spare)\b",
    catches="i'd like ",
    leaves="it is ",
)
_IS_THERE = form(
    r"\b(?:is on|are on|on there|on it|now|at the moment|currently|came with|has|have|mine|i ride|i run|so far|fitted)\b",
    catches=" is on there",
    leaves=" is one there",
)
_COMES = form(
    r"\b(?:bought|ordered|want|like|say|suggests?|recommends?|new|go to|fit|try|thinking of|tempted)\b",
    catches="i've bought ",
    leaves="i own ",
)
_CLAUSE_MARKS = ",;.?!:"


def telling_sizes(passage: Passage) -> Iterator[list[Found]]:
    """ "Mine are 175 but my hips say 165", "160 is on there, 180 is what I'd like to fit"."""
    if not passage.fits_at_a_number(_LIKE_A_SIZE):
        return
    cranks = _OF_CRANKS.search(passage.text) is not None and not passage.holds(*_NOT_OF_CRANKS)
    rotors = _OF_ROTORS.search(passage.text) is not None and not passage.holds(*_NOT_OF_ROTORS)
    if cranks == rotors:
        return
    sizes = CRANK_LENGTHS_MM if cranks else ROTOR_DIAMETERS_MM
    name = "crank_length_mm" if cranks else "rotor_diameter_mm"
    numbers = [one for one in lone_numbers(passage) if one.value in sizes]
    if not cranks and len(numbers) < 2 and not passage.holds("rotor", "disc", "disk"):
        return
    for one in numbers:
        before, behind = _clause(passage, one.start, one.end)
        reading = name
        if not cranks and (_LIMIT.search(before) or _AT_MOST.match(behind)):
            reading = "largest_rotor_mm"
        elif not cranks and _WISH.search(before + behind) and not _IS_THERE.search(before + behind):
            reading = f"new_{name}"
        if cranks and len(numbers) > 1 and _COMES.search(before) and not _IS_THERE.search(before):
            reading = f"new_{name}"
        yield [Found(reading, one.value, one.start, one.end)]


def _clause(passage: Passage, start: int, end: int) -> tuple[str, str]:
    before, behind = passage.before(start, 40), passage.after(end, 40)
    cut = max(before.rfind(mark) for mark in _CLAUSE_MARKS)
    stops = [place for mark in _CLAUSE_MARKS if (place := behind.find(mark)) >= 0]
    return before[cut + 1 :], behind[: min(stops, default=len(behind))]
