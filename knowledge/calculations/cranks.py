"""Cranks and pedals: stance, arm length, axle tapers, threads, clearances, in millimetres, and power readings."""

from __future__ import annotations

import numpy as np
from numpy import arctan, ceil, cos, degrees, pi, radians, sin, tan

from knowledge.calculation import valid
from knowledge.units import MS, NM, Deg, HalfLinks, Kg, Kgf, Mm, N, Pct, Pure, Rpm, Teeth, W

STANDARD_GRAVITY_M_S2 = 9.80665
PEDAL_THREAD_PITCH_MM = 1.27

_ARM_LENGTH = (80, 250, "children's arms start near 90 mm, trial arms have gone to 220 mm")
_STANCE = (90, 350, "from narrow track cranks to the widest fat bikes")


@valid(
    left_arm_reach_mm=(40, 180, "half of any stance width that cranks are made for"),
    right_arm_reach_mm=(40, 180, "half of any stance width that cranks are made for"),
)
def q_factor_from_sides_mm(left_arm_reach_mm: Mm, right_arm_reach_mm: Mm) -> Mm:
    """Pedal stance: the distance between the outer faces of the two arms at the pedals.

    Formula:
        Q = l + r

    Args:
        left_arm_reach_mm: l, left arm's outer face at the pedal from the bicycle's centre plane. [mm]
        right_arm_reach_mm: r, right arm's outer face at the pedal from the bicycle's centre plane. [mm]

    Returns:
        Q, stance over the arms. [mm]

    Accuracy:
        As good as the two measurements, about 1 mm from the middle of the frame with a rule.

    Source:
        drivetrain-105, drivetrain-106

    >>> float(q_factor_from_sides_mm(80.0, 85.0))
    165.0
    """
    return left_arm_reach_mm + right_arm_reach_mm


@valid(
    left_arm_reach_mm=(40, 180, "half of any stance width that cranks are made for"),
    right_arm_reach_mm=(40, 180, "half of any stance width that cranks are made for"),
)
def stance_offset_mm(left_arm_reach_mm: Mm, right_arm_reach_mm: Mm) -> Mm:
    """How far the middle between the pedals lies to the right of the bicycle's middle.

    Formula:
        e = (r - l) / 2

    Args:
        left_arm_reach_mm: l, left arm's outer face at the pedal from the bicycle's centre plane. [mm]
        right_arm_reach_mm: r, right arm's outer face at the pedal from the bicycle's centre plane. [mm]

    Returns:
        e, offset of the stance, to the right when positive. [mm]

    Accuracy:
        As good as the two measurements; many cranks stand a few millimetres off the middle when new.

    Source:
        drivetrain-106, geometry

    >>> float(stance_offset_mm(80.0, 85.0))
    2.5
    """
    return (right_arm_reach_mm - left_arm_reach_mm) / 2


@valid(
    q_factor_mm=_STANCE,
    axle_spacer_change_mm=(-20, 20, "no axle takes more spacers, both sides together"),
)
def q_factor_with_spacers_mm(q_factor_mm: Mm, axle_spacer_change_mm: Mm) -> Mm:
    """Stance after spacers between arm and bearing were added (positive) or taken out (negative).

    Formula:
        Q_2 = Q + s

    Args:
        q_factor_mm: Q, stance before. [mm]
        axle_spacer_change_mm: s, thickness added on both sides together, negative if taken out. [mm]

    Returns:
        Q_2, stance after. [mm]

    Accuracy:
        Exact, if the axle is long enough for the arm to seat fully with the spacers in place.

    Source:
        drivetrain-107

    >>> float(q_factor_with_spacers_mm(175.0, -2.5))
    172.5
    """
    return q_factor_mm + axle_spacer_change_mm


@valid(
    left_arm_offset_mm=(-20, 60, "the step from the axle seat to the pedal face of any arm"),
    new_left_arm_offset_mm=(-20, 60, "the step from the axle seat to the pedal face of any arm"),
)
def stance_change_from_arm_mm(left_arm_offset_mm: Mm, new_left_arm_offset_mm: Mm) -> Mm:
    """How much wider (positive) the stance gets when one arm is swapped for another.

    Formula:
        d = o_2 - o_1

    Args:
        left_arm_offset_mm: o_1, step of the old arm from its inner face at the axle to its outer face at the
            pedal. [mm]
        new_left_arm_offset_mm: o_2, the same step of the new arm. [mm]

    Returns:
        d, change of the stance, all of it on the swapped side. [mm]

    Accuracy:
        Exact where both arms seat at the same place on the axle; measure with both arms off, on a flat plate.

    Source:
        geometry

    >>> float(stance_change_from_arm_mm(18.0, 20.5))
    2.5
    """
    return new_left_arm_offset_mm - left_arm_offset_mm


