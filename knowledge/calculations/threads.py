"""Screw threads and bolted joints: geometry, strength, preload and torque, repair sizes."""

from __future__ import annotations

import numpy as np
from numpy import cos, pi, radians

from knowledge.calculation import valid
from knowledge.tables import rows
from knowledge.units import NM, Deg, Gpa, K, Kgf, Mm, Mm2, Mpa, N, Pct, PerInch, PerK, Pure, Um, Word

STEEL_MODULUS_GPA = 200.0
STEEL_EXPANSION_PER_K = 12e-6

TAPPED_THREADS = ("M3x0.5", "M4x0.7", "M5x0.8", "M6x1", "M8x1.25", "M10x1.5", "M10x1")
SCREWS = ("M3", "M4", "M5", "M6", "M8", "M10")
BOLT_CLASSES = ("class-8-8", "class-10-9", "class-12-9", "stainless-70", "stainless-80")
JOINTS = (
    "stem-face-plate", "stem-steerer", "quill-stem", "headset-top-cap", "headset-locknut", "seatpost-collar",
    "saddle-clamp", "brake-lever-clamp", "shifter-clamp", "crank-bolt", "crank-pinch-bolt", "chainring-bolt",
    "chainring-bolt-steel", "bottom-bracket-cup", "pedal", "cassette-lockring", "rotor-bolt",
    "rotor-lockring", "disc-calliper-bolt", "rim-pad-bolt-direct-pull", "rim-pad-bolt-road",
    "brake-cable-anchor", "rear-derailleur-bolt", "front-derailleur-band", "front-derailleur-braze-on",
    "derailleur-cable-anchor", "front-through-axle", "rear-through-axle",
)  # fmt: skip

_DIAMETER = (3.0, 60.0, "from limit screws to bottom-bracket shells; spokes have their own form")
_PITCH = (0.2, 2.5, "from fine adjusters to coarse 18 mm bolts")
_PRELOAD = (0.0, 300_000.0, "a preload of nothing or more")
_NUT_FACTOR = (0.08, 0.5, "from waxed bolts to rusty ones; 0.15 oiled, 0.2 as delivered")
_AREA = (2.0, 600.0, "stress areas of 2 to 24 mm bolts")
_BREADTH = (2.0, 200.0, "shear area of 3 to 60 mm threads for each millimetre")
_LENGTH = (0.0, 120.0, "threads of bicycle parts")
_MODULUS = (20.0, 250.0, "from soft light alloys to steel")


# Geometry


@valid(threads_per_in=(8, 100, "bicycle threads lie between 20 and 56"))
def thread_pitch_mm(threads_per_in: PerInch) -> Mm:
    """Pitch in millimetres of a thread counted by the inch.

    Formula:
        P = 25.4 / n

    Args:
        threads_per_in: n, threads in an inch. [per inch]

    Returns:
        P, pitch. [mm]

    Accuracy:
        Exact: the inch is 25.4 mm by definition.

    Source:
        arithmetic

    >>> round(float(thread_pitch_mm(24)), 4)
    1.0583
    """
    return 25.4 / np.asarray(threads_per_in)


@valid(thread_pitch_mm=_PITCH)
def thread_count_per_in(thread_pitch_mm: Mm) -> PerInch:
    """Threads to the inch of a pitch in millimetres, to tell an inch thread from a metric one.

    Formula:
        n = 25.4 / P

    Args:
        thread_pitch_mm: P, pitch. [mm]

    Returns:
        n, threads in an inch. [per inch]

    Accuracy:
        Exact; a result near a whole number is likely an inch thread.

    Source:
        arithmetic

    >>> float(thread_count_per_in(1.27))
    20.0
    """
    return 25.4 / np.asarray(thread_pitch_mm)


@valid(
    measured_length_mm=(1, 60, "what a calliper spans on a screw"),
    measured_turns_count=(1, 80, "count ten turns for a good reading"),
)
def measured_pitch_mm(measured_length_mm: Mm, measured_turns_count: Pure) -> Mm:
    """Pitch of an unknown thread from the length of several turns.

    Formula:
        P = l / z

    Args:
        measured_length_mm: l, length from crest to crest. [mm]
        measured_turns_count: z, turns in that length. [-]

    Returns:
        P, pitch. [mm]

    Accuracy:
        The calliper's 0.05 mm over the number of turns; a thread gauge settles it.

    Source:
        arithmetic

    >>> float(measured_pitch_mm(10.0, 10))
    1.0
    """
    return np.asarray(measured_length_mm) / np.asarray(measured_turns_count)


@valid(thread_pitch_mm=_PITCH)
def thread_profile_height_mm(thread_pitch_mm: Mm) -> Mm:
    """Height of the sharp 60° triangle on which metric and most bicycle threads are built.

    Formula:
        H = 0.866025 * P

    Args:
        thread_pitch_mm: P, pitch. [mm]

    Returns:
        H, height of the triangle. [mm]

    Accuracy:
        Exact to the digits; half the square root of three.

    Source:
        iso-68-1, trade-61

    >>> round(float(thread_profile_height_mm(1)), 3)
    0.866
    """
    return 0.866025 * np.asarray(thread_pitch_mm)


