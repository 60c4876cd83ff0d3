"""Frame, fork, seat and cockpit: what fits in what and where the rider ends up, in millimetres."""

from __future__ import annotations

import re
from dataclasses import dataclass

from numpy import absolute, arcsin, cos, degrees, maximum, radians, sin, sqrt, tan

from knowledge.calculation import valid
from knowledge.units import Deg, Mm, Money, Pct, Pure

_HUB = (60, 210, "from small folding bicycles to fat bikes")
_HEAD_ANGLE = (55, 90, "from downhill bicycles to a stem measured off the bicycle")
_POST = (18, 40, "posts are made from about 21 to 35 mm")


@valid(hub_width_mm=_HUB, frame_spacing_mm=_HUB)
def hub_width_difference_mm(hub_width_mm: Mm, frame_spacing_mm: Mm) -> Mm:
    """How much wider (positive) or narrower the hub is than the gap between the dropouts.

    Formula:
        d = w - f

    Args:
        hub_width_mm: w, hub over its locknuts or end caps. [mm]
        frame_spacing_mm: f, between the inner faces of the dropouts. [mm]

    Returns:
        d, hub less frame. [mm]

    Accuracy:
        Old frames and hubs differ by a millimetre from their nominal width; measure both.

    Source:
        trade-107, arithmetic

    >>> float(hub_width_difference_mm(130.0, 126.0))
    4.0
    """
    return hub_width_mm - frame_spacing_mm


@valid(hub_width_difference_mm=(-150, 150, "any hub in any frame"))
def hub_mismatch_mm(hub_width_difference_mm: Mm) -> Mm:
    """How far hub and dropouts are apart in width, whichever is the wider.

    Formula:
        m = abs(d)

    Args:
        hub_width_difference_mm: d, hub less frame. [mm]

    Returns:
        m, mismatch. [mm]

    Accuracy:
        Old frames and hubs differ by a millimetre from their nominal width; measure both.

    Source:
        arithmetic

    >>> float(hub_mismatch_mm(-5.0))
    5.0
    """
    return absolute(hub_width_difference_mm)


@valid(hub_mismatch_mm=(0, 150, "any hub in any frame"))
def cold_set_per_side_mm(hub_mismatch_mm: Mm) -> Mm:
    """How far each side of a steel frame must be bent, so that it stays in line.

    Formula:
        s = m / 2

    Args:
        hub_mismatch_mm: m, how far hub and dropouts are apart in width. [mm]

    Returns:
        s, movement of each dropout. [mm]

    Accuracy:
        Exact; both sides must move alike, so check with a string from dropout to head tube and back.

    Caution:
        For steel frames only: aluminium and carbon crack instead of bending. The dropouts must be brought
        parallel afterwards, or the axle breaks.

    Source:
        frame-fit-14, trade-107

    >>> float(cold_set_per_side_mm(5.0))
    2.5
    """
    return hub_mismatch_mm / 2


@valid(hub_width_mm=_HUB, new_hub_width_mm=_HUB)
def end_cap_change_mm(hub_width_mm: Mm, new_hub_width_mm: Mm) -> Mm:
    """How much longer each end cap must be to bring a hub to another width, its middle unmoved.

    Formula:
        e = (w_2 - w_1) / 2

    Args:
        hub_width_mm: w_1, hub over its end caps now. [mm]
        new_hub_width_mm: w_2, width wanted. [mm]

    Returns:
        e, change of each end cap. [mm]

    Accuracy:
        Exact; whether rotor and sprockets then stand where the frame wants them is another question.

    Source:
        drivetrain-100, geometry

    >>> float(end_cap_change_mm(135.0, 142.0))
    3.5
    """
    return (new_hub_width_mm - hub_width_mm) / 2


@valid(seatpost_diameter_mm=_POST, mark_diameters=(1, 4, "standards ask for two diameters or more"))
def least_post_mark_mm(seatpost_diameter_mm: Mm, mark_diameters: Pure = 2) -> Mm:
    """Least distance of the insertion mark from a post's lower end that a safety rule allows.

    Formula:
        m = n * d

    Args:
        seatpost_diameter_mm: d, outside diameter of the post. [mm]
        mark_diameters: n, diameters from the end to the mark. [-]

    Returns:
        m, least insertion by the post alone. [mm]

    Accuracy:
        The rule of one country; the maker's own mark is often further up and always wins.

    Source:
        cfr-1512

    >>> round(float(least_post_mark_mm(27.2)), 1)
    54.4
    """
    return mark_diameters * seatpost_diameter_mm


@valid(
    post_mark_mm=(0, 300, "from the post's lower end to its mark"),
    seatpost_diameter_mm=_POST,
    collar_to_joint_mm=(0, 300, "from the top of the seat tube down to the lower edge of the top-tube joint"),
    below_joint_mm=(0, 100, "published: 20 to 30 mm"),
    post_diameters=(1, 5, "two by law in one country, two and a half as a rule of thumb"),
)
def post_insertion_needed_mm(
    post_mark_mm: Mm,
    seatpost_diameter_mm: Mm,
    collar_to_joint_mm: Mm,
    below_joint_mm: Mm = 25,
    post_diameters: Pure = 2.5,
) -> Mm:
    """Length of post that must be in the frame: the greatest of three demands.

    Formula:
        n = max(max(m, k * d), j + b)

    Args:
        post_mark_mm: m, from the post's lower end to its insertion mark. [mm]
        seatpost_diameter_mm: d, outside diameter of the post. [mm]
        collar_to_joint_mm: j, from the top of the seat tube to the lower edge of the top-tube joint. [mm]
        below_joint_mm: b, how far the post must reach below that joint. [mm]
        post_diameters: k, post diameters that must be held. [-]

    Returns:
        n, least insertion. [mm]

    Accuracy:
        A rule of thumb where the frame's maker gives no figure; that figure wins wherever there is one.

    Caution:
        A post held too short breaks the seat tube or itself under the rider.

    Source:
        frame-fit-4, frame-fit-5, frame-fit-22, common-practice

    >>> float(post_insertion_needed_mm(90.0, 27.2, 80.0))
    105.0
    """
    return maximum(
        maximum(post_mark_mm, post_diameters * seatpost_diameter_mm), collar_to_joint_mm + below_joint_mm
    )