@valid(
    q_factor_mm=_STANCE,
    pedal_axle_length_mm=(30, 120, "from the arm's face to the middle of the pedal"),
    pedal_washer_mm=(0, 30, "washers to the longest pedal extenders"),
)
def foot_stance_mm(q_factor_mm: Mm, pedal_axle_length_mm: Mm = 53, pedal_washer_mm: Mm = 0) -> Mm:
    """Distance between the middles of the two pedals, which is what the knees notice.

    Formula:
        S = Q + 2 * (p + w)

    Args:
        q_factor_mm: Q, stance over the arms. [mm]
        pedal_axle_length_mm: p, from the arm's face to the middle of the pedal; 53 on many road
            pedals. [mm]
        pedal_washer_mm: w, washers or extender on each side. [mm]

    Returns:
        S, foot to foot. [mm]

    Accuracy:
        A cleat set aside on the sole moves the foot several millimetres more.

    Source:
        cranks-5, cranks-6

    >>> float(foot_stance_mm(146.0))
    252.0
    """
    return q_factor_mm + 2 * (pedal_axle_length_mm + pedal_washer_mm)


@valid(crank_length_mm=_ARM_LENGTH, new_crank_length_mm=_ARM_LENGTH)
def crank_length_change_mm(crank_length_mm: Mm, new_crank_length_mm: Mm) -> Mm:
    """How much longer (positive) or shorter (negative) the new arms are.

    Formula:
        c = l_2 - l_1

    Args:
        crank_length_mm: l_1, old arms, axle middle to pedal middle. [mm]
        new_crank_length_mm: l_2, new arms. [mm]

    Returns:
        c, change of arm length. [mm]

    Accuracy:
        Exact; the stamped length is good to about 0.5 mm.

    Source:
        arithmetic

    >>> float(crank_length_change_mm(172.5, 165.0))
    -7.5
    """
    return new_crank_length_mm - crank_length_mm


@valid(crank_length_change_mm=(-170, 170, "between any two arms made"))
def saddle_height_change_mm(crank_length_change_mm: Mm) -> Mm:
    """How far to raise (positive) or lower the saddle so that the leg is as straight at the bottom as before.

    Formula:
        h = -c

    Args:
        crank_length_change_mm: c, new arm less old arm. [mm]

    Returns:
        h, change of saddle height along the seat tube. [mm]

    Accuracy:
        Exact where seat tube and arm are in line at the bottom of the stroke; within 0.5 mm elsewhere.

    Source:
        cranks-10, geometry

    >>> float(saddle_height_change_mm(-7.5))
    7.5
    """
    return -crank_length_change_mm


@valid(
    crank_length_change_mm=(-170, 170, "between any two arms made"),
    seat_tube_angle_deg=(55, 85, "from step-through frames to time-trial frames"),
)
def saddle_shift_back_mm(crank_length_change_mm: Mm, seat_tube_angle_deg: Deg = 73) -> Mm:
    """How far to slide the saddle back on its rails so that the knee stands over the pedal as before.

    Formula:
        b = -c * (1 - cos(radians(t)))

    Args:
        crank_length_change_mm: c, new arm less old arm. [mm]
        seat_tube_angle_deg: t, seat tube from the horizontal. [°]

    Returns:
        b, shift back on the rails, forward when negative. [mm]

    Accuracy:
        A shorter arm brings the forward pedal back by the whole change; raising the saddle makes up a part of
        it and the rails the rest. Hip and reach may ask otherwise.

    Source:
        geometry

    >>> round(float(saddle_shift_back_mm(-7.5)), 1)
    5.3
    """
    return -crank_length_change_mm * (1 - cos(radians(seat_tube_angle_deg)))


@valid(crank_length_change_mm=(-170, 170, "between any two arms made"))
def knee_room_gained_mm(crank_length_change_mm: Mm) -> Mm:
    """How much lower the foot stands at the top of the stroke, seen from a saddle raised to match.

    Formula:
        k = -2 * c

    Args:
        crank_length_change_mm: c, new arm less old arm. [mm]

    Returns:
        k, room gained at the top of the stroke, lost when negative. [mm]

    Accuracy:
        Exact for the pedal; the knee gains a little less, as the thigh is at an angle.

    Source:
        geometry

    >>> float(knee_room_gained_mm(-7.5))
    15.0
    """
    return -2 * crank_length_change_mm


