"""Chain, sprockets, shifting and gearing: millimetres and teeth throughout."""

from __future__ import annotations

from numpy import pi, sin

from knowledge.calculation import valid
from knowledge.units import Mm, Pure, Teeth

CHAIN_PITCH_MM = 12.7


@valid(
    teeth=(5, 200, "a chain does not wrap fewer than five teeth"),
    chain_pitch_mm=(6, 60, "bicycle and roller chains lie between"),
)
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
    cable_pull_mm=(0.5, 8, "no indexed lever pulls less or more cable a click"),
    actuation_ratio=(0.5, 3, "published derailleurs lie between about 1 and 2"),
)
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
