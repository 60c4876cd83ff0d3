"""Hubs, spokes and axles where the form tells the quantity: "142x12", "3 cross", "36h"."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import number
from triage.extract.passage import Found, Passage, at_numbers_only

_THROUGH_AXLE = form(
    r"(?:(9[58]|1[0-5]\d|1[5-9]\d)\s?(?:mm)?\s?x\s?(9|10|12|15|20)|(9|10|12|15|20)\s?(?:mm)?\s?x\s?(9[58]|1[0-5]\d|1[5-9]\d))(?:\s?mm)?(?![\d.,]\d|\w)",
    catches="148x12",
    leaves="140x2",
)
_OWNED_BEHIND = re.compile(
    r"\s?(?:mm\s)?(?:(?:boost|super ?boost|thr(?:u|ough)[\s-]?axles?|bolt[\s-]?thr(?:u|ough)|front|rear|back|disc|size|axle|one|new|standard|spaced|spacing)\s){0,4}"
    r"(?:(?P<hub>hubs?|wheels?|wheelsets?)|(?P<frame>frames?|forks?|bikes?|dropouts?|rear (?:end|triangle)))\b"
)
_OWNER = re.compile(
    r"\b(?:(?P<hub>hubs?|wheels?|wheelsets?)|(?P<frame>frames?|forks?|frameset|dropouts?|rear (?:end|triangle)))\b"
)
_CLAUSE_ENDS = re.compile(r"[.;?!]")
_LACED_HOLES = form(
    r"(1[2-9]|[2-4]\d)\s?t(?=\s(?:with\s|laced\s|,\s)+[0-5][\s-]?cross)",
    catches="20t with 2 cross",
    leaves="20t with 2 rings",
)
_CROSSES = form(
    r"([0-5])[\s-]?(?:x\s)?(?:cross(?:es|ed)?\b|x(?=\s?(?:lacing|laced|pattern|spoke)))",
    catches="3 cross",
    leaves="3x9",
)
_LACED = form(r"([0-5])\s?x(?!\s?[\w.,]*\d)", catches="3x", leaves="3x9")
_HOLES = form(
    r"([1-4]\d)\s?(?:h\b|-?\s?holes?\b|-?\s?spokes?\b(?!\s(?:length|tension)))(?!\s?(?:km|ride))",
    catches="36h",
    leaves="36 hours",
)


_BUTTED = form(
    r"([12][.,]\d{1,2})(?:\s?mm)?\s?[/-]\s?([12][.,]\d{1,2})(?:\s?mm)?(?:\s?[/-]\s?([12][.,]\d{1,2}))?(?![\d.,]*\d)",
    catches="2.0/1.8/2.0",
    leaves="2.0/1/2",
)
_OF_THEM = form(r"([1-4]\d)\sof\s(?:them|these|those)\b", catches="32 of them", leaves="32 of my")
_BEARING = form(
    r"(\d{1,2}(?:[.,]\d{1,3})?)\s?(?:mm)?\s?(?:x|by)\s?(\d{2}(?:[.,]\d{1,3})?)\s?(?:mm)?\s?(?:x|by)\s?(\d{1,2}(?:[.,]\d)?)(?:\s?mm)?(?!\w|[.,]\d)",
    catches="30 by 42 by 7",
    leaves="30 by 42",
)
_ARMS = form(
    r"([345])(?:[\s-](?:arm|bolt|hole)\b(?=\s(?:spider|crank|chainset|ring|chainring|pattern|\d))|\s(?:arms|bolts|of them)\b)",
    catches="5-arm spider",
    leaves="5-arm",
)


_HOLE_CIRCLE = form(
    r"(\d{2,3}(?:[.,]\d)?)\s?(?:mm\s)?(?:pcd|hole circle|flange circle)\b(?!\s(?:\w+\s)?(?:crank|spider|chain))",
    catches="58 mm pcd",
    leaves="110 pcd crank",
)
_CIRCLE_OF = form(
    r"\b(?:pcds?|hole circles?)\s?(?:of\s|is\s|are\s|=\s?|:\s?)?(?P<size>\d{2,3}(?:[.,]\d{1,2})?)(?![\d.,]*\d)",
    catches="pcd 45",
    leaves="pcd left 45",
)
_TENSION = form(r"(\d{2,3}(?:[.,]\d)?)\s?kgf\b", catches="105 kgf", leaves="105 kg")
_OF_THE_SLACK_SIDE = form(
    r"\b(?:slack|other|left|non-?drive|loose|lowest|loosest|highest|tightest|up to|limit|max|maximum)\b[^.;?!]{0,30}$",
    catches="the slack side has ",
    leaves="the meter says ",
)
_LEFT_SIDE = r"(?:(?:on |at |for )?(?:the |my )?(?:left|non[\s-]?drive|nds|off|slack(?:er)?|loose(?:r)?)(?:[\s-](?:hand|drive))?(?:[\s-]side)?(?:\sspokes)?)"
_RIGHT_SIDE = r"(?:(?:on |at |for )?(?:the |my )?(?:right|drive|ds|cassette|gear|sprocket|tight(?:er)?)(?:[\s-]hand)?(?:[\s-]side)?(?:\sspokes)?)"
_OTHER_SIDE = r"(?:(?:on |at )?(?:the )?other(?:\sside|\sone)?)"
_BETWEEN_SIDES = r"\s?(?:kgf|kg f|kg|kilos?)?\s?(?:force\s)?"
_JOINED = r"(?:\s?(?:,|;|/|and|&|but|with|against|vs\.?|versus|while|to)\s?){1,3}(?:the\s)?(?:about\s|around\s|roughly\s|some\s|only\s|just\s)?"
_LINK = r"\s(?:is\s|are\s|has\s|have\s|at\s|reads?\s|says?\s|measures?\s|averages?\s|of\s|spokes\s|side\s|about\s|around\s|roughly\s|some\s|only\s|tension\s|=\s|:\s?){0,4}"
_TENSIONS_THEN_SIDES = form(
    rf"(?P<one>\d{{2,3}}(?:[.,]\d)?){_BETWEEN_SIDES}(?P<first>{_LEFT_SIDE}|{_RIGHT_SIDE}){_JOINED}(?P<other>\d{{2,3}}(?:[.,]\d)?){_BETWEEN_SIDES}(?P<second>{_LEFT_SIDE}|{_RIGHT_SIDE}|{_OTHER_SIDE})\b",
    catches="80 kgf on the left and 120 on the right",
    leaves="36 spokes on the left and 12",
)
_SIDES_THEN_TENSIONS = form(
    rf"\b(?P<first>{_LEFT_SIDE}|{_RIGHT_SIDE}){_LINK}(?P<one>\d{{2,3}}(?:[.,]\d)?)\s?(?:kgf|kg f|kg|kilos?)?{_JOINED}(?P<second>{_LEFT_SIDE}|{_RIGHT_SIDE}|{_OTHER_SIDE}){_LINK}(?P<other>\d{{2,3}}(?:[.,]\d)?)(?!\d|[.,]\d|\s?(?:mm|%|n\b|newton))",
    catches="left 62, right 110",
    leaves="left 34 mm, right 19 mm",
)
_LEFT = re.compile(_LEFT_SIDE)
_FLIPPED = form(
    r"\b(?:flip(?:ped|ping|s)?|turn(?:ed|ing)?(?: it| the wheel)? (?:round|around|over)|revers(?:e|ed|ing)|swap(?:ped|ping)? (?:it|the wheel) (?:round|around|over|end for end))\b[^.;?!]{0,60}?"
    r"\b(?:moves?|moved|shifts?|shifted|sits?|sat|is|was|goes|went|stands?|jumps?|ends up|comes)\b[^.;?!]{0,24}?(?P<gap>\d{1,2}(?:[.,]\d)?)\s?mm",
    catches="when i flip the wheel round the rim moves 3 mm",
    leaves="i turned the wheel round and measured 622 mm",
)
_ARE_CIRCLES = re.compile(
    r"\s?(?:mm\s)?(?:(?:hole|flange|bolt|spoke hole)\s)?(?:circles?|diameters?|pcd|in diameter)\b"
)
_TENSION_RANGE = form(
    r"(\d{2,3})\s?(?:kgf\s?)?(?:to|-|–|and|up to)\s?(\d{2,3})(?!\d|[.,]\d|\s?(?:mm|psi|kg\b|bar|%|spokes?|holes?|n\b|newton|km|on the left|on the right))",
    catches="105 to 128",
    leaves="105 to 128 mm",
)
_RIM_ALLOWS = form(
    r"\b(?:rim(?:'s)?\s(?:has\s)?(?:an?\s)?(?:limit|max(?:imum)?|(?:is\s)?rated|allows?|says?|sticker says?|sheet says?)|max(?:imum)?\s(?:spoke\s)?tension|limit)"
    r"(?:\s(?:of|is|at|to|for|max|only|it|a|says?|stamped|printed|marked|given)){0,3}\s?[=:]?\s?(?P<limit>\d{2,3})\s?(?:kgf|kg\b)?(?!\d|[.,]\d|\s?(?:psi|bar|mm|n\b|newton))",
    catches="rim limit 125 kgf",
    leaves="rim limit 7 bar",
)
_LIMIT_OF_TENSION = form(
    r"(?P<limit>\d{2,3})\s?(?:kgf\s)?(?:limit|max(?:imum)?)\b", catches="120 limit", leaves="120 kgf now"
)
_RADIAL = form(r"\bradial(?:ly)?\b", catches="24h radial", leaves="gradial")
_TWO_FLANGES = form(
    r"(\d{1,2}(?:[.,]\d)?)\s?(?:mm\s)?(?:/|and|&)\s?(\d{1,2}(?:[.,]\d)?)(?!\d|[.,]\d|\s?(?:teeth|t\b|years?|holes?|spokes?))",
    catches="20/34",
    leaves="20 34",
)
_FLANGES_ARE = form(
    r"\bflanges?\s(?:(?:are|at|sit|of|is|distance|offsets?)\s)?$",
    catches="the flanges are ",
    leaves="the flanges have ",
)
_SIDED_PAIR = form(
    r"\b(?:(?P<first>left|right|l|r|nds|ds|non[- ]drive(?:[- ]side)?|drive(?:[- ]side)?)\s?(?:side\s)?(?:(?:is|at|=|:)\s?)?(?P<one>\d{1,2}(?:[.,]\d{1,2})?)\s?(?:mm)?\s?(?:,|;|/|and|&)?\s?"
    r"(?:left|right|l|r|nds|ds|non[- ]drive(?:[- ]side)?|drive(?:[- ]side)?)\s?(?:side\s)?(?:(?:is|at|=|:)\s?)?(?P<other>\d{1,2}(?:[.,]\d{1,2})?)"
    r"|(?P<one_>\d{1,2}(?:[.,]\d{1,2})?)\s?(?:mm)?\s(?:(?:on|to|at)\sthe\s)?(?P<first_>left|right|drive side|non[- ]drive side)\s?(?:,|;|/|and|&|with)?\s?"
    r"(?P<other_>\d{1,2}(?:[.,]\d{1,2})?)\s?(?:mm)?\s(?:(?:on|to|at)\sthe\s)?(?:left|right|drive side|non[- ]drive side))(?![\d.,]*\d)",
    catches="left 37 right 20",
    leaves="left 37 on the right",
)
_PAIR_OF_OFFSETS = form(
    r"\b(?:offsets?|wl\s?/\s?wr|(?:flange )?distances?|(?:centre|center|middle) to (?:the )?flanges?)\s(?:(?:are|of|is|=|:)\s)?(?P<one>\d{1,2}(?:[.,]\d{1,2})?)\s?(?:mm)?\s?(?:/|and|&)\s?(?P<other>\d{1,2}(?:[.,]\d{1,2})?)(?![\d.,]*\d)",
    catches="offsets 37/21",
    leaves="offset 2.5 and a",
)
_OF_THE_CIRCLE = form(
    r"\b(?:pcds?|diameters?|dia|circles?|hole circles?)\b[^.;?!\d]{0,16}$",
    catches="flange pcd, ",
    leaves="flange pcd 45, ",
)
_CIRCLE_TOLD = form(
    r"\b(?:pcds?|diameters?|dia|circles?)\b[^.;?!\d]{0,12}\d{2}(?:[.,]\d)?\s?(?:mm)?\s?(?:both|each|all round)?[^.;?!\d]{0,8}$",
    catches="flange pcd 45 both, ",
    leaves="flange pcd, ",
)
"""Behind the circle's own figure a pair by sides is how far the flanges stand from the middle."""
_FROM_THE_MIDDLE = form(
    r"\s?(?:mm)?\s?(?:both\s)?(?:from|off|to)\s(?:the\s)?(?:cent(?:re|er)|middle)\b",
    catches=" from centre",
    leaves=" from the locknut",
)
_OF_THE_LOCKNUT = form(
    r"\b(?:lock ?nuts?|old)\b[^.;?!]{0,20}$", catches="locknut to flange ", leaves="flange "
)
_OF_THE_FLANGE = form(
    r"\b(?:flanges?|offsets?|(?:centre|center|middle))\b[^.;?!\d]{0,24}$",
    catches="hub centre to flange ",
    leaves="cassette on the ",
)
_WOBBLE = form(
    r"(\d{1,2}(?:[.,]\d)?)\s?mm\s(?:of\s)?(?:sideways\s|side to side\s|lateral\s)?(?:wobble|buckle|sway|kink)\b",
    catches="3 mm wobble",
    leaves="3 mm play",
)
_NO_WHEELS_WOBBLE = (
    "headset",
    "bearing",
    "hub",
    "cone",
    "cassette",
    "crank",
    "pedal",
    "chainring",
    "rotor",
    "seat",
)
KGF_OF_A_NEWTON = 1 / 9.80665
_OF_A_CRANK = ("chainring", "chain ring", "crank", "chainset", "spider")