@valid(
    crank_length_mm=_ARM_LENGTH,
    cadence_rpm=(0, 300, "track sprinters reach about 250 turns a minute"),
)
def pedal_speed_m_s(crank_length_mm: Mm, cadence_rpm: Rpm) -> MS:
    """Speed of the foot around the pedal circle.

    Formula:
        v = 2 * pi * l / 1000 * n / 60

    Args:
        crank_length_mm: l, axle middle to pedal middle. [mm]
        cadence_rpm: n, turns of the cranks. [rpm]

    Returns:
        v, foot speed. [m/s]

    Accuracy:
        Exact for a round chainring and a steady cadence.

    Source:
        mechanics

    >>> round(float(pedal_speed_m_s(170.0, 90.0)), 2)
    1.6
    """
    return 2 * pi * crank_length_mm / 1000 * cadence_rpm / 60


@valid(
    cadence_rpm=(0, 300, "track sprinters reach about 250 turns a minute"),
    crank_length_mm=_ARM_LENGTH,
    new_crank_length_mm=_ARM_LENGTH,
)
def same_foot_speed_cadence_rpm(cadence_rpm: Rpm, crank_length_mm: Mm, new_crank_length_mm: Mm) -> Rpm:
    """Cadence at which the foot moves as fast on the new arms as it did on the old ones.

    Formula:
        n_2 = n * l_1 / l_2

    Args:
        cadence_rpm: n, cadence on the old arms. [rpm]
        crank_length_mm: l_1, old arms. [mm]
        new_crank_length_mm: l_2, new arms. [mm]

    Returns:
        n_2, cadence on the new arms. [rpm]

    Accuracy:
        Exact as geometry; riders settle somewhere between this and their old cadence.

    Source:
        cranks-7

    >>> round(float(same_foot_speed_cadence_rpm(90.0, 172.5, 160.0)))
    97
    """
    return cadence_rpm * crank_length_mm / new_crank_length_mm


@valid(crank_length_mm=_ARM_LENGTH, new_crank_length_mm=_ARM_LENGTH)
def gain_ratio_change_pct(crank_length_mm: Mm, new_crank_length_mm: Mm) -> Pct:
    """How much harder (positive) every gear pushes on the new arms: the change of gain ratio.

    Formula:
        d = 100 * (l_1 / l_2 - 1)

    Args:
        crank_length_mm: l_1, old arms. [mm]
        new_crank_length_mm: l_2, new arms. [mm]

    Returns:
        d, change of gain ratio, and of the pedal force for the same pull. [%]

    Accuracy:
        Exact; wheel, chainring and sprocket stay as they are.

    Source:
        drivetrain-61, drivetrain-69

    >>> round(float(gain_ratio_change_pct(172.5, 165.0)), 1)
    4.5
    """
    return 100 * (crank_length_mm / new_crank_length_mm - 1)


@valid(
    largest_ring_teeth=(16, 80, "no chainring made has fewer or more"),
    crank_length_mm=_ARM_LENGTH,
    new_crank_length_mm=_ARM_LENGTH,
)
def same_gain_ring_teeth(largest_ring_teeth: Teeth, crank_length_mm: Mm, new_crank_length_mm: Mm) -> Teeth:
    """Chainring that gives the new arms the gain ratio which the old ones had.

    Formula:
        z_2 = z * l_2 / l_1

    Args:
        largest_ring_teeth: z, chainring with the old arms. [teeth]
        crank_length_mm: l_1, old arms. [mm]
        new_crank_length_mm: l_2, new arms. [mm]

    Returns:
        z_2, chainring for the new arms, before rounding to a ring that is sold. [teeth]

    Accuracy:
        Exact as a lever; one published rule of thumb takes half the change only, as legs are no levers.

    Source:
        cranks-11, drivetrain-61

    >>> round(float(same_gain_ring_teeth(50, 172.5, 165.0)), 1)
    47.8
    """
    return largest_ring_teeth * new_crank_length_mm / crank_length_mm