@valid(thread_diameter_mm=_DIAMETER, thread_pitch_mm=_PITCH)
def thread_pitch_diameter_mm(thread_diameter_mm: Mm, thread_pitch_mm: Mm) -> Mm:
    """Diameter at which thread and gap are equally wide.

    Formula:
        d_2 = d - 0.649519 * P

    Args:
        thread_diameter_mm: d, outside diameter of the screw. [mm]
        thread_pitch_mm: P, pitch. [mm]

    Returns:
        d_2, pitch diameter. [mm]

    Accuracy:
        Basic profile; real screws are a few hundredths smaller.

    Source:
        iso-724, trade-52

    >>> round(float(thread_pitch_diameter_mm(9, 1)), 3)
    8.35
    """
    return np.asarray(thread_diameter_mm) - 0.649519 * np.asarray(thread_pitch_mm)


@valid(thread_diameter_mm=_DIAMETER, thread_pitch_mm=_PITCH)
def thread_minor_diameter_mm(thread_diameter_mm: Mm, thread_pitch_mm: Mm) -> Mm:
    """Inside diameter of the nut's thread.

    Formula:
        D_1 = d - 1.082532 * P

    Args:
        thread_diameter_mm: d, outside diameter of the screw. [mm]
        thread_pitch_mm: P, pitch. [mm]

    Returns:
        D_1, minor diameter of the internal thread. [mm]

    Accuracy:
        Basic profile; real nuts are a little larger.

    Source:
        iso-724, trade-52, trade-61

    >>> round(float(thread_minor_diameter_mm(9, 1)), 3)
    7.917
    """
    return np.asarray(thread_diameter_mm) - 1.082532 * np.asarray(thread_pitch_mm)


@valid(thread_diameter_mm=_DIAMETER, thread_pitch_mm=_PITCH)
def thread_root_diameter_mm(thread_diameter_mm: Mm, thread_pitch_mm: Mm) -> Mm:
    """Diameter at the root of the screw's thread, where it is thinnest.

    Formula:
        d_3 = d - 1.2268 * P

    Args:
        thread_diameter_mm: d, outside diameter of the screw. [mm]
        thread_pitch_mm: P, pitch. [mm]

    Returns:
        d_3, root diameter of the external thread. [mm]

    Accuracy:
        Rounded root of the basic profile.

    Source:
        trade-4, iso-724

    >>> round(float(thread_root_diameter_mm(18, 2.5)), 3)
    14.933
    """
    return np.asarray(thread_diameter_mm) - 1.2268 * np.asarray(thread_pitch_mm)


@valid(thread_diameter_mm=_DIAMETER, thread_pitch_mm=_PITCH)
def thread_lead_angle_deg(thread_diameter_mm: Mm, thread_pitch_mm: Mm) -> Deg:
    """Slope of the thread round the pitch diameter.

    Formula:
        lambda_ = degrees(atan(P / (pi * (d - 0.649519 * P))))

    Args:
        thread_diameter_mm: d, outside diameter of the screw. [mm]
        thread_pitch_mm: P, pitch. [mm]

    Returns:
        lambda_, lead angle. [°]

    Accuracy:
        Single-start threads.

    Source:
        geometry, iso-724

    >>> round(float(thread_lead_angle_deg(5, 0.8)), 2)
    3.25
    """
    pitch = np.asarray(thread_pitch_mm)
    return np.degrees(np.arctan(pitch / (pi * (np.asarray(thread_diameter_mm) - 0.649519 * pitch))))


@valid(thread_diameter_mm=_DIAMETER, thread_pitch_mm=_PITCH)
def tap_drill_mm(thread_diameter_mm: Mm, thread_pitch_mm: Mm) -> Mm:
    """Drill for a cutting tap.

    Formula:
        D = d - P

    Args:
        thread_diameter_mm: d, outside diameter of the screw. [mm]
        thread_pitch_mm: P, pitch. [mm]

    Returns:
        D, drill diameter. [mm]

    Accuracy:
        Leaves about 75 % of the thread or a little more; take the next drill that is sold.

    Source:
        trade-61, trade-15, trade-80

    >>> float(tap_drill_mm(6, 1))
    5.0
    """
    return np.asarray(thread_diameter_mm, dtype=float) - np.asarray(thread_pitch_mm)


@valid(
    thread_diameter_mm=_DIAMETER,
    thread_pitch_mm=_PITCH,
    bored_hole_mm=(2, 61, "the hole as drilled or as found"),
)
def thread_depth_pct(thread_diameter_mm: Mm, thread_pitch_mm: Mm, bored_hole_mm: Mm) -> Pct:
    """How much of the full thread's height a hole of that size leaves.

    Formula:
        q = 100 * (d - D) / (1.299038 * P)

    Args:
        thread_diameter_mm: d, outside diameter of the screw. [mm]
        thread_pitch_mm: P, pitch. [mm]
        bored_hole_mm: D, diameter of the hole. [mm]

    Returns:
        q, depth of the thread. [%]

    Accuracy:
        By the workshop's count, in which a drill of diameter less pitch leaves 77 %.

    Source:
        iso-724, common-practice

    >>> round(float(thread_depth_pct(6, 1, 5)))
    77
    """
    return (
        100
        * (np.asarray(thread_diameter_mm) - np.asarray(bored_hole_mm))
        / (1.299038 * np.asarray(thread_pitch_mm))
    )