@at_numbers_only(
    _THROUGH_AXLE,
    _BEARING,
    _ARMS,
    _LACED_HOLES,
    _CROSSES,
    _LACED,
    _HOLE_CIRCLE,
    _TWO_FLANGES,
    _WOBBLE,
    _HOLES,
    _OF_THEM,
    _BUTTED,
)
def axles_and_spokes(passage: Passage) -> Iterator[list[Found]]:
    """ "148x12 rear end", "32 hole rim laced 3 cross"."""
    axles = list(passage.at_numbers(_THROUGH_AXLE))
    owners = [_owner_of_an_axle(passage, m) for m in axles]
    # Only where a hub and a frame are told apart by words; of one alone, what is told is the hub's.
    sides = owners if set(owners) == {"hub_width_mm", "frame_spacing_mm"} else ["hub_width_mm"] * len(axles)
    for m, name in zip(axles, sides, strict=True):
        yield [Found(name or "hub_width_mm", float(m[1] or m[4]), *m.span())]
    for m in passage.at_numbers(_BEARING) if passage.holds("bearing") else ():
        if number(m[1]) < number(m[2]) > number(m[3]):
            yield [
                Found("bearing_bore_mm", number(m[1]), *m.span(1)),
                Found("bearing_outside_diameter_mm", number(m[2]), *m.span(2)),
            ]
    yield from _two_flanges(passage)
    for m in (
        passage.at_numbers(_ARMS)
        if passage.holds("spider", "chainring", "circle", "bcd", "t ring", "tooth ring")
        else ()
    ):
        yield [Found("chainring_bolts_count", float(m[1]), *m.span(1))]
    for m in passage.at_numbers(_LACED_HOLES):
        yield [Found("spokes", float(m[1]), *m.span(1))]
    for m in passage.at_numbers(_CROSSES):
        yield [Found("crosses", float(m[1]), *m.span())]
    if passage.holds("spoke", "laced", "lacing", "wheelbuild"):
        for m in passage.at_numbers(_LACED):
            yield [Found("crosses", float(m[1]), *m.span())]
    if passage.holds("hub", "flange", "erd", "spoke") and not passage.holds(*_OF_A_CRANK):
        for m in passage.at_numbers(_HOLE_CIRCLE):
            yield [Found("flange_diameter_mm", number(m[1]), *m.span(1))]
    if passage.holds("wheel", "rim") and not passage.holds(*_NO_WHEELS_WOBBLE):
        for m in passage.at_numbers(_WOBBLE):
            yield [Found("runout_mm", number(m[1]), *m.span(1))]
    for m in passage.at_numbers(_BUTTED) if passage.holds("spoke") and not passage.holds("rotor") else ():
        thin, *_, thick = sorted(number(group) for group in m.groups() if group)
        yield [Found("spoke_diameter_mm", (thin, thick) if thin < thick else thin, *m.span())]
    for m in passage.at_numbers(_OF_THEM) if passage.holds("spokes") else ():
        if "spoke" in passage.before(m.start(), 40):
            yield [Found("spokes", float(m[1]), *m.span(1))]
    for m in passage.at_numbers(_HOLES):
        yield [Found("spokes", float(m[1]), *m.span())]