@valid(
    seatpost_insertion_mm=(0, 500, "posts are made up to about 500 mm long"),
    post_insertion_needed_mm=(0, 500, "posts are made up to about 500 mm long"),
)
def post_insertion_margin_mm(seatpost_insertion_mm: Mm, post_insertion_needed_mm: Mm) -> Mm:
    """Post in the frame beyond what must be there; too little when negative.

    Formula:
        s = i - n

    Args:
        seatpost_insertion_mm: i, post inside the frame. [mm]
        post_insertion_needed_mm: n, least insertion. [mm]

    Returns:
        s, margin. [mm]

    Accuracy:
        As good as the measurements, about 2 mm.

    Caution:
        A post held too short breaks the seat tube or itself under the rider.

    Source:
        arithmetic

    >>> float(post_insertion_margin_mm(110.0, 105.0))
    5.0
    """
    return seatpost_insertion_mm - post_insertion_needed_mm


@valid(
    saddle_height_mm=(250, 1000, "crank axle to saddle top, from a small child to the tallest riders"),
    seat_tube_length_mm=(100, 750, "crank axle to the top of the seat tube"),
    saddle_stack_mm=(20, 120, "from the top of the post to the top of the saddle"),
    post_insertion_needed_mm=(0, 500, "posts are made up to about 500 mm long"),
)
def post_length_needed_mm(
    saddle_height_mm: Mm, seat_tube_length_mm: Mm, post_insertion_needed_mm: Mm, saddle_stack_mm: Mm = 50
) -> Mm:
    """Length of post, lower end to rail clamp, that reaches the saddle height with enough of it in the frame.

    Formula:
        L = h - t - s + n

    Args:
        saddle_height_mm: h, crank axle to saddle top along the seat tube. [mm]
        seat_tube_length_mm: t, crank axle to the top of the seat tube. [mm]
        post_insertion_needed_mm: n, least insertion. [mm]
        saddle_stack_mm: s, from the rail clamp to the top of the saddle. [mm]

    Returns:
        L, post length. [mm]

    Accuracy:
        About 5 mm, as saddles sag and posts are sold by rounded lengths; buy the next longer one.

    Source:
        geometry

    >>> float(post_length_needed_mm(740.0, 480.0, 105.0))
    315.0
    """
    return saddle_height_mm - seat_tube_length_mm - saddle_stack_mm + post_insertion_needed_mm


@valid(seat_tube_bore_mm=_POST, seatpost_diameter_mm=_POST)
def post_fit_gap_mm(seat_tube_bore_mm: Mm, seatpost_diameter_mm: Mm) -> Mm:
    """How much narrower the post is than the bore of the seat tube, across the whole diameter.

    Formula:
        g = D - d

    Args:
        seat_tube_bore_mm: D, inside diameter of the seat tube below the slot. [mm]
        seatpost_diameter_mm: d, outside diameter of the post. [mm]

    Returns:
        g, gap across the diameter; the post does not enter when negative. [mm]

    Accuracy:
        Posts are sold in steps of 0.2 mm, and one step is enough to tell: measure with a calliper.

    Caution:
        Clamping a seat tube over a post that is too thin cracks aluminium and carbon tubes.

    Source:
        frame-fit-5, frame-fit-21

    >>> round(float(post_fit_gap_mm(27.2, 27.0)), 2)
    0.2
    """
    return seat_tube_bore_mm - seatpost_diameter_mm


@valid(
    seat_tube_bore_mm=_POST,
    seatpost_diameter_mm=_POST,
)
def post_shim_wall_mm(seat_tube_bore_mm: Mm, seatpost_diameter_mm: Mm) -> Mm:
    """Wall of the sleeve that fills the room between a seat tube and a thinner post.

    Formula:
        w = (D - d) / 2

    Args:
        seat_tube_bore_mm: D, inside diameter of the seat tube, the post size it was made for. [mm]
        seatpost_diameter_mm: d, outside diameter of the thinner post. [mm]

    Returns:
        w, wall of the sleeve. [mm]

    Accuracy:
        Exact; sleeves under about half a millimetre are folded sheet and not worth having.

    Source:
        geometry, common-practice

    >>> round(float(post_shim_wall_mm(31.6, 27.2)), 2)
    2.2
    """
    return (seat_tube_bore_mm - seatpost_diameter_mm) / 2