@valid(
    leg_length_mm=(400, 1200, "floor to hip joint, from a small child to the tallest riders"),
    share_pct=(18, 23, "published shares lie between 18.5 and 22"),
)
def crank_length_by_leg_mm(leg_length_mm: Mm, share_pct: Pct = 20) -> Mm:
    """Arm length by the rule of one fifth of the leg, rounded to the nearest 5 mm.

    Formula:
        l = 5 * round(p * h / 100 / 5)

    Args:
        leg_length_mm: h, floor to hip joint. [mm]
        share_pct: p, share of the leg; 20 for adults, up to 22 printed for children. [%]

    Returns:
        l, arm length of the rule. [mm]

    Accuracy:
        A rule of thumb: a study found no significant change of power between 145 and 170 mm.

    Source:
        drivetrain-111, drivetrain-113

    >>> float(crank_length_by_leg_mm(850.0))
    170.0
    """
    return 5 * np.round(share_pct * leg_length_mm / 100 / 5)


@valid(inseam_mm=(350, 1150, "from a small child to the tallest riders"))
def crank_length_by_inseam_mm(inseam_mm: Mm) -> Mm:
    """Arm length by the rule of 5.48 mm for each inch of inseam.

    Formula:
        l = 5.48 * i / 25.4

    Args:
        inseam_mm: i, crotch to floor without shoes. [mm]

    Returns:
        l, arm length of the rule. [mm]

    Accuracy:
        A rule of thumb; its author says that it is not a rule of the industry.

    Source:
        drivetrain-112

    >>> round(float(crank_length_by_inseam_mm(787.4)), 1)
    169.9
    """
    return 5.48 * inseam_mm / 25.4


@valid(inseam_mm=(350, 1150, "from a small child to the tallest riders"))
def crank_length_by_share_mm(inseam_mm: Mm) -> Mm:
    """Arm length by the rule of 0.216 of the inseam.

    Formula:
        l = 0.216 * i

    Args:
        inseam_mm: i, crotch to floor without shoes. [mm]

    Returns:
        l, arm length of the rule. [mm]

    Accuracy:
        A rule of thumb; it agrees with the inch rule within 0.2 %.

    Source:
        cranks-8

    >>> round(float(crank_length_by_share_mm(787.4)), 1)
    170.1
    """
    return 0.216 * inseam_mm


@valid(
    taper_width_difference_mm=(0, 1, "published ends differ by 0.13 to 0.2 mm"),
    taper_half_angle_deg=(1, 5, "both square tapers lean 2 degrees a face"),
)
def taper_shift_mm(taper_width_difference_mm: Mm, taper_half_angle_deg: Deg = 2) -> Mm:
    """How far further along its axle an arm ends when the square is wider or narrower by a small amount.

    Formula:
        s = w / 2 / tan(radians(a))

    Args:
        taper_width_difference_mm: w, difference across the flats. [mm]
        taper_half_angle_deg: a, lean of each face from the axle's line. [°]

    Returns:
        s, shift along the axle on each side. [mm]

    Accuracy:
        A hundredth across the flats moves the arm 0.14 mm, so printed shifts range from 1.8 to 4.5 mm.

    Source:
        drivetrain-117, geometry

    >>> round(float(taper_shift_mm(0.13)), 2)
    1.86
    """
    return taper_width_difference_mm / 2 / tan(radians(taper_half_angle_deg))


@valid(
    taper_length_mm=(8, 25, "tapers are 15 to 18 mm long"),
    arm_shift_mm=(-8, 8, "published shifts are 1.8 to 4.5 mm"),
)
def taper_contact_mm(taper_length_mm: Mm, arm_shift_mm: Mm) -> Mm:
    """Length of taper on which an arm still sits when it ends further out.

    Formula:
        t = l - s

    Args:
        taper_length_mm: l, length of the arm's own taper on its own axle. [mm]
        arm_shift_mm: s, how much further out the arm ends. [mm]

    Returns:
        t, length in contact. [mm]

    Accuracy:
        Geometry only: look for the arm's marks on the axle after fitting.

    Source:
        drivetrain-117

    >>> round(float(taper_contact_mm(15.0, 1.79)), 2)
    13.21
    """
    return taper_length_mm - arm_shift_mm


@valid(
    spindle_length_mm=(95, 185, "square-taper axles are made from 102 to 127 mm, fat bikes wider"),
    arm_shift_mm=(-8, 8, "published shifts are 1.8 to 4.5 mm"),
)
def spindle_length_for_other_taper_mm(spindle_length_mm: Mm, arm_shift_mm: Mm = 4.5) -> Mm:
    """Axle that puts an arm of the thicker taper where the axle of the thinner taper had it.

    Formula:
        L_2 = L - 2 * s

    Args:
        spindle_length_mm: L, length of the axle which the arm's line was made for. [mm]
        arm_shift_mm: s, how much further out the arm ends on the thicker taper, each side. [mm]

    Returns:
        L_2, length of the axle with the other taper. [mm]

    Accuracy:
        By the larger of the printed shifts; measure the line of the ring before buying.

    Source:
        drivetrain-114

    >>> float(spindle_length_for_other_taper_mm(119.0))
    110.0
    """
    return spindle_length_mm - 2 * arm_shift_mm