def _two_flanges(passage: Passage) -> Iterator[list[Found]]:
    """ "Flanges 58 and 45": hole circles where the distances from the middle stand beside them, else these distances."""
    if not passage.holds("flange"):
        return
    has_distances = _has_distances(passage)
    for m in passage.at_numbers(_TWO_FLANGES):
        if not _FLANGES_ARE.search(passage.before(m.start())):
            continue
        if _ARE_CIRCLES.match(passage.after(m.end(), 32)):
            yield [
                Found("left_flange_diameter_mm", number(m[1]), *m.span(1)),
                Found("right_flange_diameter_mm", number(m[2]), *m.span(2)),
            ]
        elif not has_distances:
            for side in (1, 2):
                yield [Found("flange_offset_mm", number(m[side]), *m.span(side))]
        elif number(m[1]) == number(m[2]):
            yield [Found("flange_diameter_mm", number(m[1]), *m.span())]
        else:
            yield [
                Found("left_flange_diameter_mm", number(m[1]), *m.span(1)),
                Found("right_flange_diameter_mm", number(m[2]), *m.span(2)),
            ]


def _has_distances(passage: Passage) -> bool:
    return _PAIR_OF_OFFSETS.search(passage.text) is not None or any(
        _kind_of_pair(passage, m) == "flange_offset_mm" for m in _SIDED_PAIR.finditer(passage.text)
    )