@valid(thread_size=TAPPED_THREADS, stock=("soft", "hard"))
def listed_tap_drill_mm(thread_size: Word, stock: Word) -> Mm:
    """Drill that the workshop table prints for a tap.

    Rule:
        The row of the table of tap drills with that thread, for soft or hard stock, gives it.

    Args:
        thread_size: the thread. [word]
        stock: soft for aluminium and its like or hard for steel and titanium. [word]

    Returns:
        D, drill diameter. [mm]

    Accuracy:
        As printed.

    Source:
        trade-15, trade-80

    >>> float(listed_tap_drill_mm("M10x1", "hard"))
    9.4
    """
    return next(
        float(row["drill_mm"])
        for row in rows("threads/tap_drills")
        if row["thread_size"] == thread_size and row["stock"] == stock
    )


@valid(screw=SCREWS, hole_fit=("close", "normal", "loose"))
def clearance_hole_mm(screw: Word, hole_fit: Word) -> Mm:
    """Hole through which a screw passes freely.

    Rule:
        The row of the table of clearance holes with that screw and fit gives it.

    Args:
        screw: nominal size of the screw. [word]
        hole_fit: how closely the hole fits. [word]

    Returns:
        D, hole diameter. [mm]

    Accuracy:
        As printed.

    Source:
        trade-15

    >>> float(clearance_hole_mm("M5", "normal"))
    5.5
    """
    return next(
        float(row["hole_mm"])
        for row in rows("threads/clearance_holes")
        if row["screw"] == screw and row["fit"] == hole_fit
    )


# Strength


@valid(thread_diameter_mm=_DIAMETER, thread_pitch_mm=_PITCH)
def tensile_stress_area_mm2(thread_diameter_mm: Mm, thread_pitch_mm: Mm) -> Mm2:
    """Cross-section with which a threaded bolt carries tension.

    Formula:
        A = pi / 4 * (d - 0.9382 * P)**2

    Args:
        thread_diameter_mm: d, outside diameter of the screw. [mm]
        thread_pitch_mm: P, pitch. [mm]

    Returns:
        A, tensile stress area. [mm²]

    Accuracy:
        The standard's mean of pitch and root diameter.

    Source:
        trade-4

    >>> round(float(tensile_stress_area_mm2(5, 0.8)), 1)
    14.2
    """
    return pi / 4 * (np.asarray(thread_diameter_mm) - 0.9382 * np.asarray(thread_pitch_mm)) ** 2


@valid(
    screw_major_mm=_DIAMETER,
    nut_pitch_diameter_mm=(2, 61, "pitch diameter of 3 to 60 mm threads"),
    thread_pitch_mm=(0.35, 2.5, "from M2 screws to coarse 18 mm bolts"),
)
def internal_shear_breadth_mm(screw_major_mm: Mm, nut_pitch_diameter_mm: Mm, thread_pitch_mm: Mm) -> Mm:
    """Area of the internal thread that must shear when it strips, for each millimetre of engagement.

    Formula:
        b = max(pi / P * D_s * (P / 2 + 0.57735 * (D_s - E_n)), 0)

    Args:
        screw_major_mm: D_s, smallest outside diameter of the screw. [mm]
        nut_pitch_diameter_mm: E_n, largest pitch diameter of the internal thread. [mm]
        thread_pitch_mm: P, pitch. [mm]

    Returns:
        b, square millimetres for each millimetre. [mm]

    Accuracy:
        Take the smallest screw and the largest nut of their tolerances; nominal sizes flatter it.

    Source:
        trade-50, trade-51

    >>> round(float(internal_shear_breadth_mm(9.968, 9.206, 1.5)), 2)
    24.84
    """
    D_s, P = np.asarray(screw_major_mm), np.asarray(thread_pitch_mm)
    return np.maximum(pi / P * D_s * (P / 2 + 0.57735 * (D_s - np.asarray(nut_pitch_diameter_mm))), 0)


@valid(
    bolt_load_n=_PRELOAD,
    shear_strength_mpa=(20, 1000, "from soft aluminium to hard steel"),
    internal_shear_breadth_mm=_BREADTH,
)
def engagement_for_load_mm(bolt_load_n: N, shear_strength_mpa: Mpa, internal_shear_breadth_mm: Mm) -> Mm:
    """Length of thread that must be screwed in before a load would strip the hole.

    Formula:
        L = F / (tau * b)

    Args:
        bolt_load_n: F, load on the bolt. [N]
        shear_strength_mpa: tau, shear strength of the part with the internal thread. [MPa]
        internal_shear_breadth_mm: b, shear area for each millimetre. [mm]

    Returns:
        L, engagement at which it just strips. [mm]

    Accuracy:
        The bare limit without a margin; the first turn of a screw hardly counts.

    Source:
        trade-50, trade-51

    >>> round(float(engagement_for_load_mm(69_600, 130, 24.84)), 1)
    21.6
    """
    return np.asarray(bolt_load_n) / (np.asarray(shear_strength_mpa) * internal_shear_breadth_mm)