@valid(
    stem_bore_mm=(20, 45, "stems clamp bars of 22.2 to 35 mm"),
    bar_clamp_diameter_mm=(20, 45, "bars are 22.2 to 35 mm where they are clamped"),
)
def bar_shim_wall_mm(stem_bore_mm: Mm, bar_clamp_diameter_mm: Mm) -> Mm:
    """Wall of the sleeve between a stem's clamp and a thinner bar; none can help when negative.

    Formula:
        w = (D - d) / 2

    Args:
        stem_bore_mm: D, diameter that the stem clamps. [mm]
        bar_clamp_diameter_mm: d, diameter of the bar in its middle. [mm]

    Returns:
        w, wall of the sleeve. [mm]

    Accuracy:
        Exact for nominal sizes; 25.4 and 26.0 mm look alike and need a calliper.

    Caution:
        Not for carbon bars or carbon stems, and only with a sleeve made for the pair: a bar that turns or
        breaks throws the rider.

    Source:
        frame-fit-24, geometry, common-practice

    >>> round(float(bar_shim_wall_mm(31.8, 25.4)), 2)
    3.2
    """
    return (stem_bore_mm - bar_clamp_diameter_mm) / 2


@valid(
    head_tube_length_mm=(60, 350, "head tubes without their cups"),
    headset_stack_mm=(0, 80, "height of both headset halves outside the head tube"),
    spacer_stack_mm=(0, 150, "spacers under the stem"),
    stem_clamp_height_mm=(25, 80, "height of the stem on the steerer"),
    spacers_above_mm=(0, 60, "spacers over the stem"),
    steerer_gap_wanted_mm=(0, 6, "the top of the steerer stays 2 to 3 mm below the top cap's seat"),
)
def steerer_length_needed_mm(
    head_tube_length_mm: Mm,
    headset_stack_mm: Mm,
    spacer_stack_mm: Mm,
    stem_clamp_height_mm: Mm,
    spacers_above_mm: Mm = 0,
    steerer_gap_wanted_mm: Mm = 3,
) -> Mm:
    """Length of steerer, crown-race seat to top, for a threadless headset and stem.

    Formula:
        L = h + s + u + c + o - g

    Args:
        head_tube_length_mm: h, bare head tube. [mm]
        headset_stack_mm: s, headset's lower and upper height together. [mm]
        spacer_stack_mm: u, spacers under the stem. [mm]
        stem_clamp_height_mm: c, stem's height on the steerer. [mm]
        spacers_above_mm: o, spacers over the stem. [mm]
        steerer_gap_wanted_mm: g, how far the steerer's top stays below. [mm]

    Returns:
        L, steerer length. [mm]

    Accuracy:
        About 1 mm; mark it on the assembled front end before cutting, as a steerer cannot be made longer.

    Caution:
        Steering: a steerer cut too short leaves the stem without hold. Let a mechanic check the cut.

    Source:
        frame-fit-6, frame-fit-7

    >>> round(float(steerer_length_needed_mm(110.2, 27.4, 25.3, 40.0)), 1)
    199.9
    """
    return (
        head_tube_length_mm
        + headset_stack_mm
        + spacer_stack_mm
        + stem_clamp_height_mm
        + spacers_above_mm
        - steerer_gap_wanted_mm
    )


@valid(
    stem_clamp_height_mm=(25, 80, "height of the stem on the steerer"),
    steerer_below_top_mm=(-60, 60, "above the stem's top when negative"),
)
def steerer_clamped_mm(stem_clamp_height_mm: Mm, steerer_below_top_mm: Mm) -> Mm:
    """Length of the stem's clamp that has steerer inside it.

    Formula:
        a = min(c, c - b)

    Args:
        stem_clamp_height_mm: c, stem's height on the steerer. [mm]
        steerer_below_top_mm: b, stem's top down to the steerer's top; negative if it stands out. [mm]

    Returns:
        a, clamped length. [mm]

    Accuracy:
        As good as the two measurements.

    Caution:
        Steering: a standard for new bicycles lets the steerer end no more than 5 mm below the stem's top.

    Source:
        frame-fit-3, geometry

    >>> float(steerer_clamped_mm(40.0, 10.0))
    30.0
    """
    return stem_clamp_height_mm - maximum(steerer_below_top_mm, 0)


@valid(
    steerer_below_top_mm=(-60, 60, "above the stem's top when negative"),
    steerer_gap_wanted_mm=(0, 6, "the top of the steerer stays 2 to 3 mm below the top cap's seat"),
)
def spacers_to_remove_mm(steerer_below_top_mm: Mm, steerer_gap_wanted_mm: Mm = 3) -> Mm:
    """Spacers to take from under the stem (positive), or to lay on top of it, so that the cap can work.

    Formula:
        r = b - g

    Args:
        steerer_below_top_mm: b, stem's top down to the steerer's top; negative if it stands out. [mm]
        steerer_gap_wanted_mm: g, how far the steerer's top should stay below. [mm]

    Returns:
        r, spacers out, or on top when negative. [mm]

    Accuracy:
        About 1 mm; spacers are sold from 2.5 mm up.

    Source:
        frame-fit-1, frame-fit-6

    >>> float(spacers_to_remove_mm(10.0))
    7.0
    """
    return steerer_below_top_mm - steerer_gap_wanted_mm


