"""Quantities as riders write them: what stands in a text, special forms first, then the words around each number."""

from __future__ import annotations

from collections.abc import Sequence

from knowledge.base import Knowledge
from triage.extract import (
    bearing_sizes,
    callipers,
    chains,
    climbs,
    cranks,
    fittings,
    gears,
    nouns,
    oils,
    packs,
    pressures,
    prices,
    riders,
    sizes,
    telling,
    temperatures,
    wear,
    wheels,
    wished,
)
from triage.extract.asides import set_asides_apart
from triage.extract.bare import BareReader
from triage.extract.changes import settle_changes
from triage.extract.codes import unknown_codes
from triage.extract.contradictions import contradictions
from triage.extract.forms import any_of, form
from triage.extract.measures import MeasureReader, doubt_about, is_plausible
from triage.extract.nearby import NearbyReader
from triage.extract.passage import AT_NUMBERS, Cue, Found, Passage, Reader, has_figures
from triage.extract.roles import POSITION_OF, POSITION_WORDS, POSITIONED
from triage.extract.spelled import Figured
from triage.extract.whose import Span
from triage.extract.words import PhraseIndex, Words, unquoted
from triage.records import Detail

Doubt = tuple[str, str]
"""A quantity's name, and what makes no sense about it."""

_DOUBTED_FORMS = ("tyre_width_mm", "rider_mass_kg", "rim_inner_width_mm")
_ABOUT = form(
    r"(?:\b(?:about|around|roughly|approx\.?|approximately|nearly|almost|circa|ca\.?|maybe|some|say|or so)\s(?:an?\s)?|~\s?)$",
    catches="roughly ",
    leaves="exactly ",
)
_PRESSED = form(
    r"\b(?:i\s)?(?:put|puts|putting|apply|applies|applying|applied)\s(?:\w+\s)?pressure\b(?!\s(?:of|in|into|at)\b)",
    catches="when i put some pressure on the pedal",
    leaves="i put a pressure of 5 bar",
)
"""Nobody pumps in these words."""
_NEAR_A_RIM = 60
_OTHER_INSIDES = (
    "shell",
    "bearing",
    "seat tube",
    "head tube",
    "garage",
    "sleeve",
    "post",
    "hub",
    "cassette",
    "weather",
    "degrees",
    "guard",
)
_READERS: tuple[Reader, ...] = (
    wear.worn_through,
    wear.ages_of_sealant,
    wear.fresh_linings,
    wheels.tensions_by_side,
    wheels.tension_of_the_other,
    wheels.circles_by_side,
    wheels.limits_and_ranges_of_tension,
    wheels.dish_by_turning_over,
    wheels.spoke_tensions,
    sizes.tube_sizes,
    packs.pads_with_their_plate,
    packs.hollow_tracks,
    packs.battery_energies,
    packs.on_a_carrier,
    packs.with_a_child,
    packs.heights_of_children,
    packs.shown_and_true,
    sizes.iso_sizes,
    sizes.measured_tyres,
    sizes.french_sizes,
    sizes.inch_sizes,
    sizes.deep_rims,
    riders.stones,
    riders.crews,
    riders.mass_limits,
    riders.frame_sizes,
    riders.riders_with_their_bicycles,
    riders.carried_children,
    riders.children,
    riders.bodies,
    riders.beside_another,
    pressures.spoken_of_only,
    pressures.by_end,
    pressures.printed_range,
    pressures.in_brackets,
    pressures.beside_a_unit,
    gears.front_and_rear,
    sizes.widths_by_end,
    sizes.now_and_wanted,
    chains.measured_chains,
    chains.kilometres,
    chains.mileage,
    cranks.bracket_drops,
    cranks.shell_and_axle,
    cranks.bore_and_width,
    cranks.measured_spindles,
    cranks.circles_in_doubt,
    cranks.leg_shares,
    cranks.stated_ranges,
    cranks.unequal_arms,
    callipers.brake_drops,
    cranks.crank_lengths,
    sizes.tyre_changes,
    wear.gauge_sides,
    wear.uneven_pads,
    fittings.steerer_sizes,
    gears.chain_widths,
    gears.rated_by_the_cage,
    gears.one_ring,
    gears.the_one_ring,
    gears.ring_to_ring,
    gears.chainlines,
    gears.toothed,
    gears.teeth_behind_their_noun,
    fittings.threads,
    fittings.partly_clamped,
    fittings.spacers_with_more,
    fittings.round_the_stem,
    fittings.stems_with_angles,
    fittings.stem_it_came_with,
    fittings.stems_instead,
    fittings.stem_angles,
    fittings.headset_halves,
    fittings.steerer_level_with_the_stem,
    fittings.post_inside,
    fittings.bores_from_to,
    fittings.post_and_bore,
    fittings.stem_bores,
    fittings.hub_and_frame,
    fittings.torque_on_the_cups,
    bearing_sizes.bearing_sizes,
    sizes.rim_widths,
    oils.oil_grades,
    wheels.sided_flanges,
    wheels.axles_and_spokes,
    gears.rings,
    gears.gear_pairs,
    gears.cassettes,
    gears.singles,
    gears.speeds_of_a_part,
    gears.speeds,
    wished.wished_sizes,
    sizes.wheel_names,
    sizes.named_wheels,
    sizes.road_wheels,
    climbs.altitudes,
    climbs.slopes,
    temperatures.differences,
    temperatures.ranges,
    temperatures.celsius,
    temperatures.in_a_pot,
    sizes.tyre_names,
    sizes.widths_beside_a_pressure,
    nouns.before_nouns,
    temperatures.bare_below_zero,
    telling.telling_sizes,
    gears.only_ring,
    gears.small_wheels,
)
"""In the order in which they are tried; a stretch that one has read is not read again."""
_FORMS = any_of(*dict.fromkeys(form for reader in _READERS for form in AT_NUMBERS.get(reader, ())))
"""Most numbers are in none of the forms; one look saves asking those readers one after the other."""