@valid(
    tensile_stress_area_mm2=_AREA,
    internal_shear_breadth_mm=_BREADTH,
    strength_ratio=(0.3, 8, "1 for equal stuff, about 3 for a hard steel bolt in aluminium"),
)
def engagement_for_bolt_strength_mm(
    tensile_stress_area_mm2: Mm2, internal_shear_breadth_mm: Mm, strength_ratio: Pure = 1.0
) -> Mm:
    """Length of thread with which the bolt breaks before the hole strips.

    Formula:
        L = 2 * A * J / b

    Args:
        tensile_stress_area_mm2: A, tensile stress area of the bolt. [mm²]
        internal_shear_breadth_mm: b, shear area for each millimetre. [mm]
        strength_ratio: J, strength of the bolt over that of the part with the internal thread. [-]

    Returns:
        L, engagement needed. [mm]

    Accuracy:
        Takes shear strength as half the tensile strength.

    Source:
        trade-51

    >>> round(float(engagement_for_bolt_strength_mm(14.2, 12.1)), 1)
    2.3
    """
    return 2 * np.asarray(tensile_stress_area_mm2) * strength_ratio / internal_shear_breadth_mm


@valid(
    thread_engaged_mm=_LENGTH,
    internal_shear_breadth_mm=_BREADTH,
    shear_strength_mpa=(20, 1000, "from soft aluminium to hard steel"),
)
def stripping_force_n(thread_engaged_mm: Mm, internal_shear_breadth_mm: Mm, shear_strength_mpa: Mpa) -> N:
    """Pull at which the internal thread strips.

    Formula:
        F = L * b * tau

    Args:
        thread_engaged_mm: L, length of thread screwed in. [mm]
        internal_shear_breadth_mm: b, shear area for each millimetre. [mm]
        shear_strength_mpa: tau, shear strength of the part with the internal thread. [MPa]

    Returns:
        F, pull that strips it. [N]

    Accuracy:
        New, clean threads; worn or corroded ones hold less.

    Source:
        trade-50, trade-51

    >>> round(float(stripping_force_n(10, 12.1, 130)))
    15730
    """
    return np.asarray(thread_engaged_mm) * internal_shear_breadth_mm * shear_strength_mpa


@valid(
    thread_engaged_mm=_LENGTH,
    damaged_turns_count=(0, 40, "turns that are spoiled, counted from the mouth"),
    thread_pitch_mm=_PITCH,
)
def engagement_left_mm(thread_engaged_mm: Mm, damaged_turns_count: Pure, thread_pitch_mm: Mm) -> Mm:
    """Length of sound thread that is left after some turns were spoiled.

    Formula:
        L = max(L_0 - z * P, 0)

    Args:
        thread_engaged_mm: L_0, length of thread when whole. [mm]
        damaged_turns_count: z, spoiled turns. [-]
        thread_pitch_mm: P, pitch. [mm]

    Returns:
        L, sound length. [mm]

    Accuracy:
        Half-spoiled turns count as spoiled.

    Source:
        arithmetic

    >>> round(float(engagement_left_mm(12, 3, 1.27)), 2)
    8.19
    """
    return np.maximum(np.asarray(thread_engaged_mm) - np.asarray(damaged_turns_count) * thread_pitch_mm, 0)


@valid(engagement_left_mm=_LENGTH, thread_diameter_mm=_DIAMETER)
def engagement_ratio(engagement_left_mm: Mm, thread_diameter_mm: Mm) -> Pure:
    """Sound thread in bolt diameters, the workshop's measure of whether it will hold.

    Formula:
        r = L / d

    Args:
        engagement_left_mm: L, sound length of thread. [mm]
        thread_diameter_mm: d, outside diameter of the screw. [mm]

    Returns:
        r, diameters of thread. [-]

    Accuracy:
        About 1 in steel and 1.5 to 2 in aluminium is common practice for full strength.

    Source:
        common-practice

    >>> float(engagement_ratio(9, 6))
    1.5
    """
    return np.asarray(engagement_left_mm) / np.asarray(thread_diameter_mm)


# Preload and torque


@valid(
    torque_n_m=(0, 200, "hand tools on a bicycle"),
    thread_diameter_mm=_DIAMETER,
    nut_factor=_NUT_FACTOR,
)
def preload_n(torque_n_m: NM, thread_diameter_mm: Mm, nut_factor: Pure = 0.2) -> N:
    """Clamp force that a torque puts into a bolt.

    Formula:
        F = T / (k * d / 1000)

    Args:
        torque_n_m: T, tightening torque. [N·m]
        thread_diameter_mm: d, outside diameter of the screw. [mm]
        nut_factor: k, 0.2 as delivered, 0.15 oiled. [-]

    Returns:
        F, preload. [N]

    Accuracy:
        Plus or minus 25 % with a good torque tool, for friction takes most of the torque.

    Source:
        trade-4, trade-5

    >>> round(float(preload_n(5, 5)))
    5000
    """
    return np.asarray(torque_n_m) / (np.asarray(nut_factor) * thread_diameter_mm / 1000)