@valid(
    spacer_stack_mm=(0, 150, "spacers under the stem"),
    spacers_ask_mm=(0, 150, "the tallest stack that a fork's maker allows"),
)
def spacer_stack_over_mm(spacer_stack_mm: Mm, spacers_ask_mm: Mm) -> Mm:
    """How far the spacers under the stem exceed the tallest stack that is allowed; within it when negative.

    Formula:
        o = s - m

    Args:
        spacer_stack_mm: s, spacers under the stem, the headset's cover included. [mm]
        spacers_ask_mm: m, tallest stack allowed. [mm]

    Returns:
        o, stack over the limit. [mm]

    Accuracy:
        Exact; the limit is the fork maker's, and makers differ.

    Caution:
        A steerer that is loaded by too tall a stack can crack under the stem.

    Source:
        frame-fit-2, arithmetic

    >>> float(spacer_stack_over_mm(50.0, 40.0))
    10.0
    """
    return spacer_stack_mm - spacers_ask_mm


@valid(
    stem_length_mm=(20, 180, "from downhill stems to old racing stems"),
    stem_angle_deg=(-45, 60, "from a square line off the steerer; up is positive"),
    head_angle_deg=_HEAD_ANGLE,
)
def stem_rise_mm(stem_length_mm: Mm, stem_angle_deg: Deg, head_angle_deg: Deg = 73) -> Mm:
    """How much higher the bar's middle stands than the middle of the stem's clamp on the steerer.

    Formula:
        r = l * sin(radians(90 - h + a))

    Args:
        stem_length_mm: l, middle of steerer to middle of bar. [mm]
        stem_angle_deg: a, from a square line off the steerer, up positive; flipping changes the sign. [°]
        head_angle_deg: h, steerer from the horizontal. [°]

    Returns:
        r, rise. [mm]

    Accuracy:
        Exact; stems are made to about half a degree.

    Source:
        frame-fit-8, geometry

    >>> round(float(stem_rise_mm(110.0, -6.0, 90.0)), 1)
    -11.5
    """
    return stem_length_mm * sin(radians(90 - head_angle_deg + stem_angle_deg))


@valid(
    stem_length_mm=(20, 180, "from downhill stems to old racing stems"),
    stem_angle_deg=(-45, 60, "from a square line off the steerer; up is positive"),
    head_angle_deg=_HEAD_ANGLE,
)
def stem_reach_mm(stem_length_mm: Mm, stem_angle_deg: Deg, head_angle_deg: Deg = 73) -> Mm:
    """How far ahead of the middle of the stem's clamp the bar's middle stands, on the level.

    Formula:
        f = l * cos(radians(90 - h + a))

    Args:
        stem_length_mm: l, middle of steerer to middle of bar. [mm]
        stem_angle_deg: a, from a square line off the steerer, up positive; flipping changes the sign. [°]
        head_angle_deg: h, steerer from the horizontal. [°]

    Returns:
        f, forward reach. [mm]

    Accuracy:
        Exact; stems are made to about half a degree.

    Source:
        frame-fit-8, geometry

    >>> round(float(stem_reach_mm(110.0, 17.0, 90.0)), 1)
    105.2
    """
    return stem_length_mm * cos(radians(90 - head_angle_deg + stem_angle_deg))


@valid(
    stem_length_mm=(20, 180, "from downhill stems to old racing stems"),
    new_stem_length_mm=(20, 180, "from downhill stems to old racing stems"),
)
def stem_change_mm(stem_length_mm: Mm, new_stem_length_mm: Mm) -> Mm:
    """How much longer (positive) or shorter the new stem is.

    Formula:
        c = l_2 - l_1

    Args:
        stem_length_mm: l_1, old stem. [mm]
        new_stem_length_mm: l_2, new stem. [mm]

    Returns:
        c, new stem less old stem. [mm]

    Accuracy:
        Exact; stems are measured from the middle of the steerer to the middle of the bar.

    Source:
        arithmetic

    >>> float(stem_change_mm(110.0, 90.0))
    -20.0
    """
    return new_stem_length_mm - stem_length_mm


@valid(stem_change_mm=(-160, 160, "between any two stems"))
def stem_swap_mm(stem_change_mm: Mm) -> Mm:
    """How far the bar moves with a stem of another length at the same angle, whichever way.

    Formula:
        m = abs(c)

    Args:
        stem_change_mm: c, new stem less old stem. [mm]

    Returns:
        m, movement of the bar along the stem's line. [mm]

    Accuracy:
        On the level a little less: 1 to 2 % on road frames, up to 10 % on slack ones.

    Source:
        geometry

    >>> float(stem_swap_mm(-20.0))
    20.0
    """
    return absolute(stem_change_mm)


@valid(
    stem_length_mm=(20, 180, "from downhill stems to old racing stems"),
    stem_angle_deg=(-45, 60, "from a square line off the steerer; up is positive"),
    new_stem_length_mm=(20, 180, "from downhill stems to old racing stems"),
    new_stem_angle_deg=(-45, 60, "from a square line off the steerer; up is positive"),
    head_angle_deg=_HEAD_ANGLE,
    spacer_change_mm=(-120, 120, "spacers moved from or to the place under the stem"),
)
def bar_height_change_mm(
    stem_length_mm: Mm,
    stem_angle_deg: Deg,
    new_stem_length_mm: Mm,
    new_stem_angle_deg: Deg,
    head_angle_deg: Deg = 73,
    spacer_change_mm: Mm = 0,
) -> Mm:
    """How much higher (positive) the bar stands with another stem and other spacers under it.

    Formula:
        p = radians(90 - h)
        d = l_2 * sin(p + radians(a_2)) - l_1 * sin(p + radians(a_1)) + s * cos(p)

    Args:
        stem_length_mm: l_1, old stem. [mm]
        stem_angle_deg: a_1, old stem's angle, up positive. [°]
        new_stem_length_mm: l_2, new stem. [mm]
        new_stem_angle_deg: a_2, new stem's angle, up positive. [°]
        head_angle_deg: h, steerer from the horizontal. [°]
        spacer_change_mm: s, spacers added under the stem, negative if taken out. [mm]

    Returns:
        d, change of height. [mm]

    Accuracy:
        Within 1 mm for stems whose clamps are equally high.

    Source:
        frame-fit-8, geometry

    >>> round(float(bar_height_change_mm(110.0, -6.0, 110.0, 17.0, 90.0)), 1)
    43.7
    """
    p = radians(90 - head_angle_deg)
    return (
        new_stem_length_mm * sin(p + radians(new_stem_angle_deg))
        - stem_length_mm * sin(p + radians(stem_angle_deg))
        + spacer_change_mm * cos(p)
    )