def _kind_of_pair(passage: Passage, pair: re.Match[str]) -> str | None:
    """What is measured on either side, by the words around it."""
    before = passage.before(pair.start(), 48)
    if _FROM_THE_MIDDLE.match(passage.text, pair.end()) or _CIRCLE_TOLD.search(before):
        return "flange_offset_mm"
    if _OF_THE_LOCKNUT.search(before):
        return "locknut_to_flange_mm"
    if _OF_THE_CIRCLE.search(before):
        return "flange_diameter_mm"
    return "flange_offset_mm" if _OF_THE_FLANGE.search(before) else None


def sided_flanges(passage: Passage) -> Iterator[list[Found]]:
    """ "Hub centre to flange left 37 right 20", "offsets 37/21": of a pair without sides the left one stands first."""
    if passage.holds("hub", "flange", "erd", "spoke") and not passage.holds(*_OF_A_CRANK):
        for m in passage.around(_CIRCLE_OF, "pcd", "hole circle"):
            yield [Found("flange_diameter_mm", number(m["size"]), *m.span("size"))]
    if passage.holds("erd", "effective"):
        yield from ([Found("crosses", 0.0, *m.span())] for m in passage.around(_RADIAL, "radial"))
    if not passage.holds("flange", "offset", "pcd", "hole circle", "erd"):
        return
    for m in passage.around(_SIDED_PAIR, "left", "right", "drive", "ds ", "l "):
        kind = _kind_of_pair(passage, m)
        if kind is None:
            continue
        one, other = ("one", "other") if m["one"] else ("one_", "other_")
        first = m["first"] or m["first_"]
        sides = ("left", "right") if first.startswith(("l", "n")) else ("right", "left")
        yield [
            Found(f"{side}_{kind}", number(m[part]), *m.span(part))
            for side, part in zip(sides, (one, other), strict=True)
        ]
    for m in passage.around(_PAIR_OF_OFFSETS, "offset", "wl", "distance", "flange"):
        if not passage.holds("rim offset", "offset rim", "asymmetric"):
            yield [
                Found("left_flange_offset_mm", number(m["one"]), *m.span("one")),
                Found("right_flange_offset_mm", number(m["other"]), *m.span("other")),
            ]