@valid(wanted_preload_n=_PRELOAD, thread_diameter_mm=_DIAMETER, nut_factor=_NUT_FACTOR)
def torque_for_preload_n_m(wanted_preload_n: N, thread_diameter_mm: Mm, nut_factor: Pure = 0.2) -> NM:
    """Torque that puts a wanted clamp force into a bolt.

    Formula:
        T = k * F * d / 1000

    Args:
        wanted_preload_n: F, preload. [N]
        thread_diameter_mm: d, outside diameter of the screw. [mm]
        nut_factor: k, 0.2 as delivered, 0.15 oiled. [-]

    Returns:
        T, tightening torque. [N·m]

    Accuracy:
        Plus or minus 25 %.

    Caution:
        A torque marked on the part or stated by its maker goes before any that is worked out.

    Source:
        trade-4, trade-5

    >>> round(float(torque_for_preload_n_m(56_062.5, 14)), 2)
    156.97
    """
    return np.asarray(nut_factor) * wanted_preload_n * thread_diameter_mm / 1000


@valid(
    proof_strength_mpa=(50, 1300, "from aluminium bolts to the hardest steel"),
    tensile_stress_area_mm2=_AREA,
    proof_share=(0.1, 1, "0.75 to 0.9 of the proof load is usual"),
)
def proof_preload_n(proof_strength_mpa: Mpa, tensile_stress_area_mm2: Mm2, proof_share: Pure = 0.75) -> N:
    """Preload that uses a bolt well without stretching it for good.

    Formula:
        F = f * S * A

    Args:
        proof_strength_mpa: S, proof strength of the bolt. [MPa]
        tensile_stress_area_mm2: A, tensile stress area. [mm²]
        proof_share: f, share of the proof load. [-]

    Returns:
        F, preload. [N]

    Accuracy:
        The bolt's side only: a bar, a post or a carbon part is crushed long before a steel bolt is full.

    Source:
        trade-4, trade-5

    >>> round(float(proof_preload_n(650, 115)))
    56062
    """
    return np.asarray(proof_share) * proof_strength_mpa * tensile_stress_area_mm2


@valid(bolt_class=BOLT_CLASSES)
def proof_strength_mpa(bolt_class: Word) -> Mpa:
    """Proof strength of a bolt by the class on its head.

    Rule:
        The row of the table of bolt classes gives it; for stainless bolts the least yield strength.

    Args:
        bolt_class: the class on the head. [word]

    Returns:
        S, proof strength. [MPa]

    Accuracy:
        Least values for sizes up to 16 mm. Unmarked and titanium bolts: see the maker's sheet.

    Source:
        threads-bolt-classes

    >>> float(proof_strength_mpa("class-12-9"))
    970.0
    """
    return next(
        float(row["proof_strength_mpa"])
        for row in rows("threads/bolt_classes")
        if row["bolt_class"] == bolt_class
    )


@valid(preload_n=_PRELOAD, tensile_stress_area_mm2=_AREA)
def bolt_stress_mpa(preload_n: N, tensile_stress_area_mm2: Mm2) -> Mpa:
    """Tension in a tightened bolt.

    Formula:
        sigma = F / A

    Args:
        preload_n: F, preload. [N]
        tensile_stress_area_mm2: A, tensile stress area. [mm²]

    Returns:
        sigma, tensile stress. [MPa]

    Accuracy:
        Tension alone; twisting while tightening adds up to a fifth.

    Source:
        mechanics

    >>> round(float(bolt_stress_mpa(5000, 14.2)))
    352
    """
    return np.asarray(preload_n) / np.asarray(tensile_stress_area_mm2)


@valid(
    thread_diameter_mm=_DIAMETER,
    thread_pitch_mm=_PITCH,
    thread_friction=(0.02, 0.4, "from waxed to rusty"),
    head_friction=(0.02, 0.4, "from waxed to rusty"),
    thread_half_angle_deg=(0, 30, "30 degrees for metric and most bicycle threads"),
)
def nut_factor_from_friction(
    thread_diameter_mm: Mm,
    thread_pitch_mm: Mm,
    thread_friction: Pure = 0.15,
    head_friction: Pure = 0.15,
    thread_half_angle_deg: Deg = 30.0,
) -> Pure:
    """Nut factor worked out from the friction in the thread and under the head.

    Formula:
        d_m = d - 0.6134 * P
        t = P / (pi * d_m)
        s = 1 / cos(radians(alpha))
        k = d_m / (2 * d) * (t + mu * s) / (1 - mu * t * s) + 0.625 * mu_c

    Args:
        thread_diameter_mm: d, outside diameter of the screw. [mm]
        thread_pitch_mm: P, pitch. [mm]
        thread_friction: mu, friction in the thread. [-]
        head_friction: mu_c, friction under the head. [-]
        thread_half_angle_deg: alpha, half the angle of the thread. [°]

    Returns:
        k, nut factor. [-]

    Accuracy:
        The friction is the doubtful part; a factor from a test of the joint is better.

    Source:
        trade-4

    >>> round(float(nut_factor_from_friction(18, 2.5, 0.15, 0.13)), 4)
    0.1834
    """
    d_m = np.asarray(thread_diameter_mm) - 0.6134 * np.asarray(thread_pitch_mm)
    t = thread_pitch_mm / (pi * d_m)
    s = 1 / cos(radians(thread_half_angle_deg))
    return d_m / (2 * np.asarray(thread_diameter_mm)) * (t + thread_friction * s) / (
        1 - thread_friction * t * s
    ) + 0.625 * np.asarray(head_friction)


