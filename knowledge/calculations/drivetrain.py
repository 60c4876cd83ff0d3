"""Chain, sprockets, shifting and gearing: millimetres, teeth and links throughout."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy import abs as absolute
from numpy import arcsin, arctan, ceil, cos, degrees, exp, pi, radians, sin, tan

from knowledge.calculation import valid
from knowledge.tables import rows
from knowledge.units import (
    NM,
    Deg,
    Inch,
    Kg,
    Km,
    Kmh,
    Links,
    M,
    Mm,
    N,
    Pct,
    Pure,
    Rpm,
    Speeds,
    Teeth,
    W,
    Word,
)

CHAIN_PITCH_MM = 12.7
STANDARD_GRAVITY_M_S2 = 9.80665
_ANY_RING = 32

_TEETH = (5, 200, "a chain does not wrap fewer than five teeth")
_RING = (10, 130, "chainrings from small children's bicycles to record machines")
_SPROCKET = (7, 64, "rear sprockets that a derailleur or hub carries")
_SPEEDS = (1, 14, "no cassette has more than fourteen sprockets")
_CLICKED = (2, 14, "an indexed lever has at least one click, and no cassette more than fourteen sprockets")
_PULL = (0.5, 8, "no indexed lever pulls less or more cable a click")
_ACTUATION = (0.5, 3, "published derailleurs lie between about 1 and 2")
_PITCH = (2.5, 7, "from thirteen sprockets to the widest old blocks")
_THICKNESS = (1, 5, "from thin cassette sprockets to cargo chain sprockets")
_STAY = (250, 800, "from children's bicycles to long cargo bicycles")
_CHAINLINE = (30, 75, "from narrow track cranks to fat bicycles")
_CAPACITY = (10, 70, "rated capacities lie well inside")
_WHEEL = (200, 800, "from the smallest folding wheels to the largest tyres")
_CIRCUMFERENCE = (600, 2600, "from the smallest folding wheels to the largest tyres")
_RATIO = (0.2, 12, "from crawling gears to records behind a pacing car")
_CRANK = (80, 250, "children's arms start near 90 mm, trial arms have gone to 220 mm")


# ---- sprockets and what stands between them ---------------------------------------------------------


@valid(teeth=_TEETH, chain_pitch_mm=(6, 60, "bicycle and roller chains lie between"))
def sprocket_pitch_diameter_mm(teeth: Teeth, chain_pitch_mm: Mm = CHAIN_PITCH_MM) -> Mm:
    """Diameter of the circle on which the rollers of a seated chain lie.

    Formula:
        d = p / sin(pi / z)

    Args:
        teeth: z, teeth on the sprocket or chainring. [teeth]
        chain_pitch_mm: p, distance between roller centres. [mm]

    Returns:
        d, pitch diameter. [mm]

    Accuracy:
        Exact for a new chain; one that is 0.5 % longer rides 0.5 % further out.

    Source:
        geometry

    >>> round(float(sprocket_pitch_diameter_mm(11)), 2)
    45.08
    """
    return chain_pitch_mm / sin(pi / teeth)


@valid(
    measured_stack_width_mm=(3, 90, "from two sprockets to fourteen of the widest"),
    sprocket_thickness_mm=_THICKNESS,
    speeds=_CLICKED,
)
def sprocket_pitch_mm(measured_stack_width_mm: Mm, sprocket_thickness_mm: Mm, speeds: Speeds) -> Mm:
    """Distance from the middle of one sprocket to the middle of the next, from the width of the stack.

    Formula:
        p = (w - t) / (n - 1)

    Args:
        measured_stack_width_mm: w, outer face of the smallest sprocket to inner face of the largest. [mm]
        sprocket_thickness_mm: t, thickness of one sprocket. [mm]
        speeds: n, sprockets in the stack. [speeds]

    Returns:
        p, sprocket pitch. [mm]

    Accuracy:
        A calliper gives the stack to 0.1 mm, so the pitch to about 0.01 mm. Assumes equal spacers.

    Source:
        drivetrain-1, geometry

    >>> round(float(sprocket_pitch_mm(36.5, 1.78, 9)), 2)
    4.34
    """
    return (measured_stack_width_mm - sprocket_thickness_mm) / (speeds - 1)


@valid(sprocket_pitch_mm=_PITCH, sprocket_thickness_mm=_THICKNESS, speeds=_SPEEDS)
def cassette_stack_width_mm(sprocket_pitch_mm: Mm, sprocket_thickness_mm: Mm, speeds: Speeds) -> Mm:
    """Width of a stack of sprockets, from the outer face of the smallest to the inner face of the largest.

    Formula:
        w = (n - 1) * p + t

    Args:
        sprocket_pitch_mm: p, middle of one sprocket to the middle of the next. [mm]
        sprocket_thickness_mm: t, thickness of one sprocket. [mm]
        speeds: n, sprockets in the stack. [speeds]

    Returns:
        w, stack width. [mm]

    Accuracy:
        Within 0.1 mm of the printed tables, which round.

    Source:
        drivetrain-1, drivetrain-3

    >>> round(float(cassette_stack_width_mm(4.8, 1.8, 8)), 2)
    35.4
    """
    return (speeds - 1) * sprocket_pitch_mm + sprocket_thickness_mm


@valid(speeds=(5, 12, "spacings in the table run from five sprockets to twelve"))
def usual_sprocket_pitch_mm(speeds: Speeds) -> Mm:
    """Sprocket pitch that the two commonest makers share, by the number of sprockets.

    Rule:
        The row of the table of sprocket pitches for that number of sprockets with the common spacing.

    Args:
        speeds: sprockets on the cassette, taken to the nearest whole number. [speeds]

    Returns:
        usual sprocket pitch. [mm]

    Accuracy:
        Printed to 0.05 mm; the third maker's cassettes are up to 0.2 mm wider at each sprocket.

    Source:
        drivetrain-3, drivetrain-5, drivetrain-7, drivetrain-9

    >>> float(usual_sprocket_pitch_mm(10))
    3.95
    """
    whole = np.round(np.asarray(speeds, dtype=float))
    found = np.zeros_like(whole)
    for row in rows("drivetrain/sprocket_pitches"):
        if row["cassette_spacing"] == "common":
            found = np.where(whole == row["speeds"], row["sprocket_pitch_mm"], found)
    return found[()]


# ---- indexed shifting -----------------------------------------------------------------------------------


@valid(cable_pull_mm=_PULL, actuation_ratio=_ACTUATION)
def travel_per_click_mm(cable_pull_mm: Mm, actuation_ratio: Pure) -> Mm:
    """Sideways travel of the guide pulley for one click of the lever.

    Formula:
        t = p * r

    Args:
        cable_pull_mm: p, cable that one click takes up. [mm]
        actuation_ratio: r, sideways travel for each millimetre of cable. [-]

    Returns:
        t, travel per click. [mm]

    Accuracy:
        The ratio is a mean over the derailleur's travel; the printed figures carry two digits.

    Source:
        drivetrain-20, drivetrain-21

    >>> round(float(travel_per_click_mm(2.8, 1.4)), 2)
    3.92
    """
    return cable_pull_mm * actuation_ratio


@valid(
    travel_per_click_mm=(0.25, 24, "the pull and the ratio of any indexed part lie between"),
    sprocket_pitch_mm=_PITCH,
)
def indexing_error_mm(travel_per_click_mm: Mm, sprocket_pitch_mm: Mm) -> Mm:
    """How far each click carries the pulley past the next sprocket (positive) or short of it (negative).

    Formula:
        e = t - s

    Args:
        travel_per_click_mm: t, sideways travel of the pulley for one click. [mm]
        sprocket_pitch_mm: s, middle of one sprocket to the middle of the next. [mm]

    Returns:
        e, error of each click. [mm]

    Accuracy:
        Printed pulls and ratios are rounded: matched sets of one maker come out up to 0.13 mm off on paper.

    Source:
        drivetrain-20, drivetrain-21, drivetrain-27

    >>> round(float(indexing_error_mm(3.91, 3.95)), 2)
    -0.04
    """
    return travel_per_click_mm - sprocket_pitch_mm


@valid(indexing_error_mm=(-8, 24, "beyond it the parts are not a bicycle's"), speeds=_CLICKED)
def accumulated_indexing_error_mm(indexing_error_mm: Mm, speeds: Speeds) -> Mm:
    """How far off the pulley is at the last sprocket, if it is set right at the first.

    Formula:
        a = e * (n - 1)

    Args:
        indexing_error_mm: e, error of each click. [mm]
        speeds: n, sprockets on the cassette; one click fewer. [speeds]

    Returns:
        a, error after all clicks. [mm]

    Accuracy:
        Takes every click alike; real ratios change a little over the travel.

    Source:
        drivetrain-20, drivetrain-9

    >>> round(float(accumulated_indexing_error_mm(-1.19, 10)), 1)
    -10.7
    """
    return indexing_error_mm * (speeds - 1)


@valid(accumulated_indexing_error_mm=(-110, 320, "error of a click times thirteen clicks"))
def worst_indexing_error_mm(accumulated_indexing_error_mm: Mm) -> Mm:
    """How far off the pulley is at the two ends, if it is set right in the middle of the cassette.

    Formula:
        w = abs(a) / 2

    Args:
        accumulated_indexing_error_mm: a, error after all clicks. [mm]

    Returns:
        w, error at either end. [mm]

    Accuracy:
        As good as the error of one click.

    Source:
        geometry

    >>> round(float(worst_indexing_error_mm(-0.72)), 2)
    0.36
    """
    return absolute(accumulated_indexing_error_mm) / 2


@valid(sprocket_pitch_mm=_PITCH, cable_pull_mm=_PULL)
def fitting_actuation_ratio(sprocket_pitch_mm: Mm, cable_pull_mm: Mm) -> Pure:
    """Actuation ratio of the derailleur that would suit this lever and this cassette.

    Formula:
        r = s / p

    Args:
        sprocket_pitch_mm: s, middle of one sprocket to the middle of the next. [mm]
        cable_pull_mm: p, cable that one click takes up. [mm]

    Returns:
        r, fitting actuation ratio. [-]

    Accuracy:
        Derailleurs are sold by rounded ratios: take the nearest and work the error out.

    Source:
        drivetrain-20

    >>> round(float(fitting_actuation_ratio(3.95, 2.3)), 2)
    1.72
    """
    return sprocket_pitch_mm / cable_pull_mm


@valid(sprocket_pitch_mm=_PITCH, actuation_ratio=_ACTUATION)
def fitting_cable_pull_mm(sprocket_pitch_mm: Mm, actuation_ratio: Pure) -> Mm:
    """Cable that a lever has to take up at each click for this derailleur and this cassette.

    Formula:
        p = s / r

    Args:
        sprocket_pitch_mm: s, middle of one sprocket to the middle of the next. [mm]
        actuation_ratio: r, sideways travel for each millimetre of cable. [-]

    Returns:
        p, fitting pull. [mm]

    Accuracy:
        The ratio is rounded to two digits, so the pull is good to about 0.1 mm.

    Source:
        drivetrain-20

    >>> round(float(fitting_cable_pull_mm(3.95, 1.7)), 2)
    2.32
    """
    return sprocket_pitch_mm / actuation_ratio


@valid(cable_pull_mm=_PULL, shifter_speeds=_CLICKED)
def total_cable_pull_mm(cable_pull_mm: Mm, shifter_speeds: Speeds) -> Mm:
    """Cable that the lever takes up over all its clicks.

    Formula:
        P = p * (n - 1)

    Args:
        cable_pull_mm: p, cable that one click takes up. [mm]
        shifter_speeds: n, sprockets the lever is made for; one click fewer. [speeds]

    Returns:
        P, cable over all clicks. [mm]

    Accuracy:
        Levers with unequal clicks need their clicks added one by one.

    Source:
        drivetrain-22

    >>> round(float(total_cable_pull_mm(2.3, 10)), 1)
    20.7
    """
    return cable_pull_mm * (shifter_speeds - 1)


@valid(
    cable_pull_mm=_PULL,
    sprocket_pitch_mm=_PITCH,
    own_cable_pull_mm=_PULL,
    own_sprocket_pitch_mm=_PITCH,
)
def cable_arm_factor(
    cable_pull_mm: Mm, sprocket_pitch_mm: Mm, own_cable_pull_mm: Mm, own_sprocket_pitch_mm: Mm
) -> Pure:
    """How many times longer the derailleur's cable arm must be to suit another lever and cassette.

    Formula:
        f = (p / p_0) * (s_0 / s)

    Args:
        cable_pull_mm: p, pull of the lever that is to work it. [mm]
        sprocket_pitch_mm: s, pitch of the cassette that is to go with it. [mm]
        own_cable_pull_mm: p_0, pull that the derailleur was made for. [mm]
        own_sprocket_pitch_mm: s_0, sprocket pitch that the derailleur was made for. [mm]

    Returns:
        f, factor on the arm's length. [-]

    Accuracy:
        Moving the cable's clamp point changes the pull by 5 to 7 % at most.

    Source:
        drivetrain-8, drivetrain-37

    >>> round(float(cable_arm_factor(3.6, 3.9, 3.4, 3.95)), 3)
    1.072
    """
    return (cable_pull_mm / own_cable_pull_mm) * (own_sprocket_pitch_mm / sprocket_pitch_mm)


@valid(
    cable_arm_length_mm=(10, 60, "from the pivot to the clamp bolt of any derailleur"),
    cable_arm_factor=(0.2, 5, "far beyond what a clamp can be moved"),
)
def cable_arm_added_mm(cable_arm_length_mm: Mm, cable_arm_factor: Pure) -> Mm:
    """How far the cable's clamp point has to move outward on the derailleur's arm.

    Formula:
        d = l * (f - 1)

    Args:
        cable_arm_length_mm: l, pivot to the line of the cable at the clamp bolt. [mm]
        cable_arm_factor: f, how many times longer the arm must be. [-]

    Returns:
        d, length to add, negative to take off. [mm]

    Accuracy:
        The arm's length can be measured to about 0.5 mm, the addition to a tenth of that.

    Source:
        drivetrain-8

    >>> round(float(cable_arm_added_mm(31.0, 1.0724)), 1)
    2.2
    """
    return cable_arm_length_mm * (cable_arm_factor - 1)


# ---- cable, hanger and pulley ---------------------------------------------------------------------------


@valid(
    total_bend_deg=(0, 1080, "three full turns, more than any frame needs"),
    friction_coefficient=(0, 0.6, "from no friction to steel on rusty steel"),
)
def housing_friction_ratio(total_bend_deg: Deg, friction_coefficient: Pure = 0.06) -> Pure:
    """How many times the pull at the lever exceeds the pull that arrives at the derailleur.

    Formula:
        k = exp(mu * radians(b))

    Args:
        total_bend_deg: b, all bends of the housing added up. [°]
        friction_coefficient: mu, 0.06 for clean lined gear housing. [-]

    Returns:
        k, pull at the lever over pull at the derailleur. [-]

    Accuracy:
        Neither the radius nor the length counts, only the bends; rust or a kink is outside the formula.

    Source:
        drivetrain-140, mechanics

    >>> round(float(housing_friction_ratio(180.0)), 3)
    1.207
    """
    return exp(friction_coefficient * radians(total_bend_deg))


@valid(housing_friction_ratio=(1, 1e6, "friction never helps"))
def cable_pull_lost_pct(housing_friction_ratio: Pure) -> Pct:
    """Share of the pull at the lever that the housing eats.

    Formula:
        l = (1 - 1 / k) * 100

    Args:
        housing_friction_ratio: k, pull at the lever over pull at the derailleur. [-]

    Returns:
        l, pull lost on the way. [%]

    Accuracy:
        As good as the friction coefficient; a dry or rusty cable can double it.

    Source:
        drivetrain-140

    >>> round(float(cable_pull_lost_pct(1.207)), 1)
    17.1
    """
    return (1 - 1 / housing_friction_ratio) * 100


@valid(
    rim_deviation_mm=(0, 150, "a hanger bent further is past straightening"),
    gauge_diameter_mm=(300, 720, "across the rims that a gauge reaches"),
)
def hanger_angle_deg(rim_deviation_mm: Mm, gauge_diameter_mm: Mm = 622) -> Deg:
    """How far the derailleur hanger leans, from the gauge's gap to the rim on opposite sides of the wheel.

    Formula:
        a = degrees(atan(d / D))

    Args:
        rim_deviation_mm: d, difference of the gap between two opposite places on the rim. [mm]
        gauge_diameter_mm: D, distance between the two places. [mm]

    Returns:
        a, lean of the hanger. [°]

    Accuracy:
        The gauge is read to about 1 mm, a tenth of a degree. The wheel must be fully home in the frame.

    Source:
        drivetrain-139, geometry

    >>> round(float(hanger_angle_deg(4.0)), 2)
    0.37
    """
    return degrees(arctan(rim_deviation_mm / gauge_diameter_mm))


@valid(
    hanger_angle_deg=(0, 30, "a hanger bent further is past straightening"),
    pulley_drop_mm=(20, 140, "from the hanger's bolt to the guide pulley"),
)
def pulley_shift_from_hanger_mm(hanger_angle_deg: Deg, pulley_drop_mm: Mm = 60) -> Mm:
    """How far a leaning hanger carries the guide pulley sideways.

    Formula:
        s = h * tan(radians(a))

    Args:
        hanger_angle_deg: a, lean of the hanger. [°]
        pulley_drop_mm: h, from the hanger's bolt down to the guide pulley; about 60 mm. [mm]

    Returns:
        s, sideways shift of the pulley. [mm]

    Accuracy:
        A guide: the drop changes with the gear, which is why a bent hanger cannot be adjusted away.

    Source:
        geometry

    >>> round(float(pulley_shift_from_hanger_mm(0.37)), 2)
    0.39
    """
    return pulley_drop_mm * tan(radians(hanger_angle_deg))


# ---- chain widths ---------------------------------------------------------------------------------------


@valid(
    sprocket_pitch_mm=_PITCH,
    sprocket_thickness_mm=_THICKNESS,
    chain_outer_width_mm=(4, 13, "from thirteen-speed chains to wide single-speed ones"),
)
def chain_side_clearance_mm(sprocket_pitch_mm: Mm, sprocket_thickness_mm: Mm, chain_outer_width_mm: Mm) -> Mm:
    """Air between the chain on one sprocket and the face of the next; negative where it rubs.

    Formula:
        c = s - t / 2 - w / 2

    Args:
        sprocket_pitch_mm: s, middle of one sprocket to the middle of the next. [mm]
        sprocket_thickness_mm: t, thickness of the sprockets. [mm]
        chain_outer_width_mm: w, width of the chain over its pins. [mm]

    Returns:
        c, air on each side. [mm]

    Accuracy:
        For a chain that sits in the middle of its sprocket; pins of one speed differ by up to 0.3 mm.

    Source:
        geometry, drivetrain-17

    >>> round(float(chain_side_clearance_mm(3.95, 1.6, 5.88)), 2)
    0.21
    """
    return sprocket_pitch_mm - sprocket_thickness_mm / 2 - chain_outer_width_mm / 2


@valid(
    chain_inner_width_mm=(1.8, 6, "from narrow derailleur chains to cargo chains"),
    sprocket_thickness_mm=_THICKNESS,
)
def chain_inner_play_mm(chain_inner_width_mm: Mm, sprocket_thickness_mm: Mm) -> Mm:
    """Play of a sprocket between the chain's inner plates; at zero or below the chain does not drop on.

    Formula:
        c = b - t

    Args:
        chain_inner_width_mm: b, between the inner plates. [mm]
        sprocket_thickness_mm: t, thickness of the sprocket or ring. [mm]

    Returns:
        c, play. [mm]

    Accuracy:
        To about 0.1 mm: inner widths are nominal.

    Source:
        drivetrain-13, geometry

    >>> round(float(chain_inner_play_mm(2.18, 1.6)), 2)
    0.58
    """
    return chain_inner_width_mm - sprocket_thickness_mm


# ---- freehub and cassette -------------------------------------------------------------------------------


@valid(
    new_speeds=(7, 12, "cassettes for the common spline run from seven to twelve sprockets"),
    new_largest_sprocket_teeth=_SPROCKET,
    cassette_kind=("road", "mountain"),
)
def cassette_body_needed_mm(new_speeds: Speeds, new_largest_sprocket_teeth: Teeth, cassette_kind: Word) -> Mm:
    """Length of common-spline freehub body that a cassette needs without any spacer.

    Rule:
        Seven sprockets 30.45 mm; eight to ten 34.95 mm; eleven and twelve 34.95 mm where the largest sprocket
        has 34 teeth or more or the cassette is a mountain one, because its large sprockets overhang the
        hub flange, and 36.75 mm otherwise.

    Args:
        new_speeds: sprockets of the cassette, taken to the nearest whole number. [speeds]
        new_largest_sprocket_teeth: teeth of its largest sprocket. [teeth]
        cassette_kind: road or mountain. [word]

    Returns:
        body length needed. [mm]

    Accuracy:
        Seven sprockets: the printed 4.5 mm spacer taken off 34.95 mm. Twelve sprockets on this spline are
        from memory. The overhang from 34 teeth holds for the cassettes seen: check the maker's sheet.

    Source:
        drivetrain-83, drivetrain-86, drivetrain-88, drivetrain-92, from-memory

    >>> [float(cassette_body_needed_mm(11, teeth, "road")) for teeth in (28, 34)]
    [36.75, 34.95]
    """
    whole = np.round(np.asarray(new_speeds, dtype=float))
    overhangs = (np.asarray(new_largest_sprocket_teeth, dtype=float) >= 34) | (cassette_kind == "mountain")
    wide = np.where(overhangs, 34.95, 36.75)
    return np.where(whole <= 7, 30.45, np.where(whole <= 10, 34.95, wide))[()]


@valid(
    freehub_body_length_mm=(25, 45, "splined bodies from seven to thirteen sprockets"),
    cassette_body_needed_mm=(25, 45, "splined bodies from seven to thirteen sprockets"),
)
def body_spare_mm(freehub_body_length_mm: Mm, cassette_body_needed_mm: Mm) -> Mm:
    """Length of freehub body left over, which a spacer must fill; negative where the body is too short.

    Formula:
        s = L - l

    Args:
        freehub_body_length_mm: L, length of the splined body. [mm]
        cassette_body_needed_mm: l, length that the cassette needs. [mm]

    Returns:
        s, body to fill with a spacer. [mm]

    Accuracy:
        Bodies are printed to 0.05 mm; the spacer sold for a difference of 1.80 mm is 1.85 mm thick.

    Source:
        drivetrain-83, drivetrain-86

    >>> round(float(body_spare_mm(36.75, 34.95)), 2)
    1.8
    """
    return freehub_body_length_mm - cassette_body_needed_mm


@valid(body_spare_mm=(0, 20, "a body that is too short takes no spacer"))
def cassette_spacer_mm(body_spare_mm: Mm) -> Mm:
    """Spacer that is sold to fill what is left of the freehub body.

    Rule:
        Under 0.5 mm none; to 1.5 mm the thin 1.0 mm one; to 2.3 mm 1.85 mm; to 3.5 mm both together, 2.85 mm;
        beyond it the length itself.

    Args:
        body_spare_mm: length of body to fill. [mm]

    Returns:
        spacer behind the largest sprocket. [mm]

    Accuracy:
        The lockring must clamp the sprockets and not the body: turn them by hand to prove it.

    Source:
        drivetrain-86, drivetrain-87, drivetrain-88

    >>> float(cassette_spacer_mm(1.8))
    1.85
    """
    spare = np.asarray(body_spare_mm, dtype=float)
    sold = np.where(spare < 2.3, 1.85, np.where(spare < 3.5, 2.85, spare))
    return np.where(spare < 0.5, 0.0, np.where(spare < 1.5, 1.0, sold))[()]


@valid(
    new_smallest_sprocket_teeth=_SPROCKET,
    smallest_body_sprocket_teeth=_SPROCKET,
)
def body_sprocket_margin_teeth(
    new_smallest_sprocket_teeth: Teeth, smallest_body_sprocket_teeth: Teeth
) -> Teeth:
    """Teeth by which the smallest sprocket exceeds the least that goes over the freehub body.

    Formula:
        m = z - z_0

    Args:
        new_smallest_sprocket_teeth: z, smallest sprocket of the cassette. [teeth]
        smallest_body_sprocket_teeth: z_0, smallest sprocket that goes over the body; 11 on the common
            spline. [teeth]

    Returns:
        m, margin, negative where the body is too thick. [teeth]

    Accuracy:
        Exact.

    Source:
        drivetrain-84, drivetrain-95

    >>> float(body_sprocket_margin_teeth(10, 11))
    -1.0
    """
    return new_smallest_sprocket_teeth - smallest_body_sprocket_teeth * 1.0


# ---- what a derailleur can take -------------------------------------------------------------------------


@valid(
    largest_ring_teeth=_RING,
    smallest_ring_teeth=_RING,
    largest_sprocket_teeth=_SPROCKET,
    smallest_sprocket_teeth=_SPROCKET,
)
def capacity_needed_teeth(
    largest_ring_teeth: Teeth,
    smallest_ring_teeth: Teeth,
    largest_sprocket_teeth: Teeth,
    smallest_sprocket_teeth: Teeth,
) -> Teeth:
    """Total capacity that the rear derailleur needs to keep the chain tight in every gear.

    Formula:
        c = (F - f) + (R - r)

    Args:
        largest_ring_teeth: F, largest chainring. [teeth]
        smallest_ring_teeth: f, smallest chainring; the same with a single ring. [teeth]
        largest_sprocket_teeth: R, largest sprocket. [teeth]
        smallest_sprocket_teeth: r, smallest sprocket. [teeth]

    Returns:
        c, capacity needed. [teeth]

    Accuracy:
        Exact count. A rated capacity is kept with a couple of teeth in hand at most.

    Source:
        drivetrain-41, drivetrain-42, drivetrain-44

    >>> float(capacity_needed_teeth(50, 34, 34, 11))
    39.0
    """
    rings = np.subtract(largest_ring_teeth, smallest_ring_teeth, dtype=float)
    return rings + (largest_sprocket_teeth - smallest_sprocket_teeth)


@valid(derailleur_capacity_teeth=_CAPACITY, capacity_needed_teeth=(-40, 160, "any rings and sprockets"))
def capacity_margin_teeth(derailleur_capacity_teeth: Teeth, capacity_needed_teeth: Teeth) -> Teeth:
    """Teeth by which the derailleur's rated capacity exceeds what is needed; negative where it falls short.

    Formula:
        m = C - c

    Args:
        derailleur_capacity_teeth: C, total capacity by the maker's sheet. [teeth]
        capacity_needed_teeth: c, capacity needed. [teeth]

    Returns:
        m, margin. [teeth]

    Accuracy:
        Makers rate on the safe side: an older rule lets a couple of teeth pass, not more.

    Source:
        drivetrain-44, drivetrain-50

    >>> float(capacity_margin_teeth(33, 29))
    4.0
    """
    return np.subtract(derailleur_capacity_teeth, capacity_needed_teeth, dtype=float)


@valid(derailleur_largest_sprocket_teeth=_SPROCKET, largest_sprocket_teeth=_SPROCKET)
def largest_sprocket_margin_teeth(
    derailleur_largest_sprocket_teeth: Teeth, largest_sprocket_teeth: Teeth
) -> Teeth:
    """Teeth by which the derailleur's rated largest sprocket exceeds the one on the bike.

    Formula:
        m = R_max - R

    Args:
        derailleur_largest_sprocket_teeth: R_max, largest sprocket by the maker's sheet. [teeth]
        largest_sprocket_teeth: R, largest sprocket. [teeth]

    Returns:
        m, margin, negative where the sprocket is larger than rated. [teeth]

    Accuracy:
        The hanger's length counts too: one or two teeth over sometimes clear, but nobody rates them.

    Source:
        drivetrain-41, drivetrain-51

    >>> float(largest_sprocket_margin_teeth(32, 34))
    -2.0
    """
    return np.subtract(derailleur_largest_sprocket_teeth, largest_sprocket_teeth, dtype=float)


@valid(
    derailleur_capacity_teeth=_CAPACITY,
    largest_ring_teeth=_RING,
    smallest_ring_teeth=_RING,
    smallest_sprocket_teeth=_SPROCKET,
)
def largest_sprocket_by_capacity_teeth(
    derailleur_capacity_teeth: Teeth,
    largest_ring_teeth: Teeth,
    smallest_ring_teeth: Teeth,
    smallest_sprocket_teeth: Teeth,
) -> Teeth:
    """Largest sprocket that the derailleur's capacity leaves room for with these rings.

    Formula:
        R = C - (F - f) + r

    Args:
        derailleur_capacity_teeth: C, total capacity by the maker's sheet. [teeth]
        largest_ring_teeth: F, largest chainring. [teeth]
        smallest_ring_teeth: f, smallest chainring; the same with a single ring. [teeth]
        smallest_sprocket_teeth: r, smallest sprocket. [teeth]

    Returns:
        R, largest sprocket by capacity alone. [teeth]

    Accuracy:
        The rated largest sprocket is a second limit of its own; the smaller of the two counts.

    Source:
        drivetrain-41, drivetrain-44

    >>> float(largest_sprocket_by_capacity_teeth(33, 50, 34, 11))
    28.0
    """
    rings = np.subtract(largest_ring_teeth, smallest_ring_teeth, dtype=float)
    return derailleur_capacity_teeth - rings + smallest_sprocket_teeth


@valid(largest_ring_teeth=_RING, smallest_ring_teeth=_RING)
def front_capacity_needed_teeth(largest_ring_teeth: Teeth, smallest_ring_teeth: Teeth) -> Teeth:
    """Capacity that the front derailleur needs.

    Formula:
        c = F - f

    Args:
        largest_ring_teeth: F, largest chainring. [teeth]
        smallest_ring_teeth: f, smallest chainring. [teeth]

    Returns:
        c, capacity needed. [teeth]

    Accuracy:
        Exact count.

    Source:
        drivetrain-49

    >>> float(front_capacity_needed_teeth(53, 39))
    14.0
    """
    return np.subtract(largest_ring_teeth, smallest_ring_teeth, dtype=float)


@valid(
    front_derailleur_capacity_teeth=(5, 40, "front derailleurs are rated between"),
    front_capacity_needed_teeth=(0, 60, "the widest triple"),
)
def front_capacity_margin_teeth(
    front_derailleur_capacity_teeth: Teeth, front_capacity_needed_teeth: Teeth
) -> Teeth:
    """Teeth by which the front derailleur's rated capacity exceeds what the rings need.

    Formula:
        m = C - c

    Args:
        front_derailleur_capacity_teeth: C, capacity by the maker's sheet. [teeth]
        front_capacity_needed_teeth: c, capacity needed. [teeth]

    Returns:
        m, margin, negative where it falls short. [teeth]

    Accuracy:
        Exact count.

    Source:
        drivetrain-49

    >>> float(front_capacity_margin_teeth(16, 14))
    2.0
    """
    return np.subtract(front_derailleur_capacity_teeth, front_capacity_needed_teeth, dtype=float)


# ---- length of the chain --------------------------------------------------------------------------------


@valid(chainstay_length_mm=_STAY, largest_ring_teeth=_RING, largest_sprocket_teeth=_SPROCKET)
def chain_length_simple_in(
    chainstay_length_mm: Mm, largest_ring_teeth: Teeth, largest_sprocket_teeth: Teeth
) -> Inch:
    """Length of chain by the simple inch rule.

    Formula:
        L = 2 * C / 25.4 + F / 4 + R / 4 + 1

    Args:
        chainstay_length_mm: C, middle of the crank axle to the middle of the rear axle. [mm]
        largest_ring_teeth: F, largest chainring. [teeth]
        largest_sprocket_teeth: R, largest sprocket. [teeth]

    Returns:
        L, length, to be rounded to the next whole inch. [in]

    Accuracy:
        Short by up to a third of an inch where ring and sprocket differ much; one inch is two links.

    Source:
        drivetrain-56

    >>> float(chain_length_simple_in(16.25 * 25.4, 52, 28))
    53.5
    """
    return 2 * chainstay_length_mm / 25.4 + largest_ring_teeth / 4 + largest_sprocket_teeth / 4 + 1


@valid(chainstay_length_mm=_STAY, largest_ring_teeth=_RING, largest_sprocket_teeth=_SPROCKET)
def chain_length_links(
    chainstay_length_mm: Mm, largest_ring_teeth: Teeth, largest_sprocket_teeth: Teeth
) -> Links:
    """Length of chain by the metric count, each inner and each outer link counted as one.

    Formula:
        L = 0.157 * a + F / 2 + R / 2 + 2

    Args:
        chainstay_length_mm: a, middle of the crank axle to the middle of the rear axle. [mm]
        largest_ring_teeth: F, largest chainring. [teeth]
        largest_sprocket_teeth: R, largest sprocket. [teeth]

    Returns:
        L, links before rounding. [links]

    Accuracy:
        Up to about 0.8 of a link short of the exact geometry, which the two links added make good.

    Source:
        drivetrain-58, drivetrain-19, drivetrain-59

    >>> round(float(chain_length_links(420.0, 44, 28)), 2)
    103.94
    """
    return 0.157 * chainstay_length_mm + largest_ring_teeth / 2 + largest_sprocket_teeth / 2 + 2


@valid(chain_length_links=(40, 400, "from a child's bicycle to a recumbent"))
def chain_to_fit_links(chain_length_links: Links) -> Links:
    """Links to leave in the chain: the next even number, because inner and outer links alternate.

    Formula:
        n = 2 * ceil(L / 2)

    Args:
        chain_length_links: L, links before rounding. [links]

    Returns:
        n, links of the chain, each inner and each outer link counted as one. [links]

    Accuracy:
        Prove it on the bike, largest ring and largest sprocket, before cutting. Derailleurs for a wide-range
        cassette and a single ring can need 2 to 4 links more: their maker's sheet says.

    Source:
        drivetrain-58, drivetrain-18

    >>> float(chain_to_fit_links(103.94))
    104.0
    """
    return 2 * ceil(chain_length_links / 2)


@valid(
    chainstay_length_mm=_STAY,
    largest_ring_teeth=_RING,
    largest_sprocket_teeth=_SPROCKET,
)
def big_pair_loop_links(
    chainstay_length_mm: Mm, largest_ring_teeth: Teeth, largest_sprocket_teeth: Teeth
) -> Links:
    """Links of the loop round a ring and a sprocket alone, without the derailleur, by exact geometry.

    Formula:
        b = asin(12.7 * (F - R) / (2 * pi * a))
        L = 2 * a * cos(b) / 12.7 + F * (0.5 + b / pi) + R * (0.5 - b / pi)

    Args:
        chainstay_length_mm: a, middle of the crank axle to the middle of the rear axle. [mm]
        largest_ring_teeth: F, teeth of the ring. [teeth]
        largest_sprocket_teeth: R, teeth of the sprocket. [teeth]

    Returns:
        L, links of the loop, each inner and each outer link counted as one. [links]

    Accuracy:
        Arcs and tangents on the circles that as many links as teeth make; within 0.05 of a link.

    Source:
        geometry

    >>> round(float(big_pair_loop_links(17.25 * 25.4, 52, 28)) / 2 + 1, 2)
    55.71
    """
    a, F, R = chainstay_length_mm, largest_ring_teeth, largest_sprocket_teeth
    b = arcsin(CHAIN_PITCH_MM * (F - R) / (2 * pi * a))
    return 2 * a * cos(b) / CHAIN_PITCH_MM + F * (0.5 + b / pi) + R * (0.5 - b / pi)


@valid(
    big_pair_loop_links=(30, 400, "from a child's bicycle to a recumbent"),
    added_links=(0, 8, "instructions add from 2 to 6 links, one more with rear suspension"),
)
def chain_length_exact_links(big_pair_loop_links: Links, added_links: Links = 2) -> Links:
    """Length of chain by exact geometry, with the links that are added for the derailleur.

    Formula:
        L = l + x

    Args:
        big_pair_loop_links: l, loop round the largest ring and the largest sprocket. [links]
        added_links: x, links added for the derailleur; 2 by the common rule. [links]

    Returns:
        L, links before rounding up to an even number. [links]

    Accuracy:
        The loop is good to a tenth of a link; how many to add is the derailleur maker's say.

    Source:
        drivetrain-56, drivetrain-18, geometry

    >>> round(float(chain_length_exact_links(104.34)), 2)
    106.34
    """
    return big_pair_loop_links + added_links


@valid(
    links=(20, 400, "from a child's bicycle to a recumbent"),
    chain_to_fit_links=(20, 400, "from a child's bicycle to a recumbent"),
)
def chain_spare_links(links: Links, chain_to_fit_links: Links) -> Links:
    """Links to take out of the chain in hand; negative where it is too short.

    Formula:
        s = n - m

    Args:
        links: n, links of the chain in hand. [links]
        chain_to_fit_links: m, links wanted. [links]

    Returns:
        s, links to spare. [links]

    Accuracy:
        Exact count, if each inner and each outer link is counted as one.

    Source:
        arithmetic

    >>> float(chain_spare_links(114, 108))
    6.0
    """
    return np.subtract(links, chain_to_fit_links, dtype=float)


@valid(old_largest_sprocket_teeth=_SPROCKET, new_largest_sprocket_teeth=_SPROCKET)
def chain_change_links(old_largest_sprocket_teeth: Teeth, new_largest_sprocket_teeth: Teeth) -> Links:
    """Links to add to a chain of the right length when the largest sprocket changes; negative where some may go.

    Formula:
        n = 2 * ceil((R2 - R1) / 4)

    Args:
        old_largest_sprocket_teeth: R1, largest sprocket for which the chain was right. [teeth]
        new_largest_sprocket_teeth: R2, largest sprocket to come. [teeth]

    Returns:
        n, links, each inner and each outer link counted as one; a pair at a time, and never too few. [links]

    Accuracy:
        Half a link a tooth, as in the metric count; holds for the same rings and chainstays.

    Source:
        drivetrain-58, arithmetic

    >>> float(chain_change_links(28, 34))
    4.0
    """
    return 2 * ceil(np.subtract(new_largest_sprocket_teeth, old_largest_sprocket_teeth, dtype=float) / 4)


@valid(
    chainstay_length_mm=_STAY,
    ring_teeth=_RING,
    sprocket_teeth=_SPROCKET,
)
def axle_move_for_chain_mm(chainstay_length_mm: Mm, ring_teeth: Teeth, sprocket_teeth: Teeth) -> Mm:
    """How far back the rear axle must move to tighten the next chain of whole pairs of links.

    Formula:
        b = asin(12.7 * (F - R) / (2 * pi * a))
        L = 2 * a * cos(b) / 12.7 + F * (0.5 + b / pi) + R * (0.5 - b / pi)
        x = (2 * ceil(L / 2 - 1e-6) - L) * 12.7 / (2 * cos(b))

    Args:
        chainstay_length_mm: a, middle of the crank axle to the middle of the rear axle, wheel forward. [mm]
        ring_teeth: F, teeth of the ring. [teeth]
        sprocket_teeth: R, teeth of the sprocket. [teeth]

    Returns:
        x, travel of the axle; with dropouts that let it move less, a tensioner or other teeth are
            needed. [mm]

    Accuracy:
        Within half a millimetre; a new chain settles by about as much in its first rides.

    Source:
        geometry

    >>> round(float(axle_move_for_chain_mm(405.0, 44, 16)), 1)
    10.2
    """
    a, F, R = chainstay_length_mm, ring_teeth, sprocket_teeth
    b = arcsin(CHAIN_PITCH_MM * (F - R) / (2 * pi * a))
    L = 2 * a * cos(b) / CHAIN_PITCH_MM + F * (0.5 + b / pi) + R * (0.5 - b / pi)
    return (2 * ceil(L / 2 - 1e-6) - L) * CHAIN_PITCH_MM / (2 * cos(b))


# ---- chain wear -----------------------------------------------------------------------------------------


@valid(
    measured_chain_length_mm=(50, 3000, "from a few links to a whole chain"),
    measured_links=(4, 240, "from a few links to a whole chain"),
)
def chain_elongation_pct(measured_chain_length_mm: Mm, measured_links: Links = 24) -> Pct:
    """How much longer a stretch of chain is than when it was new.

    Formula:
        e = (l / (n * 12.7) - 1) * 100

    Args:
        measured_chain_length_mm: l, pin middle to pin middle, chain under tension. [mm]
        measured_links: n, links between the two pins, each inner and each outer link counted as one;
            24 are 12 inches. [links]

    Returns:
        e, elongation. [%]

    Accuracy:
        Half a millimetre on 12 inches is 0.16 %. Not across the joining link.

    Source:
        drivetrain-76, drivetrain-77, drivetrain-78

    >>> round(float(chain_elongation_pct(304.8 + 25.4 / 16)), 2)
    0.52
    """
    return (measured_chain_length_mm / (measured_links * CHAIN_PITCH_MM) - 1) * 100


@valid(
    chain_wear_pct=(0, 5, "a chain this long no longer runs on its rings"),
    measured_links=(4, 240, "from a few links to a whole chain"),
)
def rule_excess_mm(chain_wear_pct: Pct, measured_links: Links = 24) -> Mm:
    """How far past its mark the pin of a worn chain stands on a rule.

    Formula:
        x = e / 100 * n * 12.7

    Args:
        chain_wear_pct: e, elongation. [%]
        measured_links: n, links measured over; 24 are 12 inches. [links]

    Returns:
        x, excess on the rule. [mm]

    Accuracy:
        Exact.

    Source:
        drivetrain-158, drivetrain-76

    >>> round(float(rule_excess_mm(0.75)), 2)
    2.29
    """
    return chain_wear_pct / 100 * measured_links * CHAIN_PITCH_MM


@valid(speeds=_SPEEDS)
def chain_wear_limit_pct(speeds: Speeds) -> Pct:
    """Elongation at which a chain is changed, by the number of sprockets it runs on.

    Rule:
        The row of the table of chain wear limits for that number of sprockets: 1.0 % to seven, 0.75 % for
        eight to ten, 0.5 % from eleven.

    Args:
        speeds: sprockets on the cassette, taken to the nearest whole number. [speeds]

    Returns:
        limit of wear. [%]

    Accuracy:
        Limits for drop-in gauges, which over-read; a few chains have a limit of their own in the maker's
        sheet.

    Source:
        drivetrain-80, drivetrain-82, drivetrain-77, from-memory

    >>> [float(chain_wear_limit_pct(n)) for n in (7, 10, 12)]
    [1.0, 0.75, 0.5]
    """
    whole = np.round(np.asarray(speeds, dtype=float))
    found = np.zeros_like(whole)
    for row in rows("drivetrain/chain_wear_limits"):
        here = (whole >= row["speeds_from"]) & (whole <= row["speeds_to"])
        found = np.where(here, row["chain_wear_limit_pct"], found)
    return found[()]


@valid(
    chain_wear_limit_pct=(0.3, 1.5, "limits in use lie between"),
    chain_wear_pct=(0, 5, "a chain this long no longer runs on its rings"),
)
def chain_wear_margin_pct(chain_wear_limit_pct: Pct, chain_wear_pct: Pct) -> Pct:
    """Wear that the chain has left before its limit; negative where it is past it.

    Formula:
        m = e_max - e

    Args:
        chain_wear_limit_pct: e_max, elongation at which the chain is changed. [%]
        chain_wear_pct: e, elongation now. [%]

    Returns:
        m, wear left. [%]

    Accuracy:
        As good as the gauge or the rule, about 0.1 %.

    Source:
        drivetrain-80, drivetrain-78

    >>> round(float(chain_wear_margin_pct(0.75, 0.5)), 2)
    0.25
    """
    return np.subtract(chain_wear_limit_pct, chain_wear_pct, dtype=float)


@valid(
    distance_km=(0, 300000, "no chain outlives it"),
    chain_wear_pct=(0.05, 5, "below it the gauge's own error is the larger part"),
    chain_wear_limit_pct=(0.3, 1.5, "limits in use lie between"),
)
def chain_distance_left_km(distance_km: Km, chain_wear_pct: Pct, chain_wear_limit_pct: Pct) -> Km:
    """Distance until the chain reaches its limit, if it wears on as it has worn so far.

    Formula:
        d = s * (e_max / e - 1)

    Args:
        distance_km: s, distance that the chain has run. [km]
        chain_wear_pct: e, elongation now. [%]
        chain_wear_limit_pct: e_max, elongation at which the chain is changed. [%]

    Returns:
        d, distance left; negative where the limit is past. [km]

    Accuracy:
        A guide only: wear hurries towards the end and with dirt. Measure again at half of it.

    Source:
        arithmetic

    >>> float(chain_distance_left_km(3000, 0.5, 0.75))
    1500.0
    """
    return distance_km * (chain_wear_limit_pct / chain_wear_pct - 1)


# ---- chainline ------------------------------------------------------------------------------------------


@valid(
    hub_width_mm=(90, 200, "from children's hubs to fat bicycles"),
    cassette_stack_width_mm=(1, 90, "from one sprocket to fourteen of the widest"),
    cassette_gap_mm=(0, 20, "from the hub's end face to the smallest sprocket"),
    axle_recess_mm=(0, 10, "a through-axle hub sits in the frame by a few millimetres"),
)
def rear_chainline_mm(
    hub_width_mm: Mm, cassette_stack_width_mm: Mm, cassette_gap_mm: Mm = 3, axle_recess_mm: Mm = 0
) -> Mm:
    """Distance from the bicycle's centre plane to the middle of the cassette.

    Formula:
        r = h / 2 - w / 2 - g - x

    Args:
        hub_width_mm: h, over locknuts or end caps. [mm]
        cassette_stack_width_mm: w, outer face of the smallest to inner face of the largest sprocket. [mm]
        cassette_gap_mm: g, hub's end face to the outer face of the smallest sprocket. [mm]
        axle_recess_mm: x, part of each end that sits in the frame, 3.5 mm on a 142 mm through-axle hub if the
            gap is measured from the frame. [mm]

    Returns:
        r, rear chainline. [mm]

    Accuracy:
        About 0.5 mm, as the gap is measured.

    Source:
        drivetrain-99, drivetrain-4, drivetrain-100

    >>> float(rear_chainline_mm(142.0, 44.0, 2.5, 3.5))
    43.0
    """
    return hub_width_mm / 2 - cassette_stack_width_mm / 2 - cassette_gap_mm - axle_recess_mm


@valid(front_chainline_mm=_CHAINLINE, rear_chainline_mm=(15, 90, "any hub and cassette"))
def chainline_error_mm(front_chainline_mm: Mm, rear_chainline_mm: Mm) -> Mm:
    """How far the ring stands outside (positive) or inside the middle of the sprockets.

    Formula:
        e = f - r

    Args:
        front_chainline_mm: f, centre plane to the ring, or to the middle of the rings. [mm]
        rear_chainline_mm: r, centre plane to the middle of the sprockets. [mm]

    Returns:
        e, chainline error. [mm]

    Accuracy:
        About 1 mm with a rule; 2 to 3 mm are seldom noticed.

    Source:
        drivetrain-99, drivetrain-102

    >>> float(chainline_error_mm(49.0, 46.5))
    2.5
    """
    return np.subtract(front_chainline_mm, rear_chainline_mm, dtype=float)


@valid(
    rear_chainline_mm=(15, 90, "any hub and cassette"),
    sprocket_pitch_mm=_PITCH,
    speeds=_SPEEDS,
    sprocket_position=(1, 14, "counted from the smallest sprocket"),
)
def sprocket_line_mm(
    rear_chainline_mm: Mm, sprocket_pitch_mm: Mm, speeds: Speeds, sprocket_position: Pure = 1
) -> Mm:
    """Distance from the bicycle's centre plane to one sprocket, counted from the smallest.

    Formula:
        l = r + ((n + 1) / 2 - k) * s

    Args:
        rear_chainline_mm: r, centre plane to the middle of the cassette. [mm]
        sprocket_pitch_mm: s, middle of one sprocket to the middle of the next. [mm]
        speeds: n, sprockets on the cassette. [speeds]
        sprocket_position: k, 1 for the smallest sprocket. [-]

    Returns:
        l, line of that sprocket. [mm]

    Accuracy:
        About 0.5 mm, as the rear chainline.

    Source:
        geometry, drivetrain-157

    >>> float(sprocket_line_mm(45.0, 4.35, 9)) - 45
    17.4
    """
    return rear_chainline_mm + ((speeds + 1) / 2 - sprocket_position) * sprocket_pitch_mm


@valid(
    front_chainline_mm=_CHAINLINE,
    sprocket_line_mm=(5, 110, "any sprocket of any hub"),
    chainstay_length_mm=_STAY,
)
def chain_angle_deg(front_chainline_mm: Mm, sprocket_line_mm: Mm, chainstay_length_mm: Mm) -> Deg:
    """Sideways angle of the chain between a ring and a sprocket.

    Formula:
        a = degrees(atan(abs(f - l) / c))

    Args:
        front_chainline_mm: f, centre plane to the ring. [mm]
        sprocket_line_mm: l, centre plane to the sprocket. [mm]
        chainstay_length_mm: c, middle of the crank axle to the middle of the rear axle. [mm]

    Returns:
        a, chain angle. [°]

    Accuracy:
        A tenth of a degree for each millimetre.

    Source:
        geometry

    >>> round(float(chain_angle_deg(43.5, 61.2, 410.0)), 1)
    2.5
    """
    return degrees(arctan(absolute(front_chainline_mm - sprocket_line_mm) / chainstay_length_mm))


@valid(
    hub_width_mm=(90, 200, "from children's hubs to fat bicycles"),
    cassette_gap_mm=(0, 20, "from the hub's end face to the smallest sprocket"),
    sprocket_thickness_mm=_THICKNESS,
)
def outermost_sprocket_line_mm(hub_width_mm: Mm, cassette_gap_mm: Mm, sprocket_thickness_mm: Mm) -> Mm:
    """Distance from the bicycle's centre plane to the middle of the smallest sprocket, from the hub.

    Formula:
        l = h / 2 - g - t / 2

    Args:
        hub_width_mm: h, over locknuts or end caps. [mm]
        cassette_gap_mm: g, hub's end face to the outer face of the smallest sprocket. [mm]
        sprocket_thickness_mm: t, thickness of the sprocket. [mm]

    Returns:
        l, line of the smallest sprocket. [mm]

    Accuracy:
        About 0.5 mm, as the gap is measured.

    Source:
        drivetrain-5

    >>> round(float(outermost_sprocket_line_mm(130.0, 3.0, 1.6)), 2)
    61.2
    """
    return hub_width_mm / 2 - cassette_gap_mm - sprocket_thickness_mm / 2


# ---- gears ----------------------------------------------------------------------------------------------


@valid(ring_teeth=_RING, sprocket_teeth=_SPROCKET)
def gear_ratio(ring_teeth: Teeth, sprocket_teeth: Teeth) -> Pure:
    """Turns of the wheel for one turn of the cranks.

    Formula:
        i = F / R

    Args:
        ring_teeth: F, teeth of the chainring. [teeth]
        sprocket_teeth: R, teeth of the sprocket. [teeth]

    Returns:
        i, gear ratio. [-]

    Accuracy:
        Exact.

    Source:
        drivetrain-60, drivetrain-61

    >>> round(float(gear_ratio(39, 14)), 2)
    2.79
    """
    return ring_teeth / sprocket_teeth


@valid(tyre_outside_diameter_mm=_WHEEL, gear_ratio=_RATIO)
def gear_size_in(tyre_outside_diameter_mm: Mm, gear_ratio: Pure) -> Inch:
    """Gear in inches: the diameter of a wheel that would go as far for one turn of the cranks.

    Formula:
        G = D / 25.4 * i

    Args:
        tyre_outside_diameter_mm: D, wheel over the tyre. [mm]
        gear_ratio: i, turns of the wheel for one turn of the cranks. [-]

    Returns:
        G, gear in inches. [in]

    Accuracy:
        As good as the wheel's diameter; charts often leave out which they used.

    Source:
        drivetrain-62, drivetrain-63

    >>> round(float(gear_size_in(27 * 25.4, 40 / 20)), 1)
    54.0
    """
    return tyre_outside_diameter_mm / 25.4 * gear_ratio


@valid(wheel_circumference_mm=_CIRCUMFERENCE, gear_ratio=_RATIO)
def development_m(wheel_circumference_mm: Mm, gear_ratio: Pure) -> M:
    """Distance that the bicycle goes for one turn of the cranks.

    Formula:
        D = U / 1000 * i

    Args:
        wheel_circumference_mm: U, way of the wheel in one turn. [mm]
        gear_ratio: i, turns of the wheel for one turn of the cranks. [-]

    Returns:
        D, development. [m]

    Accuracy:
        As good as the circumference, which the rider's weight shortens by about 1 %.

    Source:
        drivetrain-66, drivetrain-63

    >>> round(float(development_m(2100.0, 50 / 15)), 2)
    7.0
    """
    return wheel_circumference_mm / 1000 * gear_ratio


@valid(tyre_outside_diameter_mm=_WHEEL, crank_length_mm=_CRANK, gear_ratio=_RATIO)
def gain_ratio(tyre_outside_diameter_mm: Mm, crank_length_mm: Mm, gear_ratio: Pure) -> Pure:
    """Way of the bicycle for the same way of the pedal, crank length included.

    Formula:
        g = D / 2 / c * i

    Args:
        tyre_outside_diameter_mm: D, wheel over the tyre. [mm]
        crank_length_mm: c, crank length. [mm]
        gear_ratio: i, turns of the wheel for one turn of the cranks. [-]

    Returns:
        g, gain ratio. [-]

    Accuracy:
        As good as the wheel's diameter.

    Source:
        drivetrain-61, drivetrain-68

    >>> round(float(gain_ratio(660.4, 175, 22 / 34)), 2)
    1.22
    """
    return tyre_outside_diameter_mm / 2 / crank_length_mm * gear_ratio


@valid(development_m=(0.3, 25, "from crawling gears to records"), cadence_rpm=(1, 250, "a rider's legs"))
def speed_at_cadence_kmh(development_m: M, cadence_rpm: Rpm) -> Kmh:
    """Speed in a gear at a cadence.

    Formula:
        v = D * n * 60 / 1000

    Args:
        development_m: D, way for one turn of the cranks. [m]
        cadence_rpm: n, turns of the cranks a minute. [rpm]

    Returns:
        v, speed. [km/h]

    Accuracy:
        As good as the wheel's circumference.

    Source:
        drivetrain-66

    >>> round(float(speed_at_cadence_kmh(2.0, 75)), 1)
    9.0
    """
    return development_m * cadence_rpm * 60 / 1000


@valid(development_m=(0.3, 25, "from crawling gears to records"), speed_kmh=(0.5, 150, "a bicycle's speeds"))
def cadence_at_speed_rpm(development_m: M, speed_kmh: Kmh) -> Rpm:
    """Cadence in a gear at a speed.

    Formula:
        n = v * 1000 / 60 / D

    Args:
        development_m: D, way for one turn of the cranks. [m]
        speed_kmh: v, speed. [km/h]

    Returns:
        n, turns of the cranks a minute. [rpm]

    Accuracy:
        As good as the wheel's circumference.

    Source:
        drivetrain-66, drivetrain-68

    >>> round(float(cadence_at_speed_rpm(2.0, 9.0)))
    75
    """
    return speed_kmh * 1000 / 60 / development_m


@valid(from_sprocket_teeth=_SPROCKET, to_sprocket_teeth=_SPROCKET)
def gear_step_pct(from_sprocket_teeth: Teeth, to_sprocket_teeth: Teeth) -> Pct:
    """How much easier (positive) or harder (negative) the gear gets from one sprocket to another.

    Formula:
        s = (b / a - 1) * 100

    Args:
        from_sprocket_teeth: a, sprocket before. [teeth]
        to_sprocket_teeth: b, sprocket after. [teeth]

    Returns:
        s, step. [%]

    Accuracy:
        Exact.

    Source:
        drivetrain-155

    >>> round(float(gear_step_pct(28, 34)), 1)
    21.4
    """
    return (to_sprocket_teeth / from_sprocket_teeth - 1) * 100


@valid(
    smallest_ring_teeth=_RING,
    largest_sprocket_teeth=_SPROCKET,
    new_smallest_ring_teeth=_RING,
    new_largest_sprocket_teeth=_SPROCKET,
)
def lowest_gear_gain_pct(
    smallest_ring_teeth: Teeth,
    largest_sprocket_teeth: Teeth,
    new_smallest_ring_teeth: Teeth,
    new_largest_sprocket_teeth: Teeth,
) -> Pct:
    """How much lower the new lowest gear is: the share by which the pedal force falls on the same slope.

    Formula:
        g = (1 - (f_2 / R_2) / (f / R)) * 100

    Args:
        smallest_ring_teeth: f, smallest chainring now. [teeth]
        largest_sprocket_teeth: R, largest sprocket now. [teeth]
        new_smallest_ring_teeth: f_2, smallest chainring after. [teeth]
        new_largest_sprocket_teeth: R_2, largest sprocket after. [teeth]

    Returns:
        g, fall of the lowest gear, negative where it gets higher. [%]

    Accuracy:
        Exact.

    Source:
        arithmetic

    >>> round(float(lowest_gear_gain_pct(34, 28, 34, 34)), 1)
    17.6
    """
    now = smallest_ring_teeth / largest_sprocket_teeth
    after = new_smallest_ring_teeth / new_largest_sprocket_teeth
    return (1 - after / now) * 100


@valid(
    largest_ring_teeth=_RING,
    smallest_ring_teeth=_RING,
    largest_sprocket_teeth=_SPROCKET,
    smallest_sprocket_teeth=_SPROCKET,
)
def gear_range_pct(
    largest_ring_teeth: Teeth,
    smallest_ring_teeth: Teeth,
    largest_sprocket_teeth: Teeth,
    smallest_sprocket_teeth: Teeth,
) -> Pct:
    """Range of a drivetrain: its highest gear as a share of its lowest.

    Formula:
        g = (F / r) / (f / R) * 100

    Args:
        largest_ring_teeth: F, largest chainring. [teeth]
        smallest_ring_teeth: f, smallest chainring; the same with a single ring. [teeth]
        largest_sprocket_teeth: R, largest sprocket. [teeth]
        smallest_sprocket_teeth: r, smallest sprocket. [teeth]

    Returns:
        g, gear range. [%]

    Accuracy:
        Exact.

    Source:
        arithmetic

    >>> round(float(gear_range_pct(50, 34, 28, 11)))
    374
    """
    highest = largest_ring_teeth / smallest_sprocket_teeth
    lowest = smallest_ring_teeth / largest_sprocket_teeth
    return highest / lowest * 100


@valid(
    rider_power_w=(10, 600, "what a rider holds for minutes to hours"),
    total_mass_kg=(25, 350, "rider, bicycle and load"),
    slope_pct=(3, 40, "below three per cent the air counts, which this leaves out"),
    drivetrain_efficiency_pct=(70, 100, "measured chain drives lie between 81 and 98.6 %"),
    climbing_rolling_coefficient=(0.001, 0.06, "from track tyres to soft ground"),
)
def climbing_speed_kmh(
    rider_power_w: W,
    total_mass_kg: Kg,
    slope_pct: Pct,
    drivetrain_efficiency_pct: Pct = 96,
    climbing_rolling_coefficient: Pure = 0.006,
) -> Kmh:
    """Speed that a rider's power gives on a climb steep enough for the air not to matter.

    Formula:
        a = atan(s / 100)
        v = 3.6 * P * eta / 100 / (m * g_n * (sin(a) + c * cos(a)))

    Args:
        rider_power_w: P, power at the pedals. [W]
        total_mass_kg: m, rider, bicycle and load together. [kg]
        slope_pct: s, slope of the climb. [%]
        drivetrain_efficiency_pct: eta, share of the power that reaches the wheel. [%]
        climbing_rolling_coefficient: c, rolling resistance; 0.006 is a road tyre on asphalt. [-]

    Returns:
        v, speed. [km/h]

    Accuracy:
        Leaves out the air: a few per cent too fast at 10 km/h, more above it. Wind is left out too.

    Source:
        mechanics, drivetrain-145, common-practice

    >>> round(float(climbing_speed_kmh(150, 90, 10)), 1)
    5.6
    """
    a = arctan(slope_pct / 100)
    weight_n = total_mass_kg * STANDARD_GRAVITY_M_S2
    at_wheel_w = rider_power_w * drivetrain_efficiency_pct / 100
    return 3.6 * at_wheel_w / (weight_n * (sin(a) + climbing_rolling_coefficient * cos(a)))


@valid(
    climbing_speed_kmh=(0.3, 60, "what a climb allows"),
    wheel_circumference_mm=_CIRCUMFERENCE,
    cadence_rpm=(20, 200, "a rider's legs"),
)
def climbing_ratio(climbing_speed_kmh: Kmh, wheel_circumference_mm: Mm, cadence_rpm: Rpm) -> Pure:
    """Gear ratio that gives the wanted cadence at the speed of the climb.

    Formula:
        i = v * 1e6 / 60 / n / U

    Args:
        climbing_speed_kmh: v, speed on the climb. [km/h]
        wheel_circumference_mm: U, way of the wheel in one turn. [mm]
        cadence_rpm: n, cadence wanted. [rpm]

    Returns:
        i, ratio of ring to sprocket. [-]

    Accuracy:
        As good as the speed.

    Source:
        arithmetic

    >>> round(float(climbing_ratio(5.5, 2100, 65)), 2)
    0.67
    """
    return climbing_speed_kmh * 1e6 / 60 / cadence_rpm / wheel_circumference_mm


@valid(smallest_ring_teeth=_RING, climbing_ratio=(0.1, 8, "a ratio that a bicycle can have"))
def climbing_sprocket_teeth(smallest_ring_teeth: Teeth, climbing_ratio: Pure) -> Teeth:
    """Largest sprocket that gives the wanted ratio with the smallest ring.

    Formula:
        R = f / i

    Args:
        smallest_ring_teeth: f, smallest chainring. [teeth]
        climbing_ratio: i, ratio wanted. [-]

    Returns:
        R, sprocket; take the next one up that is made. [teeth]

    Accuracy:
        As good as the ratio.

    Source:
        arithmetic

    >>> round(float(climbing_sprocket_teeth(34, 1.0)))
    34
    """
    return smallest_ring_teeth / climbing_ratio


@valid(ring_teeth=_RING, sprocket_teeth=_SPROCKET)
def skid_patches_count(ring_teeth: Teeth, sprocket_teeth: Teeth) -> Pure:
    """Places on a fixed wheel's tyre that a skid with the same foot forward wears.

    Rule:
        The sprocket's teeth over the greatest common divisor of ring and sprocket; a rider who skids with
        either foot forward doubles it where the reduced ring is odd.

    Args:
        ring_teeth: teeth of the ring, taken to the nearest whole number. [teeth]
        sprocket_teeth: teeth of the sprocket, taken to the nearest whole number. [teeth]

    Returns:
        skid patches. [-]

    Accuracy:
        Exact.

    Caution:
        A fixed wheel needs a working brake as well; local law usually asks for two.

    Source:
        arithmetic

    >>> [float(skid_patches_count(48, teeth)) for teeth in (16, 17)]
    [1.0, 17.0]
    """
    ring = np.round(np.asarray(ring_teeth, dtype=float)).astype(int)
    sprocket = np.round(np.asarray(sprocket_teeth, dtype=float)).astype(int)
    return (sprocket / np.gcd(ring, sprocket))[()]


# ---- force, torque and loss -----------------------------------------------------------------------------


@valid(
    pedal_force_n=(0, 4000, "a strong rider standing on one pedal stays well below"),
    crank_length_mm=_CRANK,
    ring_teeth=_RING,
)
def chain_tension_n(pedal_force_n: N, crank_length_mm: Mm, ring_teeth: Teeth) -> N:
    """Pull in the upper run of the chain, crank level and the push straight down.

    Formula:
        d = 12.7 / sin(pi / z)
        T = F * c / (d / 2)

    Args:
        pedal_force_n: F, push on the pedal. [N]
        crank_length_mm: c, crank length. [mm]
        ring_teeth: z, teeth of the chainring. [teeth]

    Returns:
        T, chain tension. [N]

    Accuracy:
        The lower run is taken as slack; at other crank angles the push counts less.

    Source:
        drivetrain-151, drivetrain-152, geometry

    >>> round(float(chain_tension_n(1.0, 7 * 25.4, 52)), 2)
    1.69
    """
    d = CHAIN_PITCH_MM / sin(pi / ring_teeth)
    return pedal_force_n * crank_length_mm / (d / 2)


@valid(
    pedal_force_n=(0, 4000, "a strong rider standing on one pedal stays well below"),
    crank_length_mm=_CRANK,
    gear_ratio=_RATIO,
)
def wheel_torque_n_m(pedal_force_n: N, crank_length_mm: Mm, gear_ratio: Pure) -> NM:
    """Torque that the freehub has to carry, crank level and the push straight down.

    Formula:
        M = F * c / 1000 / i

    Args:
        pedal_force_n: F, push on the pedal. [N]
        crank_length_mm: c, crank length. [mm]
        gear_ratio: i, turns of the wheel for one turn of the cranks. [-]

    Returns:
        M, torque at the rear hub. [N·m]

    Accuracy:
        Without the few per cent that the chain takes.

    Source:
        drivetrain-152, mechanics

    >>> round(float(wheel_torque_n_m(549.36, 170, 1.0)), 1)
    93.4
    """
    return pedal_force_n * crank_length_mm / 1000 / gear_ratio


@valid(
    rider_power_w=(0, 2500, "a sprinter's best stays below"),
    drivetrain_efficiency_pct=(50, 100, "measured chain drives lie between 81 and 98.6 %"),
)
def drivetrain_loss_w(rider_power_w: W, drivetrain_efficiency_pct: Pct = 96) -> W:
    """Power that chain, sprockets and pulleys take.

    Formula:
        P_l = P * (1 - eta / 100)

    Args:
        rider_power_w: P, power at the pedals. [W]
        drivetrain_efficiency_pct: eta, share of the power that reaches the wheel. [%]

    Returns:
        P_l, power lost. [W]

    Accuracy:
        Efficiencies in print lie two points apart for the same drive.

    Source:
        drivetrain-144, drivetrain-145

    >>> round(float(drivetrain_loss_w(200, 96.9)), 1)
    6.2
    """
    return rider_power_w * (1 - drivetrain_efficiency_pct / 100)


# ---- whole sets of rings and sprockets ------------------------------------------------------------------


class Gear(NamedTuple):
    """One ring with one sprocket."""

    ring_teeth: int
    sprocket_teeth: int

    @property
    def ratio(self) -> float:
        """Turns of the wheel for one turn of the cranks."""
        return self.ring_teeth / self.sprocket_teeth


def gears(rings: Sequence[int], sprockets: Sequence[int]) -> list[Gear]:
    """Every gear of a bicycle, the lowest first.

    Raises:
        ValueError: a list is empty, names a tooth count twice or one that no chain wraps.

    >>> gears([34, 50], [11, 28])[0]
    Gear(ring_teeth=34, sprocket_teeth=28)
    """
    for name, teeth in (("rings", rings), ("sprockets", sprockets)):
        if not teeth:
            raise ValueError(f"{name}: expected at least one")
        if len(set(teeth)) < len(teeth):
            raise ValueError(f"{name}: a tooth count stands twice in {list(teeth)}")
        if min(teeth) < 5:
            raise ValueError(f"{name}: expected 5 teeth or more, got {min(teeth)}")
    return sorted(
        (Gear(ring, sprocket) for ring in rings for sprocket in sprockets), key=lambda gear: gear.ratio
    )


def duplicate_gears(
    rings: Sequence[int], sprockets: Sequence[int], within_pct: float = 3.0
) -> list[tuple[Gear, Gear]]:
    """Pairs of gears on different rings whose ratios lie so close that a rider hardly feels the difference.

    Raises:
        ValueError: as for `gears`.

    >>> duplicate_gears([39, 53], [14, 19])
    [(Gear(ring_teeth=39, sprocket_teeth=14), Gear(ring_teeth=53, sprocket_teeth=19))]
    """
    every = gears(rings, sprockets)
    return [
        (one, other)
        for place, one in enumerate(every)
        for other in every[place + 1 :]
        if one.ring_teeth != other.ring_teeth and (other.ratio / one.ratio - 1) * 100 <= within_pct
    ]


def cross_chained_gears(rings: Sequence[int], sprockets: Sequence[int], ends: int = 1) -> list[Gear]:
    """The gears that pull the chain hardest sideways: outer ring with innermost sprockets and the reverse.

    `ends` is how many sprockets at each end count. A single ring has none.

    Raises:
        ValueError: as for `gears`, or `ends` below 1.

    >>> cross_chained_gears([34, 50], [11, 12, 28])
    [Gear(ring_teeth=50, sprocket_teeth=28), Gear(ring_teeth=34, sprocket_teeth=11)]
    """
    if ends < 1:
        raise ValueError(f"ends: expected 1 or more, got {ends}")
    every = gears(rings, sprockets)
    if len(rings) == 1:
        return []
    small, large = sorted(sprockets)[:ends], sorted(sprockets)[-ends:]
    return [
        gear
        for gear in every
        if (gear.ring_teeth == min(rings) and gear.sprocket_teeth in small)
        or (gear.ring_teeth == max(rings) and gear.sprocket_teeth in large)
    ]


def cassette_steps_pct(sprockets: Sequence[int]) -> list[float]:
    """The step from each sprocket to the next larger one, in per cent of the smaller.

    Raises:
        ValueError: as for `gears`.

    >>> [round(step, 1) for step in cassette_steps_pct([21, 24, 28])]
    [14.3, 16.7]
    """
    ordered = sorted(gear.sprocket_teeth for gear in gears([_ANY_RING], sprockets))
    return [(after / before - 1) * 100 for before, after in pairwise(ordered)]