_CIRCLE_BY_SIDE = form(
    r"(\d{2}(?:[.,]\d)?)\s?(?:mm\s)?(?:hole\s|bolt\s)?circle\s(?:on the\s)?left\s?(?:and|,)\s(\d{2}(?:[.,]\d)?)\s?(?:mm\s)?(?:circle\s)?(?:on the\s)?right\b",
    catches="58 circle left and 49 right",
    leaves="58 circle and 49 right",
)


@at_numbers_only(_CIRCLE_BY_SIDE)
def circles_by_side(passage: Passage) -> Iterator[list[Found]]:
    """ "Flange holes are on a 58 circle left and 49 right"."""
    for m in passage.at_numbers(_CIRCLE_BY_SIDE) if passage.holds("flange") else ():
        yield [
            Found("left_flange_diameter_mm", number(m[1]), *m.span(1)),
            Found("right_flange_diameter_mm", number(m[2]), *m.span(2)),
        ]


def _owner_of_an_axle(passage: Passage, m: re.Match[str]) -> str | None:
    """Whether "12x142" is said of a hub or of a frame: by the word right behind it, or by the last one before it."""
    owned = _OWNED_BEHIND.match(passage.after(m.end(), 60))
    if owned is None:
        before = _CLAUSE_ENDS.split(passage.before(m.start(), 60))[-1]
        owned = next(reversed(list(_OWNER.finditer(before))), None)
    if owned is None:
        return None
    return "hub_width_mm" if owned["hub"] else "frame_spacing_mm"