@valid(
    stem_length_mm=(20, 180, "from downhill stems to old racing stems"),
    stem_angle_deg=(-45, 60, "from a square line off the steerer; up is positive"),
    new_stem_length_mm=(20, 180, "from downhill stems to old racing stems"),
    new_stem_angle_deg=(-45, 60, "from a square line off the steerer; up is positive"),
    head_angle_deg=_HEAD_ANGLE,
    spacer_change_mm=(-120, 120, "spacers moved from or to the place under the stem"),
)
def bar_reach_change_mm(
    stem_length_mm: Mm,
    stem_angle_deg: Deg,
    new_stem_length_mm: Mm,
    new_stem_angle_deg: Deg,
    head_angle_deg: Deg = 73,
    spacer_change_mm: Mm = 0,
) -> Mm:
    """How much further away (positive) the bar stands with another stem and other spacers under it.

    Formula:
        p = radians(90 - h)
        d = l_2 * cos(p + radians(a_2)) - l_1 * cos(p + radians(a_1)) - s * sin(p)

    Args:
        stem_length_mm: l_1, old stem. [mm]
        stem_angle_deg: a_1, old stem's angle, up positive. [°]
        new_stem_length_mm: l_2, new stem. [mm]
        new_stem_angle_deg: a_2, new stem's angle, up positive. [°]
        head_angle_deg: h, steerer from the horizontal. [°]
        spacer_change_mm: s, spacers added under the stem, negative if taken out. [mm]

    Returns:
        d, change of reach. [mm]

    Accuracy:
        Within 1 mm for stems whose clamps are equally high.

    Source:
        frame-fit-8, geometry

    >>> round(float(bar_reach_change_mm(110.0, -6.0, 110.0, 17.0, 90.0)), 1)
    -4.2
    """
    p = radians(90 - head_angle_deg)
    return (
        new_stem_length_mm * cos(p + radians(new_stem_angle_deg))
        - stem_length_mm * cos(p + radians(stem_angle_deg))
        - spacer_change_mm * sin(p)
    )


@valid(
    saddle_height_mm=(250, 1000, "crank axle to saddle top, from a small child to the tallest riders"),
    seat_tube_angle_deg=(55, 85, "from step-through frames to time-trial frames"),
)
def saddle_behind_axle_mm(saddle_height_mm: Mm, seat_tube_angle_deg: Deg) -> Mm:
    """How far behind the crank axle a point of the seat tube's line lies at saddle height.

    Formula:
        b = h * cos(radians(t))

    Args:
        saddle_height_mm: h, crank axle to saddle top along the seat tube. [mm]
        seat_tube_angle_deg: t, seat tube from the horizontal. [°]

    Returns:
        b, distance back, on the level. [mm]

    Accuracy:
        Exact for a post without setback; add the post's own setback.

    Source:
        frame-fit-12

    >>> round(float(saddle_behind_axle_mm(750.0, 73.0)))
    219
    """
    return saddle_height_mm * cos(radians(seat_tube_angle_deg))


@valid(
    saddle_height_mm=(250, 1000, "crank axle to saddle top, from a small child to the tallest riders"),
    seat_tube_angle_deg=(55, 85, "from step-through frames to time-trial frames"),
)
def saddle_above_axle_mm(saddle_height_mm: Mm, seat_tube_angle_deg: Deg) -> Mm:
    """How far above the crank axle a point of the seat tube's line lies at saddle height.

    Formula:
        v = h * sin(radians(t))

    Args:
        saddle_height_mm: h, crank axle to saddle top along the seat tube. [mm]
        seat_tube_angle_deg: t, seat tube from the horizontal. [°]

    Returns:
        v, height above the axle. [mm]

    Accuracy:
        Exact.

    Source:
        frame-fit-12

    >>> round(float(saddle_above_axle_mm(750.0, 73.0)))
    717
    """
    return saddle_height_mm * sin(radians(seat_tube_angle_deg))


@valid(inseam_mm=(350, 1150, "from a small child to the tallest riders"))
def saddle_height_by_inseam_mm(inseam_mm: Mm) -> Mm:
    """Saddle height to start from, by the rule of 0.883 of the inseam.

    Formula:
        h = 0.883 * i

    Args:
        inseam_mm: i, crotch to floor without shoes. [mm]

    Returns:
        h, crank axle to saddle top along the seat tube. [mm]

    Accuracy:
        A start, not a finish: a fitter's own line through his riders differs by a few millimetres, single
        riders by more.

    Source:
        frame-fit-29

    >>> round(float(saddle_height_by_inseam_mm(830.0)))
    733
    """
    return 0.883 * inseam_mm