@valid(nut_factor=_NUT_FACTOR, new_nut_factor=_NUT_FACTOR)
def preload_change_pct(new_nut_factor: Pure, nut_factor: Pure = 0.2) -> Pct:
    """How much more clamp force the same torque gives when the friction changes.

    Formula:
        q = 100 * (k / k_1 - 1)

    Args:
        new_nut_factor: k_1, nut factor with the new lubricant or thread-lock. [-]
        nut_factor: k, nut factor before. [-]

    Returns:
        q, change of the preload. [%]

    Accuracy:
        As the two factors.

    Caution:
        Grease where the maker's torque is for dry threads overloads bolt and part alike.

    Source:
        trade-4, arithmetic

    >>> round(float(preload_change_pct(0.15)))
    33
    """
    return 100 * (np.asarray(nut_factor) / np.asarray(new_nut_factor) - 1)


@valid(
    torque_n_m=(0, 200, "hand tools on a bicycle"),
    nut_factor=_NUT_FACTOR,
    new_nut_factor=_NUT_FACTOR,
)
def same_preload_torque_n_m(torque_n_m: NM, new_nut_factor: Pure, nut_factor: Pure = 0.2) -> NM:
    """Torque that gives the same clamp force when the friction changes.

    Formula:
        T_1 = T * k_1 / k

    Args:
        torque_n_m: T, torque for the old friction. [N·m]
        new_nut_factor: k_1, nut factor with the new lubricant or thread-lock. [-]
        nut_factor: k, nut factor for which the torque was stated. [-]

    Returns:
        T_1, torque for the new friction. [N·m]

    Accuracy:
        As the two factors.

    Source:
        trade-4, arithmetic

    >>> round(float(same_preload_torque_n_m(5, 0.15)), 2)
    3.75
    """
    return np.asarray(torque_n_m) * np.asarray(new_nut_factor) / np.asarray(nut_factor)


@valid(
    preload_n=_PRELOAD,
    grip_length_mm=(1, 400, "length of the bolt between head and thread"),
    tensile_stress_area_mm2=_AREA,
    bolt_modulus_gpa=_MODULUS,
)
def bolt_stretch_um(
    preload_n: N, grip_length_mm: Mm, tensile_stress_area_mm2: Mm2, bolt_modulus_gpa: Gpa = STEEL_MODULUS_GPA
) -> Um:
    """How much a bolt is stretched by its preload.

    Formula:
        x = F * l / (A * E)

    Args:
        preload_n: F, preload. [N]
        grip_length_mm: l, length that is stretched. [mm]
        tensile_stress_area_mm2: A, tensile stress area. [mm²]
        bolt_modulus_gpa: E, modulus of the bolt. [GPa]

    Returns:
        x, stretch. [µm]

    Accuracy:
        One cross-section over the whole length.

    Source:
        trade-5, mechanics

    >>> round(float(bolt_stretch_um(5000, 20, 14.2)))
    35
    """
    return np.asarray(preload_n) * grip_length_mm / (np.asarray(tensile_stress_area_mm2) * bolt_modulus_gpa)


@valid(
    bolt_stretch_um=(0, 5000, "a stretch of nothing or more"),
    thread_pitch_mm=(0.2, 3, "from fine adjusters to coarse inch bolts"),
)
def turn_of_nut_deg(bolt_stretch_um: Um, thread_pitch_mm: Mm) -> Deg:
    """Angle from finger-tight that stretches a bolt so far.

    Formula:
        phi = 360 * x / (1000 * P)

    Args:
        bolt_stretch_um: x, stretch. [µm]
        thread_pitch_mm: P, pitch. [mm]

    Returns:
        phi, angle of turn. [°]

    Accuracy:
        The parts between give too, so the real angle is larger.

    Source:
        trade-5

    >>> round(float(turn_of_nut_deg(35.2, 0.8)), 1)
    15.8
    """
    return 360 * np.asarray(bolt_stretch_um) / (1000 * np.asarray(thread_pitch_mm))


@valid(
    bolt_stretch_um=(0, 5000, "a stretch of nothing or more"),
    grip_length_mm=(1, 400, "length of the bolt that is heated"),
    bolt_expansion_per_k=(1e-6, 100e-6, "from invar to plastics"),
)
def stud_heating_k(
    bolt_stretch_um: Um, grip_length_mm: Mm, bolt_expansion_per_k: PerK = STEEL_EXPANSION_PER_K
) -> K:
    """Warming that lengthens a bolt as much as its preload did.

    Formula:
        T = x / (1000 * alpha * l)

    Args:
        bolt_stretch_um: x, stretch. [µm]
        grip_length_mm: l, length of the bolt that is heated. [mm]
        bolt_expansion_per_k: alpha, expansion of the bolt. [1/K]

    Returns:
        T, warming. [K]

    Accuracy:
        The bolt alone is heated.

    Source:
        trade-5

    >>> round(float(stud_heating_k(35.2, 20)))
    147
    """
    return np.asarray(bolt_stretch_um) / (1000 * np.asarray(bolt_expansion_per_k) * grip_length_mm)