@valid(
    arm_gap_mm=(-5, 60, "between the inner face of an arm and the chainstay"),
    sensor_gap_needed_mm=(0, 30, "published: 8 mm for slim and 10 mm for thick sensors"),
)
def sensor_gap_spare_mm(arm_gap_mm: Mm, sensor_gap_needed_mm: Mm) -> Mm:
    """Room left between the pod of a power-measuring arm and the chainstay.

    Formula:
        s = g - n

    Args:
        arm_gap_mm: g, least gap between the arm's inner face and the chainstay, all the way round. [mm]
        sensor_gap_needed_mm: n, gap which the maker of the sensor asks for. [mm]

    Returns:
        s, gap to spare, too little when negative. [mm]

    Accuracy:
        Stay and arm both give under a hard push, so keep at least 1 mm to spare.

    Caution:
        A pod that touches the stay can wear through it; carbon stays are ruined by it.

    Source:
        drivetrain-122, common-practice

    >>> float(sensor_gap_spare_mm(12.0, 10.0))
    2.0
    """
    return arm_gap_mm - sensor_gap_needed_mm


@valid(rider_mass_kg=(0, 300, "riders and their loads"))
def standing_pedal_force_n(rider_mass_kg: Kg) -> N:
    """Push on the pedal of a rider who stands still on one foot.

    Formula:
        F = m * g_n

    Args:
        rider_mass_kg: m, rider with kit. [kg]

    Returns:
        F, downward force. [N]

    Accuracy:
        Standing still; a rider who pulls on the bars pushes harder.

    Source:
        mechanics, drivetrain-152

    >>> round(float(standing_pedal_force_n(56.0)), 1)
    549.2
    """
    return rider_mass_kg * STANDARD_GRAVITY_M_S2


@valid(
    pedal_force_n=(0, 5000, "well above any rider's push"),
    crank_length_mm=_ARM_LENGTH,
    crank_angle_deg=(0, 180, "from the arm pointing up to the arm pointing down"),
)
def pedalling_torque_n_m(pedal_force_n: N, crank_length_mm: Mm, crank_angle_deg: Deg = 90) -> NM:
    """Torque at the crank axle for a downward push on the pedal.

    Formula:
        T = F * l / 1000 * sin(radians(a))

    Args:
        pedal_force_n: F, downward push. [N]
        crank_length_mm: l, axle middle to pedal middle. [mm]
        crank_angle_deg: a, arm from straight up; 90 is level and forward. [°]

    Returns:
        T, torque. [N·m]

    Accuracy:
        Exact for a push straight down.

    Source:
        drivetrain-152

    >>> round(float(pedalling_torque_n_m(549.36, 170.0)), 1)
    93.4
    """
    return pedal_force_n * crank_length_mm / 1000 * sin(radians(crank_angle_deg))


@valid(torque_pound_inches=(0, 2000, "bicycle joints lie below 700"))
def torque_from_pound_inches_n_m(torque_pound_inches: Pure) -> NM:
    """A torque printed in pound-inches, in newton metres.

    Formula:
        T = 0.112985 * t

    Args:
        torque_pound_inches: t, torque in pound-force inches. [-]

    Returns:
        T, torque. [N·m]

    Accuracy:
        Six digits; some printed lists have slips, so convert afresh.

    Source:
        arithmetic

    >>> round(float(torque_from_pound_inches_n_m(350)), 1)
    39.5
    """
    return 0.112985 * torque_pound_inches


@valid(
    torque_n_m=(0, 120, "no bicycle joint takes more"),
    spanner_length_mm=(50, 1500, "from a hex key to a long bar"),
)
def hand_pull_kgf(torque_n_m: NM, spanner_length_mm: Mm) -> Kgf:
    """Pull at the end of a spanner that gives a torque, for those who have no torque tool.

    Formula:
        F = T * 1000 / r / g_n

    Args:
        torque_n_m: T, wanted torque. [N·m]
        spanner_length_mm: r, from the bolt's middle to the middle of the hand. [mm]

    Returns:
        F, pull at a right angle to the spanner. [kgf]

    Accuracy:
        Hands judge a pull to a quarter at best; a torque tool is better.

    Source:
        mechanics

    >>> round(float(hand_pull_kgf(37.5, 300.0)), 1)
    12.7
    """
    return torque_n_m * 1000 / spanner_length_mm / STANDARD_GRAVITY_M_S2