class QuantityFinder:
    """Finds quantities; which one a bare number with a unit is, its nearest cue words decide."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.kinds = {name: kind for name, kind in knowledge.quantities.items() if kind.kind == "number"}
        cues = ((cue, name) for name, kind in self.kinds.items() for cue in kind.cues)
        self.cues = PhraseIndex(cues, loose=True)
        self.measures = MeasureReader(self.kinds)
        self.bare = BareReader(self.kinds)
        self.nearby = NearbyReader(self.kinds, self.measures.likeness)

    def find(
        self, figured: Figured, text: str, words: Words, others: Sequence[Span] = ()
    ) -> tuple[list[Detail], list[Doubt], list[tuple[int, int]]]:
        """The quantities of a text, doubts about what makes no sense in it, and where unknown codes stand."""
        if not has_figures(text):
            if not wear.speaks_of_bare_metal(text):
                return [], [], []
            passage = Passage(unquoted(text), figured.text)
            found = [one for group in wear.worn_through(passage) for one in group]
            return [_detail(one, passage, figured) for one in found], [], []
        passage = Passage(unquoted(text), figured.text)
        pressed = [m.span() for m in _PRESSED.finditer(text)] if "pressure" in text else []
        passage.cues = [
            Cue(start, end, _positioned(names, text, start, end))
            for start, end, names in self.cues.hits(words)
            if _is_whole(text, start, end)
            and not any(first < end and start < last for first, last in (*pressed, *others))
        ]
        doubts: list[Doubt] = []
        codes = list(unknown_codes(passage))
        passage.taken += codes
        passage.taken += others
        set_asides_apart(passage)
        self._read_forms(passage, doubts, figured)
        self.measures.read(passage, doubts)
        for group in sizes.named_widths(passage):
            self._take(group, passage, doubts, figured)
        self.bare.read(passage)
        self.nearby.read(passage)
        riders.watts_for_each_kilo(passage)
        _put_prices(passage)
        settle_changes(passage, self.kinds)
        details = [_detail(found, passage, figured) for found in passage.found]
        doubts += contradictions(details, self.kinds)
        return details, doubts, [figured.back(*code) for code in codes]

    def _read_forms(self, passage: Passage, doubts: list[Doubt], figured: Figured) -> None:
        in_a_form = passage.fits_at_a_number(_FORMS)
        for reader in _READERS:
            if not in_a_form and reader in AT_NUMBERS:
                continue
            for group in reader(passage):
                self._take(group, passage, doubts, figured)

    def _take(self, group: list[Found], passage: Passage, doubts: list[Doubt], figured: Figured) -> None:
        span = (min(found.start for found in group), max(found.end for found in group))
        if not passage.is_free(*span):
            return
        passage.taken.append(span)
        for found in group:
            kind = self.kinds.get(found.name)
            if kind is not None and not is_plausible(found.value, kind):
                if kind.name not in _DOUBTED_FORMS:
                    continue
                start, end = figured.back(found.start, found.end)
                doubts.append((kind.name, doubt_about(figured.original[start:end].strip(), kind)))
            else:
                passage.found.append(found)


def _put_prices(passage: Passage) -> None:
    """Prices were set aside as no figures of a bicycle; those that are asked for take the place of any other reading."""
    if passage.holds("£", "$", "€", "eur", "quid", "bucks", "dollar", "pounds", "cost"):
        for price in prices.prices(passage):
            passage.found = [f for f in passage.found if f.end <= price.start or price.end <= f.start]
            passage.found.append(price)


def _detail(found: Found, passage: Passage, figured: Figured) -> Detail:
    start, end = figured.back(found.start, found.end)
    about = _ABOUT.search(passage.before(found.start, 18)) is not None or passage.after(found.end, 3) == "ish"
    return Detail(found.name, found.value, figured.original[start:end].strip(), start, end, about)


def _positioned(names: list[str], text: str, start: int, end: int) -> tuple[str, ...]:
    """The names without a rim's widths where "inside" or "outer" stands alone, far from any rim."""
    if text[start:end] not in POSITION_WORDS:
        return tuple(names)
    near = text[max(0, start - _NEAR_A_RIM) : end + _NEAR_A_RIM]
    if any(word in near for word in POSITION_OF) and not any(word in near for word in _OTHER_INSIDES):
        return tuple(names)
    return tuple(name for name in names if name not in POSITIONED)


def _is_whole(text: str, start: int, end: int) -> bool:
    """Whether words begin and end where the phrase does: "hub" is not in "hub2" nor in "unhub"."""
    if start and text[start - 1].isalpha() and text[start].isalnum():
        return False
    if start and text[start].isdigit() and text[start - 1].isdigit():
        return False
    return end >= len(text) or not (text[end].isalnum() and text[end - 1].isalnum())