@valid(
    torque_pound_feet=(0, 200, "hand tools on a bicycle"),
)
def torque_from_pound_feet_n_m(torque_pound_feet: Pure) -> NM:
    """A torque printed in pound-force feet, in newton metres.

    Formula:
        T = T_1 * 1.3558179

    Args:
        torque_pound_feet: T_1, torque in pound-force feet. [-]

    Returns:
        T, torque. [N·m]

    Accuracy:
        Exact to the digits.

    Source:
        arithmetic

    >>> round(float(torque_from_pound_feet_n_m(30)), 1)
    40.7
    """
    return np.asarray(torque_pound_feet) * 1.3558179


@valid(torque_kilo_centimetres=(0, 2000, "hand tools on a bicycle"))
def torque_from_kilo_centimetres_n_m(torque_kilo_centimetres: Pure) -> NM:
    """A torque printed in kilogram-force centimetres, in newton metres.

    Formula:
        T = T_1 * g_n / 100

    Args:
        torque_kilo_centimetres: T_1, torque in kilogram-force centimetres. [-]

    Returns:
        T, torque. [N·m]

    Accuracy:
        Exact.

    Source:
        arithmetic

    >>> round(float(torque_from_kilo_centimetres_n_m(50)), 2)
    4.9
    """
    return np.asarray(torque_kilo_centimetres) * 9.80665 / 100


@valid(torque_n_m=(0, 200, "hand tools on a bicycle"))
def torque_in_pound_inches(torque_n_m: NM) -> Pure:
    """A torque in newton metres, in the pound-force inches of older tools.

    Formula:
        T_1 = T / 0.11298483

    Args:
        torque_n_m: T, torque. [N·m]

    Returns:
        T_1, torque in pound-force inches. [-]

    Accuracy:
        Exact to the digits.

    Source:
        arithmetic

    >>> round(float(torque_in_pound_inches(5)), 1)
    44.3
    """
    return np.asarray(torque_n_m) / 0.11298483


@valid(
    hand_force_kgf=(0, 60, "a pull by hand"),
    key_length_mm=(20, 600, "from a folding tool to a long spanner"),
)
def torque_by_hand_n_m(hand_force_kgf: Kgf, key_length_mm: Mm) -> NM:
    """Torque that a hand puts on a bolt through a key of that length.

    Formula:
        T = W * g_n * l / 1000

    Args:
        hand_force_kgf: W, pull at the end as a weight, read on a luggage scale. [kgf]
        key_length_mm: l, from the bolt to where the hand pulls. [mm]

    Returns:
        T, torque. [N·m]

    Accuracy:
        The pull square to the key; a luggage scale makes it a rough torque tool, within about 10 %.

    Caution:
        On carbon, and on bars and stems, use a real torque tool.

    Source:
        mechanics, common-practice

    >>> round(float(torque_by_hand_n_m(6, 85)), 1)
    5.0
    """
    return np.asarray(hand_force_kgf) * 9.80665 * np.asarray(key_length_mm) / 1000


@valid(joint=JOINTS)
def joint_torque_low_n_m(joint: Word) -> NM:
    """Lowest torque that the workshop lists print for a joint.

    Rule:
        The row of the table of torques with that joint gives it.

    Args:
        joint: which bolts. [word]

    Returns:
        T_1, lowest usual torque. [N·m]

    Accuracy:
        Lists differ, and old ones carry slips of conversion.

    Caution:
        The figure on the part or in its maker's instructions wins over every list.

    Source:
        trade-46, trade-48, trade-49

    >>> float(joint_torque_low_n_m("stem-face-plate"))
    4.0
    """
    return _joint(joint, "torque_low_n_m")


@valid(joint=JOINTS)
def joint_torque_high_n_m(joint: Word) -> NM:
    """Highest torque that the workshop lists print for a joint.

    Rule:
        The row of the table of torques with that joint gives it.

    Args:
        joint: which bolts. [word]

    Returns:
        T_2, highest usual torque. [N·m]

    Accuracy:
        Lists differ, and old ones carry slips of conversion.

    Caution:
        The figure on the part or in its maker's instructions wins over every list.

    Source:
        trade-46, trade-48, trade-49

    >>> float(joint_torque_high_n_m("pedal"))
    40.0
    """
    return _joint(joint, "torque_high_n_m")


def _joint(joint: str, column: str) -> float:
    return next(float(row[column]) for row in rows("threads/torques") if row["joint"] == joint)