@valid(
    pedal_thread_mm=(12, 15, "pedal threads measure 12.7 to 14.3 mm over the crests"),
    arm_hole_mm=(11, 16, "a good hole is about 13 mm, a stripped one nearly the thread's own size"),
)
def pedal_thread_overlap_mm(arm_hole_mm: Mm, pedal_thread_mm: Mm = 14.2) -> Mm:
    """How deep the pedal's thread still bites into the arm's, on the radius.

    Formula:
        h = (d - D) / 2

    Args:
        arm_hole_mm: D, inside diameter of the arm's thread over its crests. [mm]
        pedal_thread_mm: d, diameter over the crests of the pedal's thread. [mm]

    Returns:
        h, depth of overlap; none when zero or less. [mm]

    Accuracy:
        By the measured sizes of one tool maker: 14.2 mm pedal, 13 mm hole.

    Source:
        drivetrain-123

    >>> round(float(pedal_thread_overlap_mm(13.0)), 2)
    0.6
    """
    return (pedal_thread_mm - arm_hole_mm) / 2


@valid(
    thread_length_left_mm=(0, 25, "arms are 10 to 15 mm thick at the pedal"),
    pedal_thread_pitch_mm=(0.5, 2, "twenty threads to the inch is 1.27 mm"),
)
def thread_turns_left_count(
    thread_length_left_mm: Mm, pedal_thread_pitch_mm: Mm = PEDAL_THREAD_PITCH_MM
) -> Pure:
    """Turns of sound thread that are left in the arm.

    Formula:
        n = l / p

    Args:
        thread_length_left_mm: l, length of the hole in which the thread is whole. [mm]
        pedal_thread_pitch_mm: p, from crest to crest. [mm]

    Returns:
        n, whole turns of thread. [-]

    Accuracy:
        Counts turns, not their quality: a thread that has been ridden loose is bruised throughout.

    Source:
        drivetrain-123, arithmetic

    >>> round(float(thread_turns_left_count(12.0)), 1)
    9.4
    """
    return thread_length_left_mm / pedal_thread_pitch_mm


@valid(
    arm_eye_width_mm=(18, 60, "width of arms round the pedal hole"),
    repair_sleeve_mm=(13, 20, "the common sleeve is 5/8 inch outside"),
)
def wall_round_sleeve_mm(arm_eye_width_mm: Mm, repair_sleeve_mm: Mm = 15.88) -> Mm:
    """Metal left on each side of a repair sleeve in the pedal eye.

    Formula:
        w = (b - d) / 2

    Args:
        arm_eye_width_mm: b, least width of the arm across the pedal hole. [mm]
        repair_sleeve_mm: d, outside diameter of the sleeve's thread. [mm]

    Returns:
        w, wall on each side. [mm]

    Accuracy:
        Exact where the hole is in the middle of the eye.

    Source:
        drivetrain-123

    >>> round(float(wall_round_sleeve_mm(28.0)), 2)
    6.06
    """
    return (arm_eye_width_mm - repair_sleeve_mm) / 2


@valid(
    q_factor_mm=_STANCE,
    pedal_width_mm=(20, 160, "from the arm's face to the pedal's outer edge"),
)
def pedal_reach_out_mm(q_factor_mm: Mm, pedal_width_mm: Mm = 95) -> Mm:
    """Distance of a pedal's outer edge from the bicycle's middle.

    Formula:
        R = Q / 2 + p

    Args:
        q_factor_mm: Q, stance over the arms. [mm]
        pedal_width_mm: p, from the arm's face to the outer edge of the pedal. [mm]

    Returns:
        R, reach to the side. [mm]

    Accuracy:
        Exact for cranks that stand in the middle.

    Source:
        geometry

    >>> float(pedal_reach_out_mm(150.0))
    170.0
    """
    return q_factor_mm / 2 + pedal_width_mm