def limits_and_ranges_of_tension(passage: Passage) -> Iterator[list[Found]]:
    """ "105 to 128, rim limit 125 kgf": the slackest and the tightest of one side, and what the rim allows."""
    if not passage.holds("tension", "kgf") or not passage.holds("spoke", "kgf"):
        return
    for m in (
        *passage.around(_RIM_ALLOWS, "limit", "max", "rated", "allows", "rim says", "sticker", "sheet"),
        *passage.at_numbers(_LIMIT_OF_TENSION),
    ):
        if 50 <= number(m["limit"]) <= 200:
            yield [Found("rim_tension_limit_kgf", number(m["limit"]), *m.span("limit"))]
    for m in passage.at_numbers(_TENSION_RANGE):
        low, high = number(m[1]), number(m[2])
        if 40 <= low < high <= 180:
            found = [
                Found("lowest_spoke_tension_kgf", low, *m.span(1)),
                Found("highest_spoke_tension_kgf", high, *m.span(2)),
            ]
            if not _OF_THE_SLACK_SIDE.search(passage.before(m.start(), 40)):
                found.append(Found("tight_side_tension_kgf", (low + high) / 2, *m.span()))
            yield found


def dish_by_turning_over(passage: Passage) -> Iterator[list[Found]]:
    """ "When I flip the wheel round, the rim moves 3 mm": the gap with the wheel turned over."""
    if not passage.holds("rim", "dish", "centre", "center") or passage.holds("rotor", "pedal"):
        return
    for m in passage.around(_FLIPPED, "flip", "turn", "revers", "swap"):
        if number(m["gap"]) <= 20:
            yield [Found("dish_gap_mm", number(m["gap"]), *m.span("gap"))]