@valid(
    inseam_mm=(350, 1150, "from a small child to the tallest riders"),
    standover_height_mm=(200, 1000, "ground to top tube where the rider stands over it"),
)
def standover_clearance_mm(inseam_mm: Mm, standover_height_mm: Mm) -> Mm:
    """Room between the crotch and the top tube, rider standing over the bicycle.

    Formula:
        c = i - s

    Args:
        inseam_mm: i, crotch to floor; shoes add their sole. [mm]
        standover_height_mm: s, ground to top tube. [mm]

    Returns:
        c, room to spare. [mm]

    Accuracy:
        About 10 mm; step-through frames need none.

    Source:
        frame-fit-23

    >>> float(standover_clearance_mm(820.0, 760.0))
    60.0
    """
    return inseam_mm - standover_height_mm


@valid(
    wheel_radius_mm=(100, 400, "from small folding wheels to 36-inch wheels"),
    head_angle_deg=_HEAD_ANGLE,
    fork_offset_mm=(-60, 120, "from reversed forks to porteur forks"),
)
def trail_mm(wheel_radius_mm: Mm, head_angle_deg: Deg, fork_offset_mm: Mm) -> Mm:
    """Trail: how far the tyre touches the ground behind the point to which the steering axis leads.

    Formula:
        t = (r * cos(radians(h)) - o) / sin(radians(h))

    Args:
        wheel_radius_mm: r, ground to axle, tyre pumped. [mm]
        head_angle_deg: h, steering axis from the horizontal. [°]
        fork_offset_mm: o, axle ahead of the steering axis, square to it. [mm]

    Returns:
        t, trail on the ground. [mm]

    Accuracy:
        Exact; half a degree of head angle is about 3 mm of trail.

    Source:
        frame-fit-10, geometry

    >>> round(float(trail_mm(336.0, 73.0, 50.0)), 1)
    50.4
    """
    angle = radians(head_angle_deg)
    return (wheel_radius_mm * cos(angle) - fork_offset_mm) / sin(angle)


@valid(trail_mm=(-100, 200, "any steering that can be ridden"), head_angle_deg=_HEAD_ANGLE)
def wheel_flop_mm(trail_mm: Mm, head_angle_deg: Deg) -> Mm:
    """Wheel flop: how strongly the front end drops, and so pulls the wheel aside, when the bar is turned.

    Formula:
        f = t * sin(radians(h)) * cos(radians(h))

    Args:
        trail_mm: t, trail on the ground. [mm]
        head_angle_deg: h, steering axis from the horizontal. [°]

    Returns:
        f, flop factor. [mm]

    Accuracy:
        Exact as defined; how it feels hangs on the load in front as well.

    Source:
        geometry

    >>> round(float(wheel_flop_mm(57.0, 73.0)), 1)
    15.9
    """
    angle = radians(head_angle_deg)
    return trail_mm * sin(angle) * cos(angle)


@valid(
    fork_length_mm=(250, 700, "crown-race seat to axle, from small wheels to long-travel forks"),
    new_fork_length_mm=(250, 700, "crown-race seat to axle, from small wheels to long-travel forks"),
    wheelbase_mm=(700, 1500, "from children's bicycles to long mountain bicycles"),
)
def head_angle_slackened_deg(fork_length_mm: Mm, new_fork_length_mm: Mm, wheelbase_mm: Mm) -> Deg:
    """How much slacker (positive) the head angle, and the seat tube with it, gets with a longer fork.

    Formula:
        a = degrees(asin((l_2 - l_1) / w))

    Args:
        fork_length_mm: l_1, old fork, crown-race seat to axle. [mm]
        new_fork_length_mm: l_2, new fork, crown-race seat to axle. [mm]
        wheelbase_mm: w, front axle to rear axle. [mm]

    Returns:
        a, degrees by which the whole frame tips back. [°]

    Accuracy:
        Within a tenth of a degree, as the front end is lifted almost upright; offset is left out.

    Caution:
        A fork much longer than the frame was made for also loads the head tube more: ask the frame's maker.

    Source:
        geometry

    >>> round(float(head_angle_slackened_deg(450.0, 470.0, 1050.0)), 2)
    1.09
    """
    return degrees(arcsin((new_fork_length_mm - fork_length_mm) / wheelbase_mm))


@valid(
    frame_reach_mm=(200, 600, "crank axle to the top of the head tube, on the level"),
    frame_stack_mm=(300, 750, "crank axle to the top of the head tube, upright"),
    bottom_bracket_drop_mm=(-60, 120, "crank axle below the line of the wheel axles"),
    head_angle_deg=(55, 85, "from downhill bicycles to pursuit bicycles"),
    fork_offset_mm=(-60, 120, "from reversed forks to porteur forks"),
)
def front_centre_mm(
    frame_reach_mm: Mm,
    frame_stack_mm: Mm,
    bottom_bracket_drop_mm: Mm,
    head_angle_deg: Deg,
    fork_offset_mm: Mm,
) -> Mm:
    """Front centre: crank axle to front axle in a straight line, from the figures of a frame's chart.

    Formula:
        x = q + (s - b) / tan(radians(h)) + o / sin(radians(h))
        f = sqrt(x ** 2 + b ** 2)

    Args:
        frame_reach_mm: q, reach of the frame. [mm]
        frame_stack_mm: s, stack of the frame. [mm]
        bottom_bracket_drop_mm: b, crank axle below the line of the wheel axles. [mm]
        head_angle_deg: h, steering axis from the horizontal. [°]
        fork_offset_mm: o, axle ahead of the steering axis, square to it. [mm]

    Returns:
        f, front centre. [mm]

    Accuracy:
        Within 2 mm of a measured bicycle if the chart was drawn for its fork.

    Source:
        geometry

    >>> round(float(front_centre_mm(385.0, 560.0, 70.0, 73.0, 45.0)))
    586
    """
    angle = radians(head_angle_deg)
    level = (
        frame_reach_mm + (frame_stack_mm - bottom_bracket_drop_mm) / tan(angle) + fork_offset_mm / sin(angle)
    )
    return sqrt(level**2 + bottom_bracket_drop_mm**2)