@valid(
    torque_n_m=(0, 200, "hand tools on a bicycle"),
    stated_torque_n_m=(0.3, 100, "torques marked on bicycle parts"),
)
def torque_over_stated_pct(torque_n_m: NM, stated_torque_n_m: NM) -> Pct:
    """How far a bolt was tightened beyond the torque marked on the part. Negative is below it.

    Formula:
        q = 100 * (T / T_0 - 1)

    Args:
        torque_n_m: T, torque used. [N·m]
        stated_torque_n_m: T_0, torque marked on the part. [N·m]

    Returns:
        q, excess. [%]

    Accuracy:
        As the torque tool, which should be within 4 to 6 % of its reading.

    Caution:
        A cargo-bike standard wants bar, stem and post bolts to bear 1.5 times the stated torque; that is a
        test of the bolt, never leave to use it, and says nothing of crushed carbon.

    Source:
        trade-65, arithmetic

    >>> round(float(torque_over_stated_pct(8, 5)))
    60
    """
    return 100 * (np.asarray(torque_n_m) / np.asarray(stated_torque_n_m) - 1)


# Repairs


@valid(thread_diameter_mm=_DIAMETER, thread_pitch_mm=_PITCH)
def insert_tap_mm(thread_diameter_mm: Mm, thread_pitch_mm: Mm) -> Mm:
    """Outside diameter of the tapped thread that takes a helical wire insert.

    Formula:
        D = d + 1.299038 * P

    Args:
        thread_diameter_mm: d, outside diameter of the screw. [mm]
        thread_pitch_mm: P, pitch, the same inside and outside. [mm]

    Returns:
        D, outside diameter of the insert's thread. [mm]

    Accuracy:
        Basic profile of the wire; only an insert tap of that size and pitch fits, never a standard tap.

    Source:
        geometry, trade-64, trade-81

    >>> round(float(insert_tap_mm(6, 1)), 2)
    7.3
    """
    return np.asarray(thread_diameter_mm) + 1.299038 * np.asarray(thread_pitch_mm)


@valid(thread_diameter_mm=_DIAMETER, thread_pitch_mm=_PITCH)
def insert_drill_mm(thread_diameter_mm: Mm, thread_pitch_mm: Mm) -> Mm:
    """Bore of the tapped hole that takes a helical wire insert.

    Formula:
        D = d + 0.216506 * P

    Args:
        thread_diameter_mm: d, outside diameter of the screw. [mm]
        thread_pitch_mm: P, pitch. [mm]

    Returns:
        D, minor diameter of the insert's thread. [mm]

    Accuracy:
        The least bore by geometry; the drill in the kit is up to 0.1 mm larger and is the one to use.

    Source:
        geometry, iso-724

    >>> round(float(insert_drill_mm(5, 0.8)), 2)
    5.17
    """
    return np.asarray(thread_diameter_mm) + 0.216506 * np.asarray(thread_pitch_mm)


@valid(insert_tap_mm=(3, 66, "insert taps for 3 to 60 mm threads"))
def insert_boss_mm(insert_tap_mm: Mm) -> Mm:
    """Diameter that the boss round a helical insert should have for full strength.

    Formula:
        C = 2 * D

    Args:
        insert_tap_mm: D, outside diameter of the insert's thread. [mm]

    Returns:
        C, diameter of the boss. [mm]

    Accuracy:
        A maker's advice for greatest strength; thinner bosses are met and hold less.

    Source:
        threads-insert-bosses

    >>> float(insert_boss_mm(7.3))
    14.6
    """
    return 2 * np.asarray(insert_tap_mm)


@valid(
    boss_diameter_mm=(3, 120, "bosses and frame lugs"),
    insert_tap_mm=(3, 66, "insert taps for 3 to 60 mm threads"),
)
def insert_wall_left_mm(boss_diameter_mm: Mm, insert_tap_mm: Mm) -> Mm:
    """Wall that is left round a helical insert. Negative: the boss is too small.

    Formula:
        w = (C - D) / 2

    Args:
        boss_diameter_mm: C, diameter of the boss, or twice the way from hole to nearest edge. [mm]
        insert_tap_mm: D, outside diameter of the insert's thread. [mm]

    Returns:
        w, wall left. [mm]

    Accuracy:
        Exact for a centred hole.

    Source:
        geometry

    >>> round(float(insert_wall_left_mm(12, 7.3)), 2)
    2.35
    """
    return (np.asarray(boss_diameter_mm) - np.asarray(insert_tap_mm)) / 2


@valid(
    sleeve_outside_mm=(4, 60, "outside thread of a repair sleeve"),
    thread_diameter_mm=_DIAMETER,
)
def sleeve_wall_mm(sleeve_outside_mm: Mm, thread_diameter_mm: Mm) -> Mm:
    """Thickness of a threaded repair sleeve whose outer and inner thread have one pitch.

    Formula:
        w = (D - d) / 2

    Args:
        sleeve_outside_mm: D, outside thread of the sleeve. [mm]
        thread_diameter_mm: d, thread of the part that screws into it. [mm]

    Returns:
        w, thickness along the thread. [mm]

    Accuracy:
        For equal pitches, where the two threads run side by side.

    Source:
        geometry, threads-pedal-sleeve

    >>> round(float(sleeve_wall_mm(15.875, 14.2875)), 2)
    0.79
    """
    return (np.asarray(sleeve_outside_mm) - np.asarray(thread_diameter_mm)) / 2