@valid(
    bottom_bracket_height_mm=(150, 450, "from low trikes to high tourers"),
    crank_length_mm=_ARM_LENGTH,
    pedal_depth_mm=(0, 60, "from the pedal axle's middle down to its lowest edge"),
)
def pedal_ground_clearance_mm(
    bottom_bracket_height_mm: Mm, crank_length_mm: Mm, pedal_depth_mm: Mm = 15
) -> Mm:
    """Height of the lowest edge of the pedal over level ground, bicycle upright.

    Formula:
        g = H - l - t

    Args:
        bottom_bracket_height_mm: H, crank axle over the ground, rider on the bicycle. [mm]
        crank_length_mm: l, axle middle to pedal middle. [mm]
        pedal_depth_mm: t, from the pedal axle's middle down to its lowest edge. [mm]

    Returns:
        g, clearance. [mm]

    Accuracy:
        With suspension take the height with the rider seated, and less where it sinks further.

    Source:
        geometry

    >>> float(pedal_ground_clearance_mm(270.0, 170.0))
    85.0
    """
    return bottom_bracket_height_mm - crank_length_mm - pedal_depth_mm


@valid(
    pedal_ground_clearance_mm=(0, 350, "a pedal cannot stand below the ground"),
    pedal_reach_out_mm=(80, 350, "from the bicycle's middle to the pedal's edge"),
)
def pedal_strike_lean_deg(pedal_ground_clearance_mm: Mm, pedal_reach_out_mm: Mm) -> Deg:
    """Lean at which the lower pedal touches level ground.

    Formula:
        a = degrees(atan(g / R))

    Args:
        pedal_ground_clearance_mm: g, lowest edge of the pedal over the ground, bicycle upright. [mm]
        pedal_reach_out_mm: R, outer edge of the pedal from the bicycle's middle. [mm]

    Returns:
        a, lean from upright. [°]

    Accuracy:
        Takes the tyre as a thin edge; a 40 mm tyre gives less than one degree more.

    Caution:
        A pedal that strikes in a bend lifts the wheel off the road; keep the inner pedal up.

    Source:
        cranks-12, geometry

    >>> round(float(pedal_strike_lean_deg(85.0, 170.0)), 1)
    26.6
    """
    return degrees(arctan(pedal_ground_clearance_mm / pedal_reach_out_mm))


@valid(
    bolt_spacing_mm=(15, 130, "between neighbouring chainring bolts"),
    chainring_bolts_count=(3, 10, "rings are made with three to six bolts, old ones with more"),
)
def bolt_circle_diameter_mm(bolt_spacing_mm: Mm, chainring_bolts_count: Pure) -> Mm:
    """Bolt circle of a chainring, from the distance between two neighbouring bolts.

    Formula:
        D = s / sin(pi / n)

    Args:
        bolt_spacing_mm: s, middle to middle of neighbouring bolts. [mm]
        chainring_bolts_count: n, number of bolts, evenly spread. [-]

    Returns:
        D, bolt circle diameter. [mm]

    Accuracy:
        A tenth on the spacing is 0.17 mm on a five-bolt circle; it does not hold for uneven patterns.

    Source:
        cranks-1, cranks-2

    >>> round(float(bolt_circle_diameter_mm(64.7, 5)))
    110
    """
    return bolt_spacing_mm / sin(pi / chainring_bolts_count)


@valid(
    skipped_bolt_spacing_mm=(20, 170, "between bolts with one bolt between them"),
    chainring_bolts_count=(4, 10, "one bolt can be skipped from four bolts on"),
)
def bolt_circle_over_one_mm(skipped_bolt_spacing_mm: Mm, chainring_bolts_count: Pure) -> Mm:
    """Bolt circle of a chainring, from two bolts with one bolt between them, which tells like sizes apart.

    Formula:
        D = s / sin(2 * pi / n)

    Args:
        skipped_bolt_spacing_mm: s, middle to middle, one bolt left out. [mm]
        chainring_bolts_count: n, number of bolts, evenly spread. [-]

    Returns:
        D, bolt circle diameter. [mm]

    Accuracy:
        A tenth on the spacing is a tenth on the circle; it does not hold for uneven patterns.

    Source:
        cranks-2

    >>> round(float(bolt_circle_over_one_mm(123.6, 5)))
    130
    """
    return skipped_bolt_spacing_mm / sin(2 * pi / chainring_bolts_count)