@valid(
    front_centre_mm=(350, 1100, "from children's bicycles to long mountain bicycles"),
    chainstay_length_mm=(300, 700, "from small wheels to cargo bicycles"),
    bottom_bracket_drop_mm=(-60, 120, "crank axle below the line of the wheel axles"),
)
def wheelbase_mm(front_centre_mm: Mm, chainstay_length_mm: Mm, bottom_bracket_drop_mm: Mm = 70) -> Mm:
    """Wheelbase: front axle to rear axle.

    Formula:
        w = sqrt(f ** 2 - b ** 2) + sqrt(c ** 2 - b ** 2)

    Args:
        front_centre_mm: f, crank axle to front axle. [mm]
        chainstay_length_mm: c, crank axle to rear axle. [mm]
        bottom_bracket_drop_mm: b, crank axle below the line of the wheel axles. [mm]

    Returns:
        w, wheelbase. [mm]

    Accuracy:
        Exact for wheels of one size.

    Source:
        geometry

    >>> round(float(wheelbase_mm(586.0, 410.0)))
    986
    """
    return sqrt(front_centre_mm**2 - bottom_bracket_drop_mm**2) + sqrt(
        chainstay_length_mm**2 - bottom_bracket_drop_mm**2
    )


@valid(
    front_centre_mm=(350, 1100, "from children's bicycles to long mountain bicycles"),
    wheel_radius_mm=(100, 400, "from small folding wheels to 36-inch wheels"),
    crank_length_mm=(80, 250, "children's arms start near 90 mm, trial arms have gone to 220 mm"),
    mudguard_gap_mm=(0, 60, "from the tyre to the outside of its mudguard"),
)
def toe_clearance_mm(
    front_centre_mm: Mm, wheel_radius_mm: Mm, crank_length_mm: Mm, mudguard_gap_mm: Mm = 0
) -> Mm:
    """Room from the forward pedal's middle to the tyre or mudguard behind the front axle.

    Formula:
        c = f - r - m - l

    Args:
        front_centre_mm: f, crank axle to front axle. [mm]
        wheel_radius_mm: r, outside radius of the front tyre. [mm]
        crank_length_mm: l, axle middle to pedal middle. [mm]
        mudguard_gap_mm: m, from the tyre to the outside of its mudguard; 0 without one. [mm]

    Returns:
        c, room along the line of the axles. [mm]

    Accuracy:
        Within 5 mm; the tyre's arc bends away from a foot that stands further out.

    Source:
        cfr-1512, geometry

    >>> float(toe_clearance_mm(600.0, 339.0, 170.0))
    91.0
    """
    return front_centre_mm - wheel_radius_mm - mudguard_gap_mm - crank_length_mm


@valid(
    toe_clearance_mm=(-200, 600, "from the pedal's middle to the tyre"),
    toe_past_pedal_mm=(0, 200, "from the pedal's middle to the tip of the shoe"),
)
def toe_overlap_margin_mm(toe_clearance_mm: Mm, toe_past_pedal_mm: Mm) -> Mm:
    """Room between the tip of the shoe and the turned front wheel; the toe meets it when negative.

    Formula:
        s = c - t

    Args:
        toe_clearance_mm: c, from the pedal's middle to the tyre or mudguard. [mm]
        toe_past_pedal_mm: t, from the pedal's middle to the tip of the shoe. [mm]

    Returns:
        s, room to spare. [mm]

    Accuracy:
        Within 10 mm, as feet point in or out; turn the wheel with the shoe on to be sure.

    Caution:
        A toe against a turned wheel can throw the rider at walking speed.

    Source:
        geometry

    >>> float(toe_overlap_margin_mm(91.0, 100.0))
    -9.0
    """
    return toe_clearance_mm - toe_past_pedal_mm


@valid(
    stay_gap_mm=(10, 200, "between stays, fork blades or brake arms at the tyre"),
    mudguard_width_mm=(15, 120, "mudguards for tyres up to 100 mm"),
)
def mudguard_side_room_mm(stay_gap_mm: Mm, mudguard_width_mm: Mm) -> Mm:
    """Room on each side of a mudguard where it passes between stays or fork blades.

    Formula:
        s = (f - m) / 2

    Args:
        stay_gap_mm: f, inside gap at the height of the tyre. [mm]
        mudguard_width_mm: m, outside width of the mudguard. [mm]

    Returns:
        s, room on each side, none when negative. [mm]

    Accuracy:
        Exact for a mudguard in the middle.

    Source:
        geometry

    >>> float(mudguard_side_room_mm(56.0, 45.0))
    5.5
    """
    return (stay_gap_mm - mudguard_width_mm) / 2


