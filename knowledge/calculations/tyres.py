"""Tyres: sizes, rims they fit, pressure, load, clearance, gas, leaks, tubulars and sealant."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any

import numpy as np
from numpy import pi, sqrt
from numpy.typing import NDArray

from knowledge.calculation import valid
from knowledge.tables import rows
from knowledge.units import (
    Cm2,
    Days,
    DegC,
    G,
    Kg,
    Km,
    Kmh,
    Kpa,
    KpaDay,
    Litre,
    M,
    Ml,
    Mm,
    N,
    NMm,
    Pct,
    Pure,
    Strokes,
    W,
    Word,
)

PSI_KPA = 6.894757
POUND_KG = 0.45359237
GRAVITY = 9.80665
SEA_LEVEL_KPA = 101.325
GAS_CONSTANT = 8.314462618
CARBON_DIOXIDE_G_MOL = 44.01

_TYRE = (15, 132, "bicycle tyres lie between, fat ones included")
_SEAT = (130, 700, "no bicycle rim is smaller or larger")
_RIM = (8, 110, "no bicycle rim is narrower or wider inside")
_PRESSURE = (20, 1600, "below it a tyre is flat, above it no bicycle tyre is pumped")
_LIMIT = (100, 1600, "limits printed on tyres and rims lie between")
_AMBIENT = (50, 110, "the air between sea level and a pass of 5 500 m")
_AIR = (-45, 70, "weather, and a bicycle left in a hot car")
_HEIGHT = (-430, 11000, "from the lowest shore to the highest flight")


# --- Sizes ---------------------------------------------------------------------------------------------


_FRACTIONS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}


def _plain_size(name: str) -> str:
    text = name.lower()
    for sign, words in _FRACTIONS.items():
        text = re.sub(rf"\s*[-\s]?{sign}", f" {words}", text)
    text = re.sub(r"(\d)-(\d+/\d+)", r"\1 \2", text.replace("×", "x"))
    text = re.sub(r"-?\b(inches|inch|in)\b|[\"″”]", " ", text)
    return re.sub(r"\s*x\s*", " x ", re.sub(r"\s+", " ", text)).strip()


def bead_seat_diameters(name: str) -> tuple[float, ...]:
    """Every bead seat diameter in mm that goes by a size's name; several where the trade's names clash.

    Takes the names of the trade and whole sizes: `28-622`, `700 x 25C`, `26 x 1⅜`, `26 x 2.1`, `27.5 in`.
    A fraction and a decimal are different rims, also where they are equal in number.

    Raises:
        ValueError: no rim of that name is in the table of bead seats.

    >>> bead_seat_diameters("650B"), bead_seat_diameters("26 x 1⅜"), bead_seat_diameters("26 x 1.5")
    ((584.0,), (590.0,), (559.0,))
    >>> bead_seat_diameters("26 in")
    (559.0, 571.0, 584.0, 590.0, 597.0)
    """
    wanted = _plain_size(name)
    metric = re.fullmatch(r"\d{2,3} ?- ?(\d{3})", wanted)
    french = re.fullmatch(r"(\d{3}) x \d{2,3} ?([abcd]?)", wanted)
    decimal = re.fullmatch(r"([\d.]+) x \d+\.\d+", wanted)
    found = set()
    for row in rows("tyres/bead_seats"):
        diameter, called, kind = (
            float(row["bead_seat_diameter_mm"]),
            _plain_size(str(row["name"])),
            row["kind"],
        )
        if metric:
            fits = diameter == float(metric[1])
        elif french:
            fits = called == french[1] + french[2] or (not french[2] and called[:-1] == french[1])
        elif decimal:
            fits = called == decimal[1] and kind in ("inch decimal", "off-road", "inch")
        else:
            fits = called == wanted or called.startswith(f"{wanted} x ")
        if fits:
            found.add(diameter)
    if not found:
        known = ", ".join(sorted({str(row["name"]) for row in rows("tyres/bead_seats")}))
        raise ValueError(f'no rim size is called "{name}"; the known names are {known}')
    return tuple(sorted(found))


def size_names(bead_seat_diameter_mm: float) -> tuple[str, ...]:
    """The inch and French names of a bead seat diameter, as the trade writes them.

    Raises:
        ValueError: the table of bead seats has no such diameter.

    >>> size_names(622)
    ('28 in', '29 in', '700C')
    """
    names = tuple(
        str(row["name"])
        for row in rows("tyres/bead_seats")
        if row["bead_seat_diameter_mm"] == bead_seat_diameter_mm
    )
    if not names:
        known = sorted({float(row["bead_seat_diameter_mm"]) for row in rows("tyres/bead_seats")})
        nearest = min(known, key=lambda diameter: abs(diameter - bead_seat_diameter_mm))
        raise ValueError(
            f"no name for a bead seat of {bead_seat_diameter_mm:g} mm; nearest is {nearest:g} mm"
        )
    return names


@valid(tyre_width_mm=_TYRE)
def tyre_section_height_mm(tyre_width_mm: Mm) -> Mm:
    """Height of the tyre above its bead seat, taken equal to its width.

    Formula:
        h = w

    Args:
        tyre_width_mm: w, width of the inflated tyre. [mm]

    Returns:
        h, height of the section. [mm]

    Accuracy:
        General guidance; a tyre on a wide rim is up to 2 mm lower, one with tall knobs higher.

    Source:
        tyres-10, tyres-2

    >>> tyre_section_height_mm(32.0)
    32.0
    """
    return tyre_width_mm


@valid(tyre_width_mm=_TYRE)
def standard_section_height_mm(tyre_width_mm: Mm) -> Mm:
    """Height of the section by the standard's older rule, which adds 2.5 mm to narrow tyres.

    Formula:
        h = w + where(w < 28, 2.5, 0)

    Args:
        tyre_width_mm: w, nominal width of the tyre. [mm]

    Returns:
        h, height of the section. [mm]

    Accuracy:
        A rule for clearances, so on the tall side: real narrow tyres are about as high as wide.

    Source:
        tyres-2

    >>> float(standard_section_height_mm(23.0)), float(standard_section_height_mm(32.0))
    (25.5, 32.0)
    """
    return tyre_width_mm + np.where(tyre_width_mm < 28, 2.5, 0)


@valid(
    bead_seat_diameter_mm=_SEAT,
    tyre_section_height_mm=(15, 135, "tyre sections lie between"),
)
def tyre_outside_diameter_mm(bead_seat_diameter_mm: Mm, tyre_section_height_mm: Mm) -> Mm:
    """Outside diameter of the inflated tyre.

    Formula:
        D = B + 2 * h

    Args:
        bead_seat_diameter_mm: B, second number of the size on the sidewall. [mm]
        tyre_section_height_mm: h, height of the section. [mm]

    Returns:
        D, outside diameter. [mm]

    Accuracy:
        As good as the height; within about 2 % of published roll-outs.

    Source:
        tyres-2, tyres-10

    >>> tyre_outside_diameter_mm(622.0, 23.0)
    668.0
    """
    return bead_seat_diameter_mm + 2 * tyre_section_height_mm


@valid(tyre_outside_diameter_mm=(150, 900, "bicycle wheels lie between"))
def wheel_circumference_mm(tyre_outside_diameter_mm: Mm) -> Mm:
    """Roll-out: the way that the wheel covers in one turn.

    Formula:
        C = pi * D

    Args:
        tyre_outside_diameter_mm: D, outside diameter of the tyre. [mm]

    Returns:
        C, roll-out of one turn. [mm]

    Accuracy:
        Against published charts -1.4 to +2 %; a roll-out with the rider on the bicycle decides.

    Source:
        tyres-10, tyres-35, tyres-37

    >>> round(float(wheel_circumference_mm(668.0)), 1)
    2098.6
    """
    return pi * tyre_outside_diameter_mm


@valid(
    true_distance_km=(0.1, 2000, "a measured stretch or a tour"),
    shown_distance_km=(0.1, 2000, "the same on the display"),
)
def setting_factor_ratio(true_distance_km: Km, shown_distance_km: Km) -> Pure:
    """By how much a bicycle computer's setting is to be multiplied, from a stretch of known length.

    Formula:
        q = d / s

    Args:
        true_distance_km: d, how long the stretch is. [km]
        shown_distance_km: s, what the computer showed for it. [km]

    Returns:
        q, the true setting over the present one. [-]

    Accuracy:
        That of the two distances.

    Source:
        arithmetic

    >>> round(float(setting_factor_ratio(29.6, 31.0)), 3)
    0.955
    """
    return true_distance_km / shown_distance_km


@valid(
    set_circumference_mm=(500, 3000, "bicycle wheels lie between"),
    setting_factor_ratio=(0.3, 3, "a setting further off was no roll-out of the wheel"),
)
def corrected_setting_mm(set_circumference_mm: Mm, setting_factor_ratio: Pure) -> Mm:
    """The roll-out to set, from the one that is set and how far its distances are off.

    Formula:
        C = c * q

    Args:
        set_circumference_mm: c, the roll-out that is set now. [mm]
        setting_factor_ratio: q, the true setting over the present one. [-]

    Returns:
        C, the roll-out to set. [mm]

    Accuracy:
        That of the two distances.

    Source:
        arithmetic

    >>> corrected_setting_mm(2000.0, 1.05)
    2100.0
    """
    return set_circumference_mm * setting_factor_ratio


@valid(
    bead_seat_diameter_mm=_SEAT,
    tyre_width_mm=_TYRE,
    new_bead_seat_diameter_mm=_SEAT,
    new_tyre_width_mm=_TYRE,
)
def circumference_change_pct(
    bead_seat_diameter_mm: Mm, tyre_width_mm: Mm, new_bead_seat_diameter_mm: Mm, new_tyre_width_mm: Mm
) -> Pct:
    """How much longer one turn of the wheel is with the new tyre: the change of gear and of speed reading.

    Formula:
        c = 100 * ((E + 2 * v) / (B + 2 * w) - 1)

    Args:
        bead_seat_diameter_mm: B, bead seat diameter now. [mm]
        tyre_width_mm: w, tyre width now. [mm]
        new_bead_seat_diameter_mm: E, bead seat diameter of the new wheel or tyre. [mm]
        new_tyre_width_mm: v, width of the new tyre. [mm]

    Returns:
        c, change of the roll-out. [%]

    Accuracy:
        About one point, because each height is only near its width.

    Source:
        tyres-10

    >>> round(float(circumference_change_pct(622.0, 25.0, 584.0, 47.0)), 2)
    0.89
    """
    return 100 * (
        (new_bead_seat_diameter_mm + 2 * new_tyre_width_mm) / (bead_seat_diameter_mm + 2 * tyre_width_mm) - 1
    )


@valid(bead_seat_diameter_mm=_SEAT, new_bead_seat_diameter_mm=_SEAT)
def brake_reach_change_mm(bead_seat_diameter_mm: Mm, new_bead_seat_diameter_mm: Mm) -> Mm:
    """How much further down the brake blocks must reach on the new rim; negative where they go up.

    Formula:
        r = (B - E) / 2

    Args:
        bead_seat_diameter_mm: B, bead seat diameter of the present rim. [mm]
        new_bead_seat_diameter_mm: E, bead seat diameter of the new rim. [mm]

    Returns:
        r, change of brake reach. [mm]

    Accuracy:
        Exact for rims of equal wall height.

    Caution:
        A block that sits on the tyre or under the brake track fails without warning: check both ends.

    Source:
        tyres-10

    >>> brake_reach_change_mm(630.0, 622.0)
    4.0
    """
    return (bead_seat_diameter_mm - new_bead_seat_diameter_mm) / 2


# --- Tyre width against rim width ----------------------------------------------------------------------


@lru_cache(maxsize=8)
def _steps(kind: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    chosen = sorted(
        (float(row["tyre_width_from_mm"]), float(row["rim_inner_width_mm"]))
        for row in rows("tyres/rim_widths_current")
        if row["kind"] == kind
    )
    return np.array([start for start, _ in chosen]), np.array([value for _, value in chosen])


def _stepped(kind: str, tyre_width_mm: Any) -> Any:
    starts, values = _steps(kind)
    return values[np.searchsorted(starts, tyre_width_mm, side="right") - 1]


_TABLE = (18, 132, "the standard's table of tyre widths runs from 18 to 132 mm")


@valid(tyre_width_mm=_TABLE)
def measuring_rim_width_mm(tyre_width_mm: Mm) -> Mm:
    """Inside width of the rim on which a new tyre of this marked width is measured.

    Rule:
        The row of the standard's table, in force since January 2020, that holds the marked tyre width.

    Args:
        tyre_width_mm: marked width of the tyre. [mm]

    Returns:
        r, inside width of the measuring rim. [mm]

    Accuracy:
        As printed by a tyre maker. Tyres designed before 2020 were measured on narrower rims.

    Source:
        tyres-t3

    >>> float(measuring_rim_width_mm(28.0)), float(measuring_rim_width_mm(40.0))
    (19.0, 23.0)
    """
    return _stepped("measuring", tyre_width_mm)


@valid(tyre_width_mm=_TABLE)
def narrowest_rim_width_mm(tyre_width_mm: Mm) -> Mm:
    """Narrowest rim, measured inside, that suits a tyre of this width by the current recommendations.

    Rule:
        The row of the table of current rim widths that holds the tyre width; above 65 mm, where no table
        was seen, tyre width divided by 2.5.

    Args:
        tyre_width_mm: marked width of the tyre. [mm]

    Returns:
        n, narrowest recommended inside width. [mm]

    Accuracy:
        Rows differ in standing: some are makers' figures, some taken over from the 2006 edition, some
        from memory. The tyre's and the rim's own sheets decide.

    Caution:
        A tyre far too wide for its rim squirms, and can leave the rim in a bend.

    Source:
        tyres-t1, tyres-t4, tyres-t5, from-memory

    >>> float(narrowest_rim_width_mm(38.0)), float(narrowest_rim_width_mm(28.0))
    (17.0, 15.0)
    """
    return np.where(tyre_width_mm > 65, tyre_width_mm / 2.5, _stepped("narrowest", tyre_width_mm))


@valid(tyre_width_mm=_TABLE)
def widest_rim_width_mm(tyre_width_mm: Mm) -> Mm:
    """Widest rim, measured inside, that suits a tyre of this width by the current recommendations.

    Rule:
        The row of the table of current rim widths that holds the tyre width; above 65 mm, where no table
        was seen, tyre width divided by 1.25, or the measuring rim where that is wider.

    Args:
        tyre_width_mm: marked width of the tyre. [mm]

    Returns:
        x, widest recommended inside width. [mm]

    Accuracy:
        Rows differ in standing: some are makers' figures, some from memory. The tyre's and the rim's
        own sheets decide.

    Caution:
        A tyre too narrow for its rim can come off, above all from a hookless rim.

    Source:
        tyres-14, tyres-15, tyres-t4, tyres-t5, tyres-t11, from-memory

    >>> float(widest_rim_width_mm(28.0)), float(widest_rim_width_mm(38.0))
    (23.0, 27.0)
    """
    by_rule = np.maximum(tyre_width_mm / 1.25, _stepped("measuring", tyre_width_mm))
    return np.where(tyre_width_mm > 65, by_rule, _stepped("widest", tyre_width_mm))


@valid(
    rim_inner_width_mm=_RIM,
    narrowest_rim_width_mm=_RIM,
    widest_rim_width_mm=_RIM,
)
def rim_width_margin_mm(rim_inner_width_mm: Mm, narrowest_rim_width_mm: Mm, widest_rim_width_mm: Mm) -> Mm:
    """How far inside the recommended range the rim's width lies; negative where it lies outside.

    Formula:
        m = min(a - n, x - a)

    Args:
        rim_inner_width_mm: a, inside width of the rim. [mm]
        narrowest_rim_width_mm: n, narrowest recommended inside width. [mm]
        widest_rim_width_mm: x, widest recommended inside width. [mm]

    Returns:
        m, margin to the nearer end of the range. [mm]

    Accuracy:
        As good as the two ends. Rims are made in steps of about 2 mm and measured to 0.5 mm.

    Source:
        arithmetic

    >>> float(rim_width_margin_mm(21.0, 15.0, 23.0))
    2.0
    """
    return np.minimum(rim_inner_width_mm - narrowest_rim_width_mm, widest_rim_width_mm - rim_inner_width_mm)


@lru_cache(maxsize=1)
def _earlier() -> NDArray[np.float64]:
    ends: dict[float, dict[str, float]] = {}
    for row in rows("tyres/rim_widths_earlier"):
        ends.setdefault(float(row["rim_inner_width_mm"]), {})[str(row["kind"])] = float(row["tyre_width_mm"])
    return np.array([(rim, pair["narrowest"], pair["widest"]) for rim, pair in sorted(ends.items())])


def _earlier_rims(tyre_width_mm: Any, outside: float) -> Any:
    """Each rim of the table where it takes the tyre, and a value that never wins where it does not."""
    rim, low, high = _earlier().T
    width = np.asarray(tyre_width_mm, dtype=float)[..., None]
    return np.where((low <= width) & (width <= high), rim, outside)


_EARLIER = (18, 62, "the earlier edition's table runs from 18 to 62 mm")


@valid(tyre_width_mm=_EARLIER)
def earlier_narrowest_rim_width_mm(tyre_width_mm: Mm) -> Mm:
    """Narrowest rim, measured inside, that the 2006 edition of the table allowed for a tyre.

    Rule:
        The narrowest rim of the 2006 table whose range of tyre widths holds this one.

    Args:
        tyre_width_mm: marked width of the tyre. [mm]

    Returns:
        n, narrowest inside width then allowed. [mm]

    Accuracy:
        Read from a copy that had lost its columns; one row may be off by one tyre size.

    Source:
        tyres-t1, tyres-t2

    >>> float(earlier_narrowest_rim_width_mm(28.0)), float(earlier_narrowest_rim_width_mm(37.0))
    (15.0, 17.0)
    """
    return _earlier_rims(tyre_width_mm, np.inf).min(axis=-1)


@valid(tyre_width_mm=_EARLIER)
def earlier_widest_rim_width_mm(tyre_width_mm: Mm) -> Mm:
    """Widest rim, measured inside, that the 2006 edition of the table allowed for a tyre.

    Rule:
        The widest rim of the 2006 table whose range of tyre widths holds this one.

    Args:
        tyre_width_mm: marked width of the tyre. [mm]

    Returns:
        x, widest inside width then allowed. [mm]

    Accuracy:
        Read from a copy that had lost its columns; one row may be off by one tyre size.

    Source:
        tyres-t1, tyres-t2

    >>> float(earlier_widest_rim_width_mm(28.0)), float(earlier_widest_rim_width_mm(37.0))
    (19.0, 23.0)
    """
    return _earlier_rims(tyre_width_mm, -np.inf).max(axis=-1)


@valid(
    rim_inner_width_mm=_RIM,
    earlier_narrowest_rim_width_mm=_RIM,
    earlier_widest_rim_width_mm=_RIM,
)
def earlier_rim_width_margin_mm(
    rim_inner_width_mm: Mm, earlier_narrowest_rim_width_mm: Mm, earlier_widest_rim_width_mm: Mm
) -> Mm:
    """How far inside the 2006 edition's range the rim's width lies; negative where it lies outside.

    Formula:
        m = min(a - n, x - a)

    Args:
        rim_inner_width_mm: a, inside width of the rim. [mm]
        earlier_narrowest_rim_width_mm: n, narrowest inside width then allowed. [mm]
        earlier_widest_rim_width_mm: x, widest inside width then allowed. [mm]

    Returns:
        m, margin to the nearer end of the range. [mm]

    Accuracy:
        As good as the two ends.

    Source:
        arithmetic

    >>> float(earlier_rim_width_margin_mm(21.0, 15.0, 19.0))
    -2.0
    """
    return np.minimum(
        rim_inner_width_mm - earlier_narrowest_rim_width_mm,
        earlier_widest_rim_width_mm - rim_inner_width_mm,
    )


@valid(tyre_width_mm=_TYRE)
def proportion_rim_width_mm(tyre_width_mm: Mm) -> Mm:
    """Inside width of the rim that the standard's proportion gives for a tyre.

    Formula:
        r = w * where(w < 30, 0.65, 0.55)

    Args:
        tyre_width_mm: w, marked width of the tyre. [mm]

    Returns:
        r, inside width of the rim in proportion. [mm]

    Accuracy:
        A guide value in an older text of the standard, not a limit.

    Source:
        tyres-2

    >>> round(float(proportion_rim_width_mm(25.0)), 2), round(float(proportion_rim_width_mm(37.0)), 2)
    (16.25, 20.35)
    """
    return tyre_width_mm * np.where(tyre_width_mm < 30, 0.65, 0.55)


@valid(rim_inner_width_mm=_RIM, narrowest_tyre_ratio=(1.1, 1.6, "columnists and makers ask 1.25 to 1.45"))
def narrowest_tyre_for_rim_mm(rim_inner_width_mm: Mm, narrowest_tyre_ratio: Pure = 1.25) -> Mm:
    """Narrowest tyre for a rim by a technical column's rule of one and a quarter times the inside width.

    Formula:
        w = k * a

    Args:
        rim_inner_width_mm: a, inside width of the rim. [mm]
        narrowest_tyre_ratio: k, tyre width over rim width. [-]

    Returns:
        w, narrowest tyre. [mm]

    Accuracy:
        A rule of thumb; the maker's table comes first.

    Source:
        tyres-t5

    >>> narrowest_tyre_for_rim_mm(22.0)
    27.5
    """
    return narrowest_tyre_ratio * rim_inner_width_mm


@valid(rim_inner_width_mm=_RIM, widest_tyre_ratio=(1.8, 3, "columnists and makers allow 2 to 2.5"))
def widest_tyre_for_rim_mm(rim_inner_width_mm: Mm, widest_tyre_ratio: Pure = 2.5) -> Mm:
    """Widest tyre for a rim by a technical column's rule of two and a half times the inside width.

    Formula:
        w = k * a

    Args:
        rim_inner_width_mm: a, inside width of the rim. [mm]
        widest_tyre_ratio: k, tyre width over rim width. [-]

    Returns:
        w, widest tyre. [mm]

    Accuracy:
        A rule of thumb; the maker's table comes first.

    Source:
        tyres-t5

    >>> widest_tyre_for_rim_mm(22.0)
    55.0
    """
    return widest_tyre_ratio * rim_inner_width_mm


@valid(
    tyre_width_mm=_TYRE,
    rim_inner_width_mm=_RIM,
    hookless_overlap_mm=(0, 10, "4 to 5 mm is asked"),
)
def hookless_width_margin_mm(tyre_width_mm: Mm, rim_inner_width_mm: Mm, hookless_overlap_mm: Mm = 5.0) -> Mm:
    """How much wider the tyre is than a hookless rim asks for; negative where it is too narrow.

    Formula:
        m = w - a - o

    Args:
        tyre_width_mm: w, marked width of the tyre. [mm]
        rim_inner_width_mm: a, inside width of the rim. [mm]
        hookless_overlap_mm: o, least difference between tyre and rim since 2023. [mm]

    Returns:
        m, width to spare. [mm]

    Accuracy:
        5 mm is how a weekly reports the change of 2023; one rim maker reads the same edition as 4 mm
        (29 mm on 25 mm). The stricter figure is the default.

    Caution:
        Only tubeless tyres whose maker releases them for hookless rims, also when a tube is inside.

    Source:
        tyres-t6, tyres-14, tyres-15

    >>> hookless_width_margin_mm(28.0, 25.0), hookless_width_margin_mm(28.0, 23.0)
    (-2.0, 0.0)
    """
    return tyre_width_mm - rim_inner_width_mm - hookless_overlap_mm


@valid(
    rim_width_margin_mm=(-110, 60, "results for real tyres and rims"),
    hookless_width_margin_mm=(-110, 130, "results for real tyres and rims"),
    rim_type=("hooked-tubeless", "hookless", "not-tubeless", "tubular"),
)
def rim_fit_margin_mm(rim_width_margin_mm: Mm, hookless_width_margin_mm: Mm, rim_type: Word) -> Mm:
    """Margin that counts for this kind of rim; negative where the pair is outside.

    Rule:
        The margin inside the recommended range; on a hookless rim the smaller of it and the width to
        spare over the hookless rule.

    Args:
        rim_width_margin_mm: margin to the nearer end of the recommended range. [mm]
        hookless_width_margin_mm: width to spare over the hookless rule. [mm]
        rim_type: kind of rim. [word]

    Returns:
        margin that counts. [mm]

    Accuracy:
        As good as the two margins.

    Caution:
        A tyre too narrow for a hookless rim can come off under pressure.

    Source:
        tyres-14, tyres-t6

    >>> float(rim_fit_margin_mm(1.0, -1.0, "hookless")), float(rim_fit_margin_mm(1.0, -1.0, "not-tubeless"))
    (-1.0, 1.0)
    """
    if rim_type == "hookless":
        return np.minimum(rim_width_margin_mm, hookless_width_margin_mm)
    return rim_width_margin_mm


@valid(
    tyre_width_mm=_TABLE,
    rim_inner_width_mm=_RIM,
    measuring_rim_width_mm=_RIM,
    width_gain_ratio=(0.3, 0.6, "published gains are 0.4 to 0.5 mm for each millimetre of rim"),
)
def tyre_width_on_rim_mm(
    tyre_width_mm: Mm, rim_inner_width_mm: Mm, measuring_rim_width_mm: Mm, width_gain_ratio: Pure = 0.5
) -> Mm:
    """Width that the tyre will really measure on this rim.

    Formula:
        v = w + k * (a - r)

    Args:
        tyre_width_mm: w, marked width of the tyre. [mm]
        rim_inner_width_mm: a, inside width of the rim. [mm]
        measuring_rim_width_mm: r, inside width of the rim it was measured on. [mm]
        width_gain_ratio: k, tyre width gained for each millimetre of rim. [-]

    Returns:
        v, width to expect. [mm]

    Accuracy:
        Within 1 mm for road tyres; many tyres are a little narrower than marked, old designs were
        measured on narrower rims.

    Source:
        tyres-13, tyres-94, tyres-t3

    >>> tyre_width_on_rim_mm(28.0, 23.0, 19.0)
    30.0
    """
    return tyre_width_mm + width_gain_ratio * (rim_inner_width_mm - measuring_rim_width_mm)


# --- Clearance in the frame ----------------------------------------------------------------------------


_GAP = (0, 60, "gaps between a tyre and a frame lie between")


@valid(side_gap_mm=_GAP, tyre_width_mm=_TYRE, new_tyre_width_mm=_TYRE)
def side_clearance_left_mm(side_gap_mm: Mm, tyre_width_mm: Mm, new_tyre_width_mm: Mm) -> Mm:
    """Gap left beside the new tyre; negative where it would touch.

    Formula:
        g = s - (v - w) / 2

    Args:
        side_gap_mm: s, narrowest gap beside the present tyre. [mm]
        tyre_width_mm: w, width of the present tyre. [mm]
        new_tyre_width_mm: v, width of the new tyre. [mm]

    Returns:
        g, gap left at the side. [mm]

    Accuracy:
        Marked widths are good to 1 mm a side; measure the present tyre if you can. Knobs count.

    Source:
        geometry

    >>> side_clearance_left_mm(8.0, 25.0, 32.0)
    4.5
    """
    return side_gap_mm - (new_tyre_width_mm - tyre_width_mm) / 2


@valid(crown_gap_mm=_GAP, tyre_width_mm=_TYRE, new_tyre_width_mm=_TYRE)
def crown_clearance_left_mm(crown_gap_mm: Mm, tyre_width_mm: Mm, new_tyre_width_mm: Mm) -> Mm:
    """Gap left above the new tyre, under crown, bridge or brake; negative where it would touch.

    Formula:
        g = c - (v - w)

    Args:
        crown_gap_mm: c, narrowest gap above the present tyre. [mm]
        tyre_width_mm: w, width of the present tyre. [mm]
        new_tyre_width_mm: v, width of the new tyre. [mm]

    Returns:
        g, gap left above. [mm]

    Accuracy:
        The height grows about as the width does, to 1 or 2 mm.

    Source:
        geometry, tyres-10

    >>> crown_clearance_left_mm(10.0, 25.0, 32.0)
    3.0
    """
    return crown_gap_mm - (new_tyre_width_mm - tyre_width_mm)


@valid(discipline=("road", "track", "gravel", "mountain", "city", "cyclocross", "child"))
def clearance_needed_mm(discipline: Word) -> Mm:
    """Gap that a tyre must keep to every part of frame, fork and mudguard.

    Rule:
        Road and track bicycles keep 4 mm, all others 6 mm.

    Args:
        discipline: kind of riding. [word]

    Returns:
        least gap. [mm]

    Accuracy:
        As owners' manuals print the international rule; the frame maker's own figure comes first.

    Source:
        tyres-88, tyres-91

    >>> clearance_needed_mm("gravel")
    6.0
    """
    rule = "clearance-racing" if discipline in ("road", "track") else "clearance-other"
    return _one("clearances", rule, "clearance_mm")


@valid(
    side_clearance_left_mm=(-60, 80, "gaps lie between"),
    crown_clearance_left_mm=(-120, 130, "gaps lie between"),
    clearance_needed_mm=(1, 20, "rules ask 1.6 to 6 mm, makers up to 10 mm for mud"),
)
def clearance_margin_mm(
    side_clearance_left_mm: Mm, crown_clearance_left_mm: Mm, clearance_needed_mm: Mm
) -> Mm:
    """Room to spare over the clearance asked for, at the tightest place; negative where it is lacking.

    Formula:
        m = min(s, c) - n

    Args:
        side_clearance_left_mm: s, gap left at the side. [mm]
        crown_clearance_left_mm: c, gap left above. [mm]
        clearance_needed_mm: n, least gap. [mm]

    Returns:
        m, room to spare. [mm]

    Accuracy:
        About 1 mm, and the wheel and frame flex as well.

    Caution:
        A tyre that picks up a stone or touches the fork can stop the wheel dead.

    Source:
        tyres-88, tyres-91

    >>> float(clearance_margin_mm(4.5, 3.0, 4.0))
    -1.0
    """
    return np.minimum(side_clearance_left_mm, crown_clearance_left_mm) - clearance_needed_mm


@valid(
    tyre_clearance_mm=_GAP,
    clearance_needed_mm=(1, 20, "rules ask 1.6 to 6 mm, makers up to 10 mm for mud"),
)
def clearance_spare_mm(tyre_clearance_mm: Mm, clearance_needed_mm: Mm) -> Mm:
    """Room to spare round a fitted tyre over the clearance asked for; negative where it is lacking.

    Formula:
        m = g - n

    Args:
        tyre_clearance_mm: g, smallest gap between tyre and frame. [mm]
        clearance_needed_mm: n, least gap. [mm]

    Returns:
        m, room to spare. [mm]

    Accuracy:
        As good as the gap was measured; wheel and frame flex under load.

    Caution:
        A tyre that picks up a stone or touches the fork can stop the wheel dead.

    Source:
        tyres-88, tyres-91

    >>> clearance_spare_mm(3.0, 4.0)
    -1.0
    """
    return tyre_clearance_mm - clearance_needed_mm


@valid(
    tyre_width_mm=_TYRE,
    side_gap_mm=_GAP,
    crown_gap_mm=_GAP,
    clearance_needed_mm=(1, 20, "rules ask 1.6 to 6 mm, makers up to 10 mm for mud"),
)
def widest_tyre_for_frame_mm(
    tyre_width_mm: Mm, side_gap_mm: Mm, crown_gap_mm: Mm, clearance_needed_mm: Mm
) -> Mm:
    """Widest tyre that keeps the clearance asked for, from the gaps round the present one.

    Formula:
        v = w + min(2 * (s - n), c - n)

    Args:
        tyre_width_mm: w, width of the present tyre. [mm]
        side_gap_mm: s, narrowest gap beside the present tyre. [mm]
        crown_gap_mm: c, narrowest gap above the present tyre. [mm]
        clearance_needed_mm: n, least gap. [mm]

    Returns:
        v, widest tyre. [mm]

    Accuracy:
        About 1 mm; go by the measured width on your rim.

    Source:
        geometry, tyres-88

    >>> float(widest_tyre_for_frame_mm(28.0, 7.0, 9.0, 4.0))
    33.0
    """
    return tyre_width_mm + np.minimum(
        2 * (side_gap_mm - clearance_needed_mm), crown_gap_mm - clearance_needed_mm
    )


# --- Load and pressure ---------------------------------------------------------------------------------


_MASS = (20, 400, "from a child on a small bicycle to a loaded tandem")
_WHEEL = (8, 250, "from a child's front wheel to a tandem's rear wheel")


@valid(
    rider_mass_kg=(10, 250, "children to the heaviest riders"),
    bike_mass_kg=(3, 80, "from a racing bicycle to a cargo bicycle"),
    load_mass_kg=(0, 200, "from none to a full cargo load"),
)
def total_mass_kg(rider_mass_kg: Kg, bike_mass_kg: Kg, load_mass_kg: Kg = 0.0) -> Kg:
    """Mass of rider, bicycle and load together.

    Formula:
        M = r + b + l

    Args:
        rider_mass_kg: r, rider with clothing. [kg]
        bike_mass_kg: b, bicycle. [kg]
        load_mass_kg: l, luggage. [kg]

    Returns:
        M, mass together. [kg]

    Accuracy:
        As good as the scale.

    Source:
        arithmetic

    >>> total_mass_kg(75.0, 10.0, 5.0)
    90.0
    """
    return rider_mass_kg + bike_mass_kg + load_mass_kg


@valid(wheel_position=("front", "rear"))
def tyre_load_share_pct(wheel_position: Word) -> Pct:
    """Share of the total mass that one wheel carries.

    Rule:
        45 % on the front wheel and 55 % on the rear, as weighed in a recreational position.

    Args:
        wheel_position: which wheel it is. [word]

    Returns:
        share of the mass. [%]

    Accuracy:
        One author's weighings; upright riders and loaded carriers put 60 % and more on the rear wheel.

    Source:
        tyres-22

    >>> tyre_load_share_pct("rear")
    55.0
    """
    return _one("wheel_load_shares", f"share-{wheel_position}", "share_pct")


@valid(total_mass_kg=_MASS, tyre_load_share_pct=(20, 80, "no bicycle on two wheels is more lopsided"))
def tyre_load_kg(total_mass_kg: Kg, tyre_load_share_pct: Pct) -> Kg:
    """Mass that one tyre carries.

    Formula:
        L = M * s / 100

    Args:
        total_mass_kg: M, rider, bicycle and load. [kg]
        tyre_load_share_pct: s, share of this wheel. [%]

    Returns:
        L, mass on the tyre. [kg]

    Accuracy:
        About 5 kg, for want of a scale under the wheel.

    Source:
        arithmetic

    >>> round(float(tyre_load_kg(90.0, 55.0)), 1)
    49.5
    """
    return total_mass_kg * tyre_load_share_pct / 100


@valid(
    tyre_load_kg=(10, 150, "the fit is drawn for wheel loads of about 30 to 70 kg"),
    tyre_width_mm=(18, 105, "best from 20 to 40 mm; its author carries it on to 102 mm"),
)
def drop_pressure_kpa(tyre_load_kg: Kg, tyre_width_mm: Mm) -> Kpa:
    """Pressure at which the tyre flattens by 15 % of its height under its load.

    Formula:
        L = m / 0.45359237
        P = 120 * L / w**1.5
        p = P * 6.894757

    Args:
        tyre_load_kg: m, mass on this tyre. [kg]
        tyre_width_mm: w, true width of the tyre. [mm]

    Returns:
        p, pressure for 15 % drop. [kPa]

    Accuracy:
        A reader's fit to a measured chart for 622 mm wheels with widths of about 20 to 37 mm; some 10 %.
        Supple casings want a little more, tubeless tyres can take a little less.

    Caution:
        A starting point only: the limits printed on tyre and rim come before it, at both ends.

    Source:
        tyres-21, tyres-19

    >>> round(float(drop_pressure_kpa(45.359237, 28.0)))
    558
    """
    pounds = tyre_load_kg / POUND_KG
    psi = 120 * pounds / tyre_width_mm**1.5
    return psi * PSI_KPA


@valid(
    tyre_width_mm=_TABLE,
    rim_inner_width_mm=_RIM,
    measuring_rim_width_mm=_RIM,
)
def standing_width_mm(tyre_width_mm: Mm, rim_inner_width_mm: Mm, measuring_rim_width_mm: Mm) -> Mm:
    """Width at which the tyre stands on its rim, or its marked width where the rim is not known.

    Rule:
        Half a millimetre more for each millimetre that the rim is wider inside than the one on which such tyres
        are measured, and less for a narrower one; 8 mm stands for a rim that is not known.

    Args:
        tyre_width_mm: marked width of the tyre. [mm]
        rim_inner_width_mm: inside width of the rim; 8 mm stands for none known. [mm]
        measuring_rim_width_mm: inside width of the rim it was measured on. [mm]

    Returns:
        width to reckon with. [mm]

    Accuracy:
        Within 1 mm for road tyres; old designs were measured on narrower rims.

    Source:
        tyres-13, tyres-t3

    >>> float(standing_width_mm(28.0, 23.0, 19.0)), float(standing_width_mm(28.0, 8.0, 19.0))
    (30.0, 28.0)
    """
    standing = tyre_width_mm + 0.5 * (rim_inner_width_mm - measuring_rim_width_mm)
    return np.where(np.asarray(rim_inner_width_mm) <= _RIM[0], tyre_width_mm, standing)


@valid(
    drop_pressure_kpa=(20, 3000, "the fit's results for bicycle loads and widths"),
    tyre_system=("tube", "tubeless", "tubular"),
    ride_surface=("smooth", "rough", "off-road"),
)
def aimed_pressure_kpa(drop_pressure_kpa: Kpa, tyre_system: Word, ride_surface: Word) -> Kpa:
    """Pressure to try first: the 15 % rule, eased for tubeless tyres and for rough ground.

    Rule:
        The pressure of the 15 % rule, times the share in the table of starting shares. With tubes on smooth roads
        that is all of it; without a tube to pinch, and on rough ground, less.

    Args:
        drop_pressure_kpa: pressure for 15 % drop. [kPa]
        tyre_system: with a tube, tubeless or tubular. [word]
        ride_surface: what is ridden on. [word]

    Returns:
        pressure to try first, before any limit. [kPa]

    Accuracy:
        A habit of workshops and no measurement; some 10 % either way. Makers' sheets come before it.

    Caution:
        A starting point only: the limits printed on tyre and rim come before it, at both ends.

    Source:
        tyres-21, common-practice

    >>> float(aimed_pressure_kpa(700.0, "tubeless", "rough")), float(aimed_pressure_kpa(700.0, "tube", "smooth"))
    (560.0, 700.0)
    """
    return drop_pressure_kpa * _one("start_shares", f"start-{tyre_system}-{ride_surface}", "share_pct") / 100


@lru_cache(maxsize=1)
def _weight_grid() -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    cells = {
        (float(row["rider_mass_kg"]), float(row["tyre_width_mm"])): float(row["pressure_bar"])
        for row in rows("tyres/rider_weight_pressures")
    }
    masses = sorted({mass for mass, _ in cells})
    widths = sorted({width for _, width in cells})
    return (
        np.array(masses),
        np.array(widths),
        np.array([[cells[mass, width] for width in widths] for mass in masses]),
    )


@valid(
    rider_mass_kg=(50, 120, "the guide is printed for 60, 85 and 110 kg and carried on 10 kg either way"),
    tyre_width_mm=(23, 55, "the guide is printed for 23 to 55 mm"),
)
def rider_weight_pressure_kpa(rider_mass_kg: Kg, tyre_width_mm: Mm) -> Kpa:
    """Pressure that an older general guide gives for a rider's body weight and a tyre width.

    Rule:
        Straight lines between the printed values for 60, 85 and 110 kg and for 23 to 55 mm.

    Args:
        rider_mass_kg: body weight of the rider. [kg]
        tyre_width_mm: marked width of the tyre. [mm]

    Returns:
        pressure by the guide. [kPa]

    Accuracy:
        Older than hookless rims and firmer than the 15 % rule: an upper value. The second printing is a
        copy of the first.

    Caution:
        Several of its values lie above what a hookless rim allows; cut them to the lower limit.

    Source:
        tyres-23, tyres-25

    >>> float(rider_weight_pressure_kpa(85.0, 32.0))
    550.0
    """
    masses, widths, bars = _weight_grid()
    light, middle, heavy = (np.interp(tyre_width_mm, widths, row) for row in bars)
    below = light + (middle - light) * (rider_mass_kg - masses[0]) / (masses[1] - masses[0])
    above = middle + (heavy - middle) * (rider_mass_kg - masses[1]) / (masses[2] - masses[1])
    return 100 * np.where(np.asarray(rider_mass_kg) < masses[1], below, above)


@valid(
    tyre_max_pressure_kpa=_LIMIT,
    rim_max_pressure_kpa=_LIMIT,
    rim_type=("hooked-tubeless", "hookless", "not-tubeless", "tubular"),
)
def allowed_pressure_kpa(tyre_max_pressure_kpa: Kpa, rim_max_pressure_kpa: Kpa, rim_type: Word) -> Kpa:
    """Highest pressure allowed: the lower of tyre and rim, and never above 5 bar on a hookless rim.

    Rule:
        The lower of the tyre's printed limit and the rim's limit; on a hookless rim at most 500 kPa.

    Args:
        tyre_max_pressure_kpa: highest pressure printed on the tyre. [kPa]
        rim_max_pressure_kpa: highest pressure the rim's maker allows. [kPa]
        rim_type: kind of rim. [word]

    Returns:
        highest pressure allowed. [kPa]

    Accuracy:
        The printed limits are the makers' own; pump gauges read some 5 to 10 % off.

    Caution:
        A higher pressure can blow the tyre off or split the rim.

    Source:
        tyres-13, tyres-14, tyres-16, tyres-27

    >>> float(allowed_pressure_kpa(800.0, 700.0, "hookless"))
    500.0
    >>> float(allowed_pressure_kpa(800.0, 700.0, "hooked-tubeless"))
    700.0
    """
    lower = np.minimum(tyre_max_pressure_kpa, rim_max_pressure_kpa)
    if rim_type == "hookless":
        return np.minimum(lower, _one("pressure_limits", "ceiling-hookless", "pressure_kpa"))
    return lower


@valid(allowed_pressure_kpa=_LIMIT, tyre_pressure_kpa=_PRESSURE)
def pressure_margin_kpa(allowed_pressure_kpa: Kpa, tyre_pressure_kpa: Kpa) -> Kpa:
    """How far the ridden pressure lies under the highest allowed; negative where it is over.

    Formula:
        m = a - p

    Args:
        allowed_pressure_kpa: a, highest pressure allowed. [kPa]
        tyre_pressure_kpa: p, pressure in the tyre. [kPa]

    Returns:
        m, margin to the limit. [kPa]

    Accuracy:
        Pump gauges read some 5 to 10 % off.

    Source:
        arithmetic

    >>> pressure_margin_kpa(500.0, 550.0)
    -50.0
    """
    return allowed_pressure_kpa - tyre_pressure_kpa


@valid(
    allowed_pressure_kpa=_LIMIT,
    drop_pressure_kpa=(20, 3000, "the fit's results for bicycle loads and widths"),
)
def load_pressure_room_kpa(allowed_pressure_kpa: Kpa, drop_pressure_kpa: Kpa) -> Kpa:
    """Room between the pressure the load asks for and the highest allowed; negative: take a wider tyre.

    Formula:
        m = a - p

    Args:
        allowed_pressure_kpa: a, highest pressure allowed. [kPa]
        drop_pressure_kpa: p, pressure for 15 % drop. [kPa]

    Returns:
        m, room for the load. [kPa]

    Accuracy:
        As the 15 % rule, some 10 %.

    Source:
        arithmetic

    >>> load_pressure_room_kpa(500.0, 560.0)
    -60.0
    """
    return allowed_pressure_kpa - drop_pressure_kpa


@valid(
    drop_pressure_kpa=(20, 3000, "the fit's results for bicycle loads and widths"),
    hookless_ceiling_kpa=(300, 600, "5 bar on the road; some makers name less"),
)
def capped_pressure_kpa(drop_pressure_kpa: Kpa, hookless_ceiling_kpa: Kpa = 500.0) -> Kpa:
    """Pressure for the load, held to the ceiling of a hookless rim.

    Formula:
        q = min(p, c)

    Args:
        drop_pressure_kpa: p, pressure for 15 % drop. [kPa]
        hookless_ceiling_kpa: c, highest pressure on a hookless rim. [kPa]

    Returns:
        q, pressure to start from. [kPa]

    Accuracy:
        As the 15 % rule, some 10 %.

    Caution:
        The tyre's own limit, where it is lower, comes first.

    Source:
        tyres-14, tyres-16

    >>> float(capped_pressure_kpa(560.0))
    500.0
    """
    return np.minimum(drop_pressure_kpa, hookless_ceiling_kpa)


@valid(
    tyre_width_mm=_TYRE,
    discipline=("road", "track", "gravel", "mountain", "city", "cyclocross", "child"),
)
def least_pressure_kpa(tyre_width_mm: Mm, discipline: Word) -> Kpa:
    """Lowest pressure that the standard's older text recommends for a tyre with a tube.

    Rule:
        150 kPa off-road; otherwise 300 kPa up to a width of 25 mm and 200 kPa above.

    Args:
        tyre_width_mm: marked width of the tyre. [mm]
        discipline: kind of riding. [word]

    Returns:
        lowest recommended pressure. [kPa]

    Accuracy:
        An older wording; the minimum printed on the tyre comes first, tubeless tyres are ridden lower.

    Caution:
        Below the tyre's printed minimum it can squirm, bottom on the rim or come off.

    Source:
        tyres-2

    >>> float(least_pressure_kpa(25.0, "road")), float(least_pressure_kpa(54.0, "mountain"))
    (300.0, 150.0)
    """
    if discipline in ("mountain", "cyclocross", "gravel"):
        off_road = _one("pressure_limits", "least-off-road", "pressure_kpa")
        return np.full_like(np.asarray(tyre_width_mm, dtype=float), off_road)
    return np.where(
        np.asarray(tyre_width_mm) <= 25,
        _one("pressure_limits", "least-narrow", "pressure_kpa"),
        _one("pressure_limits", "least-road", "pressure_kpa"),
    )


@lru_cache(maxsize=1)
def _rim_limits() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    listed = sorted(
        (float(row["tyre_width_mm"]), float(row["pressure_psi"])) for row in rows("tyres/rim_pressure_limits")
    )
    return np.array([width for width, _ in listed]), np.array([psi for _, psi in listed])


@valid(tyre_width_mm=_TYRE)
def sample_rim_limit_kpa(tyre_width_mm: Mm) -> Kpa:
    """Highest pressure that one rim maker's list allows with a tyre of this width: a sample, no permission.

    Rule:
        Straight lines between the printed values, 138 psi at 20 mm down to 55 psi at 54 mm; beyond the
        list 138 psi for narrower tyres and equal casing tension for wider ones.

    Args:
        tyre_width_mm: marked width of the tyre. [mm]

    Returns:
        limit in the list. [kPa]

    Accuracy:
        One maker, rim and year not stated. It shows how a rim's limit falls as the tyre gets wider.

    Caution:
        Your own rim's limit stands on its label or in its maker's sheet and comes first.

    Source:
        tyres-t7

    >>> round(float(sample_rim_limit_kpa(28.0)))
    779
    """
    widths, psi = _rim_limits()
    beyond = np.minimum(widths[-1] / np.asarray(tyre_width_mm, dtype=float), 1)
    return np.interp(tyre_width_mm, widths, psi) * beyond * PSI_KPA


@valid(
    rim_max_pressure_kpa=_LIMIT,
    rim_limit_width_mm=_TYRE,
    tyre_width_mm=_TYRE,
)
def rim_limit_at_width_kpa(rim_max_pressure_kpa: Kpa, rim_limit_width_mm: Mm, tyre_width_mm: Mm) -> Kpa:
    """What a rim's pressure limit, given for one tyre width, comes to with a tyre of another width.

    Formula:
        p = q * u / max(u, w)

    Args:
        rim_max_pressure_kpa: q, limit given by the rim's maker. [kPa]
        rim_limit_width_mm: u, tyre width for which the maker gives it. [mm]
        tyre_width_mm: w, width of your tyre. [mm]

    Returns:
        p, limit with your tyre. [kPa]

    Accuracy:
        Equal casing tension; one maker's list from 23 to 54 mm follows it within 7 %. It never raises
        the maker's figure for a narrower tyre.

    Caution:
        The rim maker's own figure for your tyre width, where there is one, comes first.

    Source:
        tyres-29, tyres-30, tyres-t7

    >>> float(rim_limit_at_width_kpa(800.0, 25.0, 40.0))
    500.0
    """
    return rim_max_pressure_kpa * rim_limit_width_mm / np.maximum(rim_limit_width_mm, tyre_width_mm)


@valid(tyre_max_pressure_kpa=_LIMIT, test_factor=(1, 2, "law and standard ask 1.1"))
def retention_test_pressure_kpa(tyre_max_pressure_kpa: Kpa, test_factor: Pure = 1.1) -> Kpa:
    """Pressure at which law and standard test that the tyre stays on its rim.

    Formula:
        t = k * p

    Args:
        tyre_max_pressure_kpa: p, highest pressure printed. [kPa]
        test_factor: k, test pressure over printed pressure. [-]

    Returns:
        t, test pressure. [kPa]

    Accuracy:
        Exact as a rule; wheel makers themselves call the reserve thin.

    Caution:
        The reserve is for gauge error and warm weather; it is not there to be used.

    Source:
        tyres-28, tyres-17

    >>> round(float(retention_test_pressure_kpa(500.0)))
    550
    """
    return test_factor * tyre_max_pressure_kpa


@valid(tyre_pressure_kpa=_PRESSURE, tyre_width_mm=_TYRE, new_tyre_width_mm=_TYRE)
def equal_drop_pressure_kpa(tyre_pressure_kpa: Kpa, tyre_width_mm: Mm, new_tyre_width_mm: Mm) -> Kpa:
    """Pressure at which a tyre of another width flattens by the same share of its height.

    Formula:
        q = p * (w / v)**1.5

    Args:
        tyre_pressure_kpa: p, pressure in the present tyre. [kPa]
        tyre_width_mm: w, width of the present tyre. [mm]
        new_tyre_width_mm: v, width of the new tyre. [mm]

    Returns:
        q, pressure in the new tyre. [kPa]

    Accuracy:
        From the fit to the 15 % chart; some 10 % between 20 and 40 mm.

    Caution:
        The limits of the new tyre and of the rim come first.

    Source:
        tyres-21

    >>> round(float(equal_drop_pressure_kpa(700.0, 25.0, 32.0)))
    483
    """
    return tyre_pressure_kpa * (tyre_width_mm / new_tyre_width_mm) ** 1.5


@valid(tyre_load_kg=_WHEEL, tyre_load_limit_kg=(20, 300, "loads printed on bicycle tyres lie between"))
def tyre_load_margin_kg(tyre_load_kg: Kg, tyre_load_limit_kg: Kg) -> Kg:
    """How far the load on the tyre lies under the load printed on it; negative where it is over.

    Formula:
        m = q - L

    Args:
        tyre_load_kg: L, mass on the tyre. [kg]
        tyre_load_limit_kg: q, highest load printed on the tyre. [kg]

    Returns:
        m, margin to the printed load. [kg]

    Accuracy:
        As good as the share of the wheel, about 5 kg.

    Source:
        arithmetic

    >>> tyre_load_margin_kg(60.0, 75.0)
    15.0
    """
    return tyre_load_limit_kg - tyre_load_kg


# --- Forces --------------------------------------------------------------------------------------------


@valid(tyre_pressure_kpa=_PRESSURE, tyre_width_mm=_TYRE)
def casing_tension_n_mm(tyre_pressure_kpa: Kpa, tyre_width_mm: Mm) -> NMm:
    """Pull in each millimetre of the casing: pressure times radius.

    Formula:
        T = p / 1000 * w / 2

    Args:
        tyre_pressure_kpa: p, pressure in the tyre. [kPa]
        tyre_width_mm: w, width of the inflated tyre. [mm]

    Returns:
        T, casing tension. [N/mm]

    Accuracy:
        Thin-walled round section; a few per cent.

    Source:
        tyres-29, tyres-30, mechanics

    >>> casing_tension_n_mm(700.0, 25.0)
    8.75
    """
    return tyre_pressure_kpa / 1000 * tyre_width_mm / 2


@valid(tyre_pressure_kpa=_PRESSURE, tyre_width_mm=_TYRE, rim_inner_width_mm=_RIM)
def bead_side_force_n_mm(tyre_pressure_kpa: Kpa, tyre_width_mm: Mm, rim_inner_width_mm: Mm) -> NMm:
    """Sideways push of the casing on each millimetre of a rim wall.

    Formula:
        S = p / 1000 * sqrt(max(w**2 - a**2, 0)) / 2

    Args:
        tyre_pressure_kpa: p, pressure in the tyre. [kPa]
        tyre_width_mm: w, width of the inflated tyre. [mm]
        rim_inner_width_mm: a, inside width of the rim. [mm]

    Returns:
        S, sideways push of one bead. [N/mm]

    Accuracy:
        Round section standing on the rim opening; the air's own push on the wall comes on top.

    Source:
        mechanics, tyres-29

    >>> round(float(bead_side_force_n_mm(500.0, 50.0, 30.0)), 1)
    10.0
    """
    return tyre_pressure_kpa / 1000 * sqrt(np.maximum(tyre_width_mm**2 - rim_inner_width_mm**2, 0)) / 2


@valid(tyre_pressure_kpa=_PRESSURE, rim_inner_width_mm=_RIM, bead_seat_diameter_mm=_SEAT)
def bead_hoop_force_n(tyre_pressure_kpa: Kpa, rim_inner_width_mm: Mm, bead_seat_diameter_mm: Mm) -> N:
    """Pull in each bead wire with which it holds the tyre down on the rim.

    Formula:
        F = p / 1000 * a * B / 4

    Args:
        tyre_pressure_kpa: p, pressure in the tyre. [kPa]
        rim_inner_width_mm: a, inside width of the rim. [mm]
        bead_seat_diameter_mm: B, bead seat diameter. [mm]

    Returns:
        F, pull in one bead. [N]

    Accuracy:
        Pressure on the rim opening shared by two beads, friction and hooks left out: an upper value.

    Source:
        mechanics, tyres-31

    >>> round(float(bead_hoop_force_n(500.0, 20.0, 622.0)))
    1555
    """
    return tyre_pressure_kpa / 1000 * rim_inner_width_mm * bead_seat_diameter_mm / 4


@valid(
    casing_tension_n_mm=(0, 60, "bicycle tyres lie between"),
    cut_length_mm=(0, 200, "longer than this it is no cut but a torn tyre"),
)
def cut_load_n(casing_tension_n_mm: NMm, cut_length_mm: Mm) -> N:
    """Pull that the cut threads no longer carry and their neighbours, or the tube, must take.

    Formula:
        F = T * c

    Args:
        casing_tension_n_mm: T, casing tension. [N/mm]
        cut_length_mm: c, length of the cut through the casing. [mm]

    Returns:
        F, pull left without threads. [N]

    Accuracy:
        A measure of the harm, no strength: threads lie at an angle and layers differ.

    Caution:
        A casing cut through does not heal; patch, plug and sealant hold air, not threads.

    Source:
        mechanics

    >>> cut_load_n(8.75, 4.0)
    35.0
    """
    return casing_tension_n_mm * cut_length_mm


@valid(tyre_load_kg=_WHEEL, tyre_pressure_kpa=_PRESSURE)
def contact_patch_area_cm2(tyre_load_kg: Kg, tyre_pressure_kpa: Kpa) -> Cm2:
    """Area of road that the tyre stands on: load over pressure.

    Formula:
        A = 10 * m * g_n / p

    Args:
        tyre_load_kg: m, mass on the tyre. [kg]
        tyre_pressure_kpa: p, pressure in the tyre. [kPa]

    Returns:
        A, contact patch. [cm²]

    Accuracy:
        Casing stiffness carries some of the load, so the patch is a few per cent smaller.

    Source:
        mechanics, tyres-114

    >>> round(float(contact_patch_area_cm2(45.0, 690.0)), 2)
    6.4
    """
    return 10 * tyre_load_kg * GRAVITY / tyre_pressure_kpa


# --- Drop and pinch flats ------------------------------------------------------------------------------


@valid(
    tyre_pressure_kpa=_PRESSURE,
    drop_pressure_kpa=(20, 3000, "the fit's results for bicycle loads and widths"),
)
def tyre_drop_pct(tyre_pressure_kpa: Kpa, drop_pressure_kpa: Kpa) -> Pct:
    """Share of its height by which the tyre flattens at this pressure under its load.

    Formula:
        d = 15 * (q / p)**(2 / 3)

    Args:
        tyre_pressure_kpa: p, pressure in the tyre. [kPa]
        drop_pressure_kpa: q, pressure for 15 % drop. [kPa]

    Returns:
        d, drop as a share of the height. [%]

    Accuracy:
        Load grows as the drop to the power 1.5 and, as assumed here, in step with the pressure; for
        small drops, up to about 30 %.

    Source:
        tyres-32, tyres-21

    >>> round(float(tyre_drop_pct(400.0, 500.0)), 1)
    17.4
    """
    return 15 * (drop_pressure_kpa / tyre_pressure_kpa) ** (2 / 3)


@valid(
    tyre_section_height_mm=(15, 135, "tyre sections lie between"),
    tyre_drop_pct=(1, 400, "from a rock-hard tyre to one that is flat"),
    rim_wall_height_mm=(4, 9, "the flange stands 5 to 6 mm above the bead seat"),
)
def pinch_height_left_mm(tyre_section_height_mm: Mm, tyre_drop_pct: Pct, rim_wall_height_mm: Mm = 5.5) -> Mm:
    """Height of tyre left over the rim's edge under the standing load, before a bump takes it up.

    Formula:
        h = H * (1 - d / 100) - f

    Args:
        tyre_section_height_mm: H, height of the section. [mm]
        tyre_drop_pct: d, drop as a share of the height. [%]
        rim_wall_height_mm: f, height of the rim wall above the bead seat. [mm]

    Returns:
        h, height left over the rim's edge. [mm]

    Accuracy:
        A few millimetres; tread and tube take up 2 to 4 mm of it. For comparing set-ups.

    Source:
        geometry, tyres-12, tyres-92

    >>> round(float(pinch_height_left_mm(25.0, 15.0)), 2)
    15.75
    """
    return tyre_section_height_mm * (1 - tyre_drop_pct / 100) - rim_wall_height_mm


@valid(
    tyre_section_height_mm=(15, 135, "tyre sections lie between"),
    tyre_drop_pct=(1, 400, "from a rock-hard tyre to one that is flat"),
    rim_wall_height_mm=(4, 9, "the flange stands 5 to 6 mm above the bead seat"),
)
def bottoming_load_factor(
    tyre_section_height_mm: Mm, tyre_drop_pct: Pct, rim_wall_height_mm: Mm = 5.5
) -> Pure:
    """How many times the standing load a bump must bring before the casing bottoms on the rim.

    Formula:
        k = (100 * (H - f) / (H * d))**1.5

    Args:
        tyre_section_height_mm: H, height of the section. [mm]
        tyre_drop_pct: d, drop as a share of the height. [%]
        rim_wall_height_mm: f, height of the rim wall above the bead seat. [mm]

    Returns:
        k, load for bottoming over standing load. [-]

    Accuracy:
        The power law holds for small drops, so the number is for comparing two set-ups only; a sharp
        edge bottoms the tyre far sooner than a flat road does.

    Source:
        tyres-32, tyres-92

    >>> round(float(bottoming_load_factor(25.0, 15.0)), 1)
    11.9
    """
    free = 100 * (tyre_section_height_mm - rim_wall_height_mm)
    return (free / (tyre_section_height_mm * tyre_drop_pct)) ** 1.5


# --- Air, heat and height ------------------------------------------------------------------------------


@valid(
    tyre_pressure_kpa=_PRESSURE,
    pumped_temperature_degc=_AIR,
    temperature_degc=(-45, 120, "weather, a hot car, and a tyre on a hot rim"),
    air_pressure_kpa=_AMBIENT,
)
def pressure_at_temperature_kpa(
    tyre_pressure_kpa: Kpa,
    pumped_temperature_degc: DegC,
    temperature_degc: DegC,
    air_pressure_kpa: Kpa = SEA_LEVEL_KPA,
) -> Kpa:
    """Gauge pressure of a tyre pumped at one temperature when its air has another.

    Formula:
        q = (p + a) * (u + 273.15) / (t + 273.15) - a

    Args:
        tyre_pressure_kpa: p, gauge pressure when pumped. [kPa]
        pumped_temperature_degc: t, temperature when pumped. [°C]
        temperature_degc: u, temperature of the air in the tyre now. [°C]
        air_pressure_kpa: a, pressure of the air round about. [kPa]

    Returns:
        q, gauge pressure now. [kPa]

    Accuracy:
        Gas law at fixed volume, about 0.5 %; a tyre that stretches gains a little less.

    Source:
        gas-law, tyres-42

    >>> round(float(pressure_at_temperature_kpa(600.0, 20.0, 40.0)))
    648
    """
    return (tyre_pressure_kpa + air_pressure_kpa) * (temperature_degc + 273.15) / (
        pumped_temperature_degc + 273.15
    ) - air_pressure_kpa


@valid(altitude_m=_HEIGHT)
def ambient_pressure_kpa(altitude_m: M) -> Kpa:
    """Pressure of the air at a height above the sea, in the standard atmosphere.

    Formula:
        a = 101.325 * (1 - 2.25577e-5 * z)**5.25588

    Args:
        altitude_m: z, height above the sea. [m]

    Returns:
        a, pressure of the air. [kPa]

    Accuracy:
        Weather moves it by 3 % either way.

    Source:
        tyres-45, gas-law

    >>> round(float(ambient_pressure_kpa(3048.0)), 1)
    69.7
    """
    return SEA_LEVEL_KPA * (1 - 2.25577e-5 * altitude_m) ** 5.25588


@valid(
    tyre_pressure_kpa=_PRESSURE,
    pumped_altitude_m=_HEIGHT,
    altitude_m=_HEIGHT,
)
def pressure_at_altitude_kpa(tyre_pressure_kpa: Kpa, pumped_altitude_m: M, altitude_m: M) -> Kpa:
    """Gauge pressure of a tyre pumped at one height and taken to another, at equal temperature.

    Formula:
        a = 101.325 * (1 - 2.25577e-5 * y)**5.25588
        b = 101.325 * (1 - 2.25577e-5 * z)**5.25588
        q = p + a - b

    Args:
        tyre_pressure_kpa: p, gauge pressure when pumped. [kPa]
        pumped_altitude_m: y, height where it was pumped. [m]
        altitude_m: z, height where it is now. [m]

    Returns:
        q, gauge pressure now. [kPa]

    Accuracy:
        About 1 kPa in the standard atmosphere; the cold of the height lowers it again.

    Source:
        tyres-45, gas-law

    >>> round(float(pressure_at_altitude_kpa(600.0, 0.0, 2400.0)), 1)
    625.7
    """
    below = SEA_LEVEL_KPA * (1 - 2.25577e-5 * pumped_altitude_m) ** 5.25588
    above = SEA_LEVEL_KPA * (1 - 2.25577e-5 * altitude_m) ** 5.25588
    return tyre_pressure_kpa + below - above


@valid(tyre_width_mm=_TYRE, bead_seat_diameter_mm=_SEAT)
def tyre_volume_l(tyre_width_mm: Mm, bead_seat_diameter_mm: Mm) -> Litre:
    """Air space of the inflated tyre, as a ring of round section.

    Formula:
        V = pi**2 * (B + w) * w**2 / 4 / 1e6

    Args:
        tyre_width_mm: w, width of the inflated tyre, the diameter of the section. [mm]
        bead_seat_diameter_mm: B, bead seat diameter. [mm]

    Returns:
        V, volume of air. [l]

    Accuracy:
        About 10 %: walls and tread take from it, the rim's well adds to it.

    Source:
        geometry, tyres-39

    >>> round(float(tyre_volume_l(23.0, 622.0)), 2)
    0.84
    """
    return pi**2 * (bead_seat_diameter_mm + tyre_width_mm) * tyre_width_mm**2 / 4 / 1e6


@valid(
    cartridge_mass_g=(4, 100, "cartridges of 8 to 88 g are sold"),
    tyre_volume_l=(0.2, 30, "from a child's tyre to a fat one"),
    temperature_degc=(-45, 120, "weather and a little more"),
    air_left_kpa=(0, 102, "from a tyre pressed empty to one full of air at no pressure"),
)
def cartridge_pressure_kpa(
    cartridge_mass_g: G, tyre_volume_l: Litre, temperature_degc: DegC, air_left_kpa: Kpa = 0.0
) -> Kpa:
    """Gauge pressure that one gas cartridge gives a flat tyre.

    Formula:
        n = m / 44.01
        q = n * 8.314462618 * (t + 273.15) / V + e - 101.325

    Args:
        cartridge_mass_g: m, mass of carbon dioxide in the cartridge. [g]
        tyre_volume_l: V, volume of the tyre. [l]
        temperature_degc: t, temperature of the gas once it has warmed up. [°C]
        air_left_kpa: e, absolute pressure of the air still in the tyre. [kPa]

    Returns:
        q, gauge pressure. [kPa]

    Accuracy:
        Within about 80 kPa of a seller's chart for 16 g; the gas leaves ice-cold and gains as it warms.

    Caution:
        The head and cartridge freeze skin; and a cartridge can overfill a narrow tyre.

    Source:
        gas-law, tyres-39, tyres-40

    >>> round(float(cartridge_pressure_kpa(16.0, 0.998, 20.0)))
    787
    """
    moles = cartridge_mass_g / CARBON_DIOXIDE_G_MOL
    return moles * GAS_CONSTANT * (temperature_degc + 273.15) / tyre_volume_l + air_left_kpa - SEA_LEVEL_KPA


@valid(
    tyre_pressure_kpa=_PRESSURE,
    tyre_volume_l=(0.2, 30, "from a child's tyre to a fat one"),
    temperature_degc=(-45, 120, "weather and a little more"),
    air_left_kpa=(0, 102, "from a tyre pressed empty to one full of air at no pressure"),
)
def cartridge_needed_g(
    tyre_pressure_kpa: Kpa, tyre_volume_l: Litre, temperature_degc: DegC, air_left_kpa: Kpa = 0.0
) -> G:
    """Carbon dioxide that a flat tyre needs for a pressure.

    Formula:
        m = 44.01 * (p + 101.325 - e) * V / (8.314462618 * (t + 273.15))

    Args:
        tyre_pressure_kpa: p, gauge pressure wanted. [kPa]
        tyre_volume_l: V, volume of the tyre. [l]
        temperature_degc: t, temperature of the gas once it has warmed up. [°C]
        air_left_kpa: e, absolute pressure of the air still in the tyre. [kPa]

    Returns:
        m, mass of gas. [g]

    Accuracy:
        About 10 %, and some gas is always lost at the head.

    Source:
        gas-law, tyres-39

    >>> round(float(cartridge_needed_g(500.0, 1.28, 20.0)), 1)
    13.9
    """
    absolute = tyre_pressure_kpa + SEA_LEVEL_KPA - air_left_kpa
    return CARBON_DIOXIDE_G_MOL * absolute * tyre_volume_l / (GAS_CONSTANT * (temperature_degc + 273.15))


@valid(
    tyre_pressure_kpa=_PRESSURE,
    tyre_volume_l=(0.2, 30, "from a child's tyre to a fat one"),
    pump_stroke_ml=(8, 1500, "from the smallest pocket pump to a large floor pump"),
    air_pressure_kpa=_AMBIENT,
)
def pump_strokes(
    tyre_pressure_kpa: Kpa, tyre_volume_l: Litre, pump_stroke_ml: Ml, air_pressure_kpa: Kpa = SEA_LEVEL_KPA
) -> Strokes:
    """Full strokes of a pump that bring a tyre from no pressure to the pressure wanted.

    Formula:
        n = 1000 * p * V / (a * s)

    Args:
        tyre_pressure_kpa: p, gauge pressure wanted. [kPa]
        tyre_volume_l: V, volume of the tyre. [l]
        pump_stroke_ml: s, air that one full stroke takes in. [ml]
        air_pressure_kpa: a, pressure of the air round about. [kPa]

    Returns:
        n, full strokes. [strokes]

    Accuracy:
        No losses: real pumps need a fifth more, more still near their top pressure.

    Source:
        gas-law, tyres-t8

    >>> round(float(pump_strokes(700.0, 1.0, 78.54, 100.0)))
    89
    """
    return 1000 * tyre_pressure_kpa * tyre_volume_l / (air_pressure_kpa * pump_stroke_ml)


@valid(
    tyre_pressure_kpa=_PRESSURE,
    pump_bore_mm=(8, 60, "from a slim pocket pump to a wide floor pump"),
)
def pump_force_n(tyre_pressure_kpa: Kpa, pump_bore_mm: Mm) -> N:
    """Push on the pump's handle at the end of the stroke.

    Formula:
        F = p / 1000 * pi * d**2 / 4

    Args:
        tyre_pressure_kpa: p, gauge pressure in the tyre. [kPa]
        pump_bore_mm: d, inside diameter of the pump's barrel. [mm]

    Returns:
        F, push on the handle. [N]

    Accuracy:
        Friction of the piston comes on top.

    Source:
        mechanics

    >>> round(float(pump_force_n(700.0, 20.0)))
    220
    """
    return tyre_pressure_kpa / 1000 * pi * pump_bore_mm**2 / 4


# --- Leaks ---------------------------------------------------------------------------------------------


@valid(
    tyre_pressure_kpa=_PRESSURE,
    later_pressure_kpa=(0, 1600, "from flat to no loss"),
    leak_time_days=(0.01, 400, "from a quarter of an hour to a year"),
)
def leak_rate_kpa_day(tyre_pressure_kpa: Kpa, later_pressure_kpa: Kpa, leak_time_days: Days) -> KpaDay:
    """Mean loss of pressure a day, from two readings at the same temperature.

    Formula:
        r = (p - q) / t

    Args:
        tyre_pressure_kpa: p, pressure at first. [kPa]
        later_pressure_kpa: q, pressure later. [kPa]
        leak_time_days: t, time between the readings. [days]

    Returns:
        r, loss a day. [kPa/day]

    Accuracy:
        A gauge's own loss when it is put on, some 10 to 30 kPa, counts as leak; compare cold with cold.

    Source:
        arithmetic

    >>> leak_rate_kpa_day(600.0, 540.0, 10.0)
    6.0
    """
    return (tyre_pressure_kpa - later_pressure_kpa) / leak_time_days


@valid(tube_material=("butyl", "latex"))
def usual_leak_kpa_day(tube_material: Word) -> KpaDay:
    """Loss of pressure a day that is usual for a sound tube.

    Rule:
        About 1 bar a month through butyl; 0.3 bar in five hours through latex.

    Args:
        tube_material: what the tube is made of. [word]

    Returns:
        usual loss a day. [kPa/day]

    Accuracy:
        Butyl from a maker's text, more at high pressure; latex from one rider's measurement.

    Source:
        tyres-24, tyres-49

    >>> usual_leak_kpa_day("butyl")
    3.3
    """
    return _one("leak_rates", f"leak-{tube_material}", "leak_kpa_day")


@valid(
    leak_rate_kpa_day=(-100, 160000, "from a tyre that warmed up to one that is flat at once"),
    usual_leak_kpa_day=(0.1, 1000, "from butyl to latex"),
)
def leak_ratio(leak_rate_kpa_day: KpaDay, usual_leak_kpa_day: KpaDay) -> Pure:
    """How many times as fast as a sound tube of its kind the tyre loses pressure.

    Formula:
        k = r / u

    Args:
        leak_rate_kpa_day: r, loss a day. [kPa/day]
        usual_leak_kpa_day: u, loss of a sound tube. [kPa/day]

    Returns:
        k, loss over usual loss. [-]

    Accuracy:
        The usual loss is good to half its value, so only several times as much means a fault.

    Source:
        arithmetic

    >>> round(float(leak_ratio(20.0, 3.3)), 1)
    6.1
    """
    return leak_rate_kpa_day / usual_leak_kpa_day


@valid(
    tyre_pressure_kpa=_PRESSURE,
    floor_pressure_kpa=(10, 1500, "the lowest pressure you would ride"),
    usual_leak_kpa_day=(0.1, 1000, "from butyl to latex"),
)
def days_to_floor_days(tyre_pressure_kpa: Kpa, floor_pressure_kpa: Kpa, usual_leak_kpa_day: KpaDay) -> Days:
    """Time until a leaking tyre has fallen to the lowest pressure you would ride.

    Formula:
        t = max(p - f, 0) / r

    Args:
        tyre_pressure_kpa: p, pressure now. [kPa]
        floor_pressure_kpa: f, lowest pressure you would ride. [kPa]
        usual_leak_kpa_day: r, loss a day. [kPa/day]

    Returns:
        t, time until the floor is reached. [days]

    Accuracy:
        A straight line; the loss slows as the pressure falls, so the true time is a little longer.

    Source:
        arithmetic

    >>> round(float(days_to_floor_days(600.0, 500.0, 3.3)), 1)
    30.3
    """
    return np.maximum(tyre_pressure_kpa - floor_pressure_kpa, 0) / usual_leak_kpa_day


# --- Rolling -------------------------------------------------------------------------------------------


@valid(road_surface=("wooden track", "concrete", "asphalt", "rough paved road"))
def rolling_coefficient(road_surface: Word) -> Pure:
    """Coefficient of rolling resistance of a bicycle tyre on a surface.

    Rule:
        A handbook's table: wooden track 0.001, concrete 0.002, asphalt 0.004, rough paved road 0.008.

    Args:
        road_surface: what you ride on. [word]

    Returns:
        coefficient of rolling resistance. [-]

    Accuracy:
        Pressure and temperature each change it by a factor of two to three in the usable range.

    Source:
        tyres-109, tyres-111

    >>> rolling_coefficient("asphalt")
    0.004
    """
    found = [
        float(row["rolling_coefficient"])
        for row in rows("tyres/rolling_coefficients")
        if row["road_surface"] == road_surface
    ]
    return found[0]


@valid(
    rolling_coefficient=(0.0005, 0.05, "from a track tyre on wood to soft ground"),
    total_mass_kg=_MASS,
    speed_kmh=(1, 130, "walking pace to a fast descent"),
)
def rolling_loss_w(rolling_coefficient: Pure, total_mass_kg: Kg, speed_kmh: Kmh) -> W:
    """Power that both tyres take on the level.

    Formula:
        P = c * M * g_n * v / 3.6

    Args:
        rolling_coefficient: c, coefficient of rolling resistance. [-]
        total_mass_kg: M, rider, bicycle and load. [kg]
        speed_kmh: v, speed. [km/h]

    Returns:
        P, power taken by the tyres. [W]

    Accuracy:
        As good as the coefficient.

    Source:
        tyres-109, tyres-113

    >>> round(float(rolling_loss_w(0.004, 85.0, 30.0)), 1)
    27.8
    """
    return rolling_coefficient * total_mass_kg * GRAVITY * speed_kmh / 3.6


@valid(
    total_mass_kg=_MASS,
    speed_kmh=(1, 130, "walking pace to a fast descent"),
    latex_coefficient_gain=(0, 0.002, "one roller test gave 0.00038"),
)
def latex_saving_w(total_mass_kg: Kg, speed_kmh: Kmh, latex_coefficient_gain: Pure = 0.00038) -> W:
    """Power that latex tubes save against butyl ones, both wheels.

    Formula:
        P = k * M * g_n * v / 3.6

    Args:
        total_mass_kg: M, rider, bicycle and load. [kg]
        speed_kmh: v, speed. [km/h]
        latex_coefficient_gain: k, coefficient saved. [-]

    Returns:
        P, power saved. [W]

    Accuracy:
        One set of roller tests with road tyres; less in thick tyres.

    Source:
        tyres-110

    >>> round(float(latex_saving_w(85.0, 35.0)), 1)
    3.1
    """
    return latex_coefficient_gain * total_mass_kg * GRAVITY * speed_kmh / 3.6


@valid(
    rolling_loss_w=(0, 2000, "results for bicycles"),
    rolling_change_pct=(-80, 200, "published changes lie between"),
)
def rolling_difference_w(rolling_loss_w: W, rolling_change_pct: Pct) -> W:
    """Power gained or lost when the rolling resistance changes by a share.

    Formula:
        D = P * c / 100

    Args:
        rolling_loss_w: P, power taken by the tyres. [W]
        rolling_change_pct: c, change of the rolling resistance. [%]

    Returns:
        D, change of power, negative where power is saved. [W]

    Accuracy:
        As good as the two inputs.

    Source:
        arithmetic

    >>> rolling_difference_w(30.0, -10.0)
    -3.0
    """
    return rolling_loss_w * rolling_change_pct / 100


# --- Tubes, valves and sealant -------------------------------------------------------------------------


@valid(
    tyre_width_mm=_TYRE,
    tube_narrowest_width_mm=_TYRE,
    tube_widest_width_mm=_TYRE,
)
def tube_width_margin_mm(tyre_width_mm: Mm, tube_narrowest_width_mm: Mm, tube_widest_width_mm: Mm) -> Mm:
    """How far inside the range printed on the tube the tyre's width lies; negative where outside.

    Formula:
        m = min(w - n, x - w)

    Args:
        tyre_width_mm: w, marked width of the tyre. [mm]
        tube_narrowest_width_mm: n, narrowest tyre printed on the tube. [mm]
        tube_widest_width_mm: x, widest tyre printed on the tube. [mm]

    Returns:
        m, margin to the nearer end of the tube's range. [mm]

    Accuracy:
        Tubes stretch; one or two millimetres over the range get a rider home.

    Source:
        common-practice

    >>> float(tube_width_margin_mm(32.0, 25.0, 32.0))
    0.0
    """
    return np.minimum(tyre_width_mm - tube_narrowest_width_mm, tube_widest_width_mm - tyre_width_mm)


@valid(
    valve_length_mm=(20, 140, "valves are sold between"),
    rim_depth_mm=(8, 110, "from a flat rim to a disc-like one"),
    valve_showing_mm=(8, 40, "pump heads grip 10 to 20 mm"),
)
def valve_length_margin_mm(valve_length_mm: Mm, rim_depth_mm: Mm, valve_showing_mm: Mm = 15.0) -> Mm:
    """Valve to spare over what a pump head needs; negative where the valve is too short.

    Formula:
        m = v - d - s

    Args:
        valve_length_mm: v, length of the valve. [mm]
        rim_depth_mm: d, depth of the rim from tyre bed to valve hole. [mm]
        valve_showing_mm: s, length that a pump head needs. [mm]

    Returns:
        m, valve to spare. [mm]

    Accuracy:
        Pump heads differ by 5 mm.

    Source:
        common-practice

    >>> valve_length_margin_mm(48.0, 30.0)
    3.0
    """
    return valve_length_mm - rim_depth_mm - valve_showing_mm


def _sealant(column: str, pick: Any, tyre_width_mm: Any) -> Any:
    width = np.asarray(tyre_width_mm, dtype=float)
    amounts: dict[float, list[float]] = {}
    for row in rows("tyres/sealant_amounts"):
        amounts.setdefault(float(row["tyre_width_from_mm"]), []).append(float(row[column]))
    starts = sorted(amounts)
    values = np.array([pick(amounts[start]) for start in starts])
    return values[np.searchsorted(np.array(starts), width, side="right") - 1]


_SEALED = (23, 70, "the guides speak of tyres from 23 mm to wide mountain tyres")


@valid(tyre_width_mm=_SEALED)
def sealant_least_ml(tyre_width_mm: Mm) -> Ml:
    """Least sealant that published guides put into a tyre of this width.

    Rule:
        The lowest amount of the guides for the tyre's width: road to 32 mm, gravel to 50 mm, then mountain.

    Args:
        tyre_width_mm: marked width of the tyre. [mm]

    Returns:
        least sealant a tyre. [ml]

    Accuracy:
        The guides disagree by a factor of two; the bottle's own figure comes first.

    Source:
        tyres-84a, tyres-84b, tyres-84c

    >>> float(sealant_least_ml(28.0)), float(sealant_least_ml(40.0))
    (30.0, 60.0)
    """
    return _sealant("least_ml", min, tyre_width_mm)


@valid(tyre_width_mm=_SEALED)
def sealant_most_ml(tyre_width_mm: Mm) -> Ml:
    """Most sealant that published guides put into a tyre of this width.

    Rule:
        The highest amount of the guides for the tyre's width: road to 32 mm, gravel to 50 mm, then mountain.

    Args:
        tyre_width_mm: marked width of the tyre. [mm]

    Returns:
        most sealant a tyre. [ml]

    Accuracy:
        The guides disagree by a factor of two; the bottle's own figure comes first.

    Source:
        tyres-84a, tyres-84b, tyres-84c

    >>> float(sealant_most_ml(28.0)), float(sealant_most_ml(40.0))
    (80.0, 120.0)
    """
    return _sealant("most_ml", max, tyre_width_mm)


# --- Tubulars ------------------------------------------------------------------------------------------


@valid(discipline=("road", "track", "cyclocross"))
def tubular_least_pressure_kpa(discipline: Word) -> Kpa:
    """Lower end of the pressures that riders of tubulars use in a discipline.

    Rule:
        Published practice: road 100 psi, track 160 psi, cyclocross 25 psi.

    Args:
        discipline: kind of riding. [word]

    Returns:
        lower end of the usual pressure. [kPa]

    Accuracy:
        Historic practice with narrow tyres; the road figure is common practice without a printed source.

    Source:
        tyres-56, tyres-63, common-practice

    >>> round(tubular_least_pressure_kpa("cyclocross"))
    172
    """
    return _one("tubular_pressures", _tubular(discipline, "least"), "pressure_psi") * PSI_KPA


@valid(discipline=("road", "track", "cyclocross"))
def tubular_most_pressure_kpa(discipline: Word) -> Kpa:
    """Upper end of the pressures that riders of tubulars use in a discipline.

    Rule:
        Published practice: road 125 psi, track 180 psi, cyclocross 28 psi.

    Args:
        discipline: kind of riding. [word]

    Returns:
        upper end of the usual pressure. [kPa]

    Accuracy:
        Historic practice with narrow tyres; the limit printed on the tyre comes first.

    Caution:
        Never above the limit printed on the tubular or given for the rim.

    Source:
        tyres-56, tyres-61, tyres-63

    >>> round(tubular_most_pressure_kpa("road"))
    862
    """
    return _one("tubular_pressures", _tubular(discipline, "most"), "pressure_psi") * PSI_KPA


def _tubular(discipline: str, bound: str) -> str:
    return f"tubular-{'cross' if discipline == 'cyclocross' else discipline}-{bound}"


@valid(
    tyre_pressure_kpa=_PRESSURE,
    tubular_least_pressure_kpa=(100, 1300, "published practice lies between"),
    tubular_most_pressure_kpa=(100, 1300, "published practice lies between"),
)
def tubular_pressure_margin_kpa(
    tyre_pressure_kpa: Kpa, tubular_least_pressure_kpa: Kpa, tubular_most_pressure_kpa: Kpa
) -> Kpa:
    """How far inside the usual pressures of its discipline a tubular is ridden; negative where outside.

    Formula:
        m = min(p - n, x - p)

    Args:
        tyre_pressure_kpa: p, pressure in the tubular. [kPa]
        tubular_least_pressure_kpa: n, lower end of the usual pressure. [kPa]
        tubular_most_pressure_kpa: x, upper end of the usual pressure. [kPa]

    Returns:
        m, margin to the nearer end. [kPa]

    Accuracy:
        The ends are practice, not limits.

    Source:
        arithmetic

    >>> float(tubular_pressure_margin_kpa(800.0, 690.0, 862.0))
    62.0
    """
    return np.minimum(
        tyre_pressure_kpa - tubular_least_pressure_kpa, tubular_most_pressure_kpa - tyre_pressure_kpa
    )


def _one(table: str, identity: str, column: str) -> float:
    """The figure in one row of a table of this topic."""
    for row in rows(f"tyres/{table}"):
        if row["id"] == identity:
            return float(row[column])
    raise KeyError(f"tyres/{table}: no row {identity}")


@valid(
    drop_pressure_kpa=(20, 2000, "tyres of bicycles lie between"),
    tyre_max_pressure_kpa=(100, 1600, "limits printed on tyres lie between"),
    rim_type=("hooked-tubeless", "hookless", "not-tubeless", "tubular"),
    rim_max_pressure_kpa=(100, 1600, "limits stated for rims lie between"),
)
def held_pressure_kpa(
    drop_pressure_kpa: Kpa, tyre_max_pressure_kpa: Kpa, rim_type: Word, rim_max_pressure_kpa: Kpa = 1600.0
) -> Kpa:
    """Pressure to start from, never above the limits of tyre and rim nor above 5 bar on a hookless rim.

    Rule:
        The lowest of the pressure asked for, the tyre's printed limit, the rim's and, on a hookless rim, 500 kPa.

    Args:
        drop_pressure_kpa: pressure that the load asks for. [kPa]
        tyre_max_pressure_kpa: highest pressure printed on the tyre. [kPa]
        rim_type: kind of rim. [word]
        rim_max_pressure_kpa: highest pressure that the rim's maker states. [kPa]

    Returns:
        pressure to start from. [kPa]

    Accuracy:
        The printed limits are the makers' own; pump gauges read some 5 to 10 % off.

    Caution:
        Where a limit is not known it does not count here; read it before pumping.

    Source:
        tyres-13, tyres-14

    >>> float(held_pressure_kpa(800.0, 690.0, "not-tubeless")), float(held_pressure_kpa(800.0, 690.0, "hookless"))
    (690.0, 500.0)
    """
    ceiling = 500.0 if rim_type == "hookless" else np.inf
    limits = np.minimum(np.minimum(tyre_max_pressure_kpa, rim_max_pressure_kpa), ceiling)
    return np.minimum(drop_pressure_kpa, limits)