def tensions_by_side(passage: Passage) -> Iterator[list[Found]]:
    """ "80 kgf on the left and 120 on the right": of two sides the tighter one counts, wherever the sprockets are."""
    if not passage.holds("tension", "kgf") or not passage.holds("spoke", "kgf"):
        return
    then_sides = passage.at_numbers(_TENSIONS_THEN_SIDES)
    then_figures = passage.around(_SIDES_THEN_TENSIONS, "left", "right", "drive", "side", "nds")
    for m in (*then_sides, *then_figures):
        one, other = number(m["one"]), number(m["other"])
        if "other" not in m["second"] and bool(_LEFT.fullmatch(m["first"])) == bool(
            _LEFT.fullmatch(m["second"])
        ):
            continue
        tight, slack = ("one", "other") if one >= other else ("other", "one")
        if min(one, other) >= 20 and max(one, other) <= 200:
            yield [
                Found("tight_side_tension_kgf", number(m[tight]), *m.span(tight)),
                Found("other_side_tension_kgf", number(m[slack]), *m.span(slack)),
            ]
            # "Or is 65 too slack?" says one of them again.
            for again in re.finditer(
                rf"(?<![\d.,])(?:{re.escape(m['one'])}|{re.escape(m['other'])})(?![\d.,]*\d|\s?(?:mm|psi|bar))",
                passage.text[m.end() :],
            ):
                passage.taken.append((m.end() + again.start(), m.end() + again.end()))


_OTHER_BEHIND = form(
    r"(\d{2,3})\s?(?:kgf|n|newtons?)\s(?:and|but|with)\s(?:on\s)?(?:the\s)?(?:other|slack|slacker|non-?drive|left)(?:\sside|\sone)?\s(?:(?:is|at|has|to|only|about|just)\s){0,2}(\d{2,3})(?!\d|[.,]\d|\s?(?:mm|%|psi|spokes))",
    catches="70 kgf and the other side 40",
    leaves="70 kgf and the other side has 40 spokes",
)


@at_numbers_only(_OTHER_BEHIND)
def tension_of_the_other(passage: Passage) -> Iterator[list[Found]]:
    """ "The drive side fell to 70 kgf and the other side 40": the second figure is in the first one's unit."""
    if not passage.holds("tension", "kgf") or not passage.holds("spoke", "kgf"):
        return
    for m in passage.at_numbers(_OTHER_BEHIND):
        in_kgf = 1.0 if "kgf" in m.group() else KGF_OF_A_NEWTON
        tight, slack = number(m[1]) * in_kgf, number(m[2]) * in_kgf
        if slack < tight:
            yield [
                Found("tight_side_tension_kgf", tight, *m.span(1)),
                Found("other_side_tension_kgf", slack, *m.span(2)),
            ]


@at_numbers_only(_TENSION)
def spoke_tensions(passage: Passage) -> Iterator[list[Found]]:
    """ "The meter says 105 kgf": of one tension alone it is that of the tighter side."""
    if passage.has_found("tight_side_tension_kgf"):
        return
    if not passage.holds("spoke", "tension") or len(list(passage.at_numbers(_TENSION))) > 1:
        return
    for m in passage.at_numbers(_TENSION):
        if not _OF_THE_SLACK_SIDE.search(passage.before(m.start(), 40)):
            yield [Found("tight_side_tension_kgf", number(m[1]), *m.span())]