@valid(
    mudguard_width_mm=(15, 120, "mudguards for tyres up to 100 mm"),
    tyre_width_mm=(15, 130, "from track tubulars to fat tyres"),
)
def mudguard_over_tyre_mm(mudguard_width_mm: Mm, tyre_width_mm: Mm) -> Mm:
    """How much wider the mudguard is than the tyre under it.

    Formula:
        o = m - t

    Args:
        mudguard_width_mm: m, outside width of the mudguard. [mm]
        tyre_width_mm: t, width of the fitted tyre. [mm]

    Returns:
        o, width to spare, both sides together. [mm]

    Accuracy:
        Exact; tyres are often a millimetre or two off their marking.

    Source:
        frame-fit-28

    >>> float(mudguard_over_tyre_mm(45.0, 35.0))
    10.0
    """
    return mudguard_width_mm - tyre_width_mm


@valid(
    tyre_width_mm=(10, 130, "from track tubulars to fat tyres"),
    mudguard_overhang_mm=(0, 40, "published: 10 to 12 mm"),
)
def mudguard_width_wanted_mm(tyre_width_mm: Mm, mudguard_overhang_mm: Mm = 10) -> Mm:
    """Mudguard width that keeps the spray of a tyre in.

    Formula:
        m = t + o

    Args:
        tyre_width_mm: t, width of the fitted tyre. [mm]
        mudguard_overhang_mm: o, how much wider the mudguard is, both sides together. [mm]

    Returns:
        m, mudguard width. [mm]

    Accuracy:
        A rule of thumb; take the next size that is sold and that passes the frame.

    Source:
        frame-fit-28

    >>> float(mudguard_width_wanted_mm(35.0))
    45.0
    """
    return tyre_width_mm + mudguard_overhang_mm


@valid(
    dent_depth_mm=(0, 40, "no deeper than a tube is wide"),
    tube_diameter_mm=(15, 110, "tubes of bicycle frames"),
)
def dent_depth_pct(dent_depth_mm: Mm, tube_diameter_mm: Mm) -> Pct:
    """Depth of a dent as a share of the tube's diameter.

    Formula:
        p = 100 * t / d

    Args:
        dent_depth_mm: t, from a straight rule along the tube to the bottom of the dent. [mm]
        tube_diameter_mm: d, outside diameter of the tube beside the dent. [mm]

    Returns:
        p, share of the diameter. [%]

    Accuracy:
        As good as the rule; it says how large the dent is, not how strong the tube still is.

    Source:
        arithmetic

    >>> float(dent_depth_pct(2.0, 32.0))
    6.25
    """
    return 100 * dent_depth_mm / tube_diameter_mm


@valid(
    upgrade_cost_money=(0, 1e9, "any currency"),
    replacement_cost_money=(0.01, 1e9, "any currency, and more than nothing"),
)
def upgrade_share_pct(upgrade_cost_money: Money, replacement_cost_money: Money) -> Pct:
    """Cost of an upgrade as a share of a bicycle that has it from the start.

    Formula:
        p = 100 * u / n

    Args:
        upgrade_cost_money: u, parts, tools and labour. [in your money]
        replacement_cost_money: n, new or used bicycle of the wanted kind. [in your money]

    Returns:
        p, share. [%]

    Accuracy:
        As good as the two prices; count every part that must follow.

    Source:
        arithmetic

    >>> float(upgrade_share_pct(450.0, 900.0))
    50.0
    """
    return 100 * upgrade_cost_money / replacement_cost_money


@valid(
    head_tube_bore_mm=(20, 80, "bores met in the trade are 30 to 62 mm"),
    headset_bore_mm=(20, 80, "bores met in the trade are 30 to 62 mm"),
)
def headset_bore_difference_mm(head_tube_bore_mm: Mm, headset_bore_mm: Mm) -> Mm:
    """How much the bore that a headset is coded for differs from the head tube's.

    Formula:
        d = c - b

    Args:
        head_tube_bore_mm: b, measured bore of the head tube. [mm]
        headset_bore_mm: c, number before the slash of the headset's code. [mm]

    Returns:
        d, code less bore. [mm]

    Accuracy:
        Codes are rounded to a millimetre, so anything beyond 0.5 mm is another size.

    Source:
        trade-42, trade-44

    >>> float(headset_bore_difference_mm(44.0, 44.0))
    0.0
    """
    return headset_bore_mm - head_tube_bore_mm


@dataclass(frozen=True, slots=True)
class HeadsetCode:
    """One half of a headset by its code: how it sits, what it sits in and what passes through it."""

    seat: str
    bore_mm: float
    steerer_mm: float


SEATS = {
    "EC": "external cup",
    "ZS": "cup inside the head tube, flush with its end",
    "IS": "bearing straight in the frame",
}
_CODE = re.compile(r"^\s*(EC|ZS|IS)\s*(\d+(?:\.\d+)?)\s*/\s*(\d+(?:\.\d+)?)\s*$", re.IGNORECASE)


def headset_code(text: str) -> HeadsetCode:
    """What a headset half's code says: seat, bore (bearing diameter for IS) and steerer or crown seat.

    Raises:
        ValueError: the text is not two letters, a bore, a slash and a steerer.

    >>> headset_code("ZS44/28.6")
    HeadsetCode(seat='cup inside the head tube, flush with its end', bore_mm=44.0, steerer_mm=28.6)
    """
    match = _CODE.match(text)
    if match is None:
        raise ValueError(f'headset code: expected a form such as ZS44/28.6, got "{text.strip()}"')
    return HeadsetCode(SEATS[match[1].upper()], float(match[2]), float(match[3]))