@valid(
    bolt_circle_mm=(40, 200, "from the smallest inner rings to old outer rings"),
    new_bolt_circle_mm=(40, 200, "from the smallest inner rings to old outer rings"),
)
def bolt_circle_difference_mm(bolt_circle_mm: Mm, new_bolt_circle_mm: Mm) -> Mm:
    """How much larger (positive) the bolt circle of a ring is than that of the crank.

    Formula:
        d = D_2 - D_1

    Args:
        bolt_circle_mm: D_1, bolt circle of the crank. [mm]
        new_bolt_circle_mm: D_2, bolt circle that the ring is made for. [mm]

    Returns:
        d, ring less crank. [mm]

    Accuracy:
        Circles are made to about 0.1 mm; beyond 0.5 mm it is another size.

    Source:
        cranks-2, arithmetic

    >>> float(bolt_circle_difference_mm(110.0, 104.0))
    -6.0
    """
    return new_bolt_circle_mm - bolt_circle_mm


@valid(
    largest_ring_teeth=(16, 80, "no chainring made has fewer or more"),
    new_ring_teeth=(16, 80, "no chainring made has fewer or more"),
)
def ring_link_change_half_links(largest_ring_teeth: Teeth, new_ring_teeth: Teeth) -> HalfLinks:
    """Links by which the chain must grow (or may shrink) for another chainring, to the next whole pair.

    Formula:
        n = 2 * ceil((z_2 - z_1) / 4)

    Args:
        largest_ring_teeth: z_1, ring that is on now, the only or the largest one. [teeth]
        new_ring_teeth: z_2, ring to be fitted. [teeth]

    Returns:
        n, change of the chain. [half-links]

    Accuracy:
        A chain wraps half of a ring, so two teeth are one half-link; chains change in pairs.

    Source:
        drivetrain-58, arithmetic

    >>> float(ring_link_change_half_links(46, 50))
    2.0
    """
    return 2 * ceil((new_ring_teeth - largest_ring_teeth) / 4)


@valid(
    down_tube_diameter_mm=(15, 110, "tubes of bicycle frames"),
    tube_to_ring_mm=(0, 90, "from the tube's side to the middle of the outer ring"),
    ring_spread_mm=(0, 25, "between the middles of the inner and the outer ring"),
)
def front_chainline_mm(down_tube_diameter_mm: Mm, tube_to_ring_mm: Mm, ring_spread_mm: Mm = 0) -> Mm:
    """Chainline of the cranks, measured from the side of the frame's tube.

    Formula:
        c = d / 2 + a - s / 2

    Args:
        down_tube_diameter_mm: d, tube beside the rings. [mm]
        tube_to_ring_mm: a, from the tube's side to the middle of the outer ring. [mm]
        ring_spread_mm: s, from the middle of the inner to the middle of the outer ring; 0 for one ring. [mm]

    Returns:
        c, middle of the rings from the bicycle's centre plane. [mm]

    Accuracy:
        About half a millimetre with a rule; 2 to 3 mm off line is seldom noticed.

    Source:
        drivetrain-99

    >>> round(float(front_chainline_mm(44.0, 29.0, 9.8)), 1)
    46.1
    """
    return down_tube_diameter_mm / 2 + tube_to_ring_mm - ring_spread_mm / 2


# ---- what a power meter reads -------------------------------------------------------------------------------


@valid(left_share_pct=(20, 80, "beyond that one leg hardly pedals"))
def left_only_error_pct(left_share_pct: Pct) -> Pct:
    """How much a meter that doubles the left leg reads too high (positive) or too low.

    Formula:
        e = 2 * s - 100

    Args:
        left_share_pct: s, left leg's true share of the whole power. [%]

    Returns:
        e, error of the doubled reading as a share of the true power. [%]

    Accuracy:
        Exact for a share that holds; legs share otherwise when tired and at other powers, by a point or two.

    Source:
        cranks-22, cranks-21

    >>> float(left_only_error_pct(48.0))
    -4.0
    """
    return 2 * left_share_pct - 100


@valid(
    crank_power_w=(10, 2500, "a sprinter's best stays below"),
    hub_power_w=(0, 2500, "a sprinter's best stays below"),
)
def power_reading_gap_pct(crank_power_w: W, hub_power_w: W) -> Pct:
    """How much less (positive) a trainer or hub reads than the pedals or cranks at the same time.

    Formula:
        g = (P_c - P_h) / P_c * 100

    Args:
        crank_power_w: P_c, average read at the pedals or cranks. [W]
        hub_power_w: P_h, average read at the trainer or rear hub over the same minutes. [W]

    Returns:
        g, gap as a share of the reading at the cranks. [%]

    Accuracy:
        Exact; each of the two readings is only as good as its meter, 1 to 2 % by most makers' word.

    Source:
        cranks-21

    >>> float(power_reading_gap_pct(250.0, 240.0))
    4.0
    """
    return (crank_power_w - hub_power_w) / crank_power_w * 100
