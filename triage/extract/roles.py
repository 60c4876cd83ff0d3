"""Which quantities a number may be where its unit fits several: what the talk must be of, and what is meant if nothing tells."""

from __future__ import annotations

from triage.extract.forms import phrase_set, word_set
from triage.extract.passage import Passage

# What a number with this unit is where no word tells.
WITHOUT_CUE: dict[str, tuple[str, ...]] = {
    "psi": ("tyre_pressure_kpa",),
    "bar": ("tyre_pressure_kpa",),
    "kilopascal": ("tyre_pressure_kpa",),
    "kilogram_force/centimetre**2": ("tyre_pressure_kpa",),
    "standard_atmosphere": ("tyre_pressure_kpa",),
    "kilogram": ("rider_mass_kg",),
    "pound": ("rider_mass_kg",),
    "degC": ("temperature_degc",),
    "degF": ("temperature_degc",),
    "newton*metre": ("torque_n_m",),
    "force_pound*inch": ("torque_n_m",),
    "force_pound*foot": ("torque_n_m",),
    "revolution/minute": ("cadence_rpm",),
    "links": ("links",),
    "kilometre": ("distance_km",),
    "thousand_kilometre": ("distance_km",),
    "mile": ("distance_km",),
    "kilometre/hour": ("speed_kmh",),
    "mile/hour": ("speed_kmh",),
    "watt": ("rider_power_w",),
    "watt*hour": ("battery_watt_hours",),
    "1/inch": ("threads_per_in",),
    "hertz": ("heard_pitch_hz",),
}
# Words that must stand somewhere before a number can be this at all.
ONLY_WITH = {
    "leak_time_days": (
        "psi",
        " bar",
        "pressure",
        "leak",
        "flat",
        " air",
        "deflat",
        "tyre",
        "tire",
        "goes down",
        "soft",
    ),
    "rim_depth_mm": ("rim", "wheel"),
    "rim_outer_width_mm": ("rim", "wheel", "tyre", "tire"),
    "rim_inner_width_mm": ("rim", "wheel", "tyre", "tire", "hook", "internal"),
    "cut_length_mm": (
        "tyre",
        "tire",
        "tread",
        "sidewall",
        "side wall",
        "casing",
        "tubeless",
        "tubular",
        "inner tube",
        "rubber",
        "gash",
        "slit",
        "slash",
        "the cut",
        "a cut",
        " cut is",
        "mm long",
        "cm long",
        "inch long",
    ),
    "seatpost_insertion_mm": ("post", "seatpin", "seat pin", "dropper"),
    "stay_gap_mm": ("stay", "blade", "fork leg", "fork", "frame"),
    "hand_force_kgf": ("key", "wrench", "spanner", "lever arm", "breaker"),
    "pedal_depth_mm": ("pedal",),
    "mass_centre_setback_mm": ("centre of", "center of", "mass", "gravity"),
    "chain_wear_pct": ("chain", "check", "gauge", "stretch", "%", "percent", "per cent"),
    "slope_pct": ("hill", "climb", "slope", "gradient", "descent", "steep", "pass", "grade", "%"),
    "sealant_age_months": ("sealant",),
    "actuation_ratio": ("mech", "derailleur", "actuation", "shifter", "lever", "cable"),
    "tyre_clearance_mm": (
        "tyre",
        "tire",
        "clearance",
        "rub",
        "at the chainstay",
        "at the stays",
        "at the bridge",
        "gap to the chainstay",
        "gap to the stay",
        "at the fork crown",
        "at the crown",
        "under the bridge",
        "under the crown",
    ),
    "front_derailleur_capacity_teeth": ("front mech", "front derailleur", "front changer"),
    "new_bolt_circle_mm": ("circle", "bcd", "pcd", "bolt"),
    "cassette_gap_mm": ("sprocket", "cog", "cassette", "freewheel", "block"),
    "hub_power_w": ("watt", "power", "trainer", "turbo", "meter", " w "),
    "chainring_bolts_count": ("ring", "spider", "chainset", "crank", "circle", "bcd"),
    "spoke_hole_diameter_mm": ("spoke", "flange"),
    "sprocket_thickness_mm": ("sprocket", "cog", "cassette"),
    "sprocket_pitch_mm": ("sprocket", "cog", "cassette", "shift", "pitch"),
    "measured_stack_width_mm": ("sprocket", "cog", "cassette"),
    "rim_deviation_mm": ("hanger", "mech", "derailleur"),
    "arm_gap_mm": ("crank", "arm", "pedal", "meter", "stance"),
    "bore_spread_mm": ("bore", "seat tube", "seattube", "post", "shell"),
    "rated_sprocket_teeth": ("mech", "derailleur", "rear d", "capacity", "rated", "cage"),
    "fork_offset_mm": ("fork", "rake", "trail", "wheelbase", "head angle", "head tube", "steer"),
    "new_fork_offset_mm": ("fork", "rake", "trail", "head angle", "steer"),
    "spoke_tension_kgf": ("spoke", "tension"),
    "highest_spoke_tension_kgf": ("spoke", "tension", "kgf"),
    "lowest_spoke_tension_kgf": ("spoke", "tension", "kgf"),
    "pad_gap_mm": ("pad", "rotor", "brake", "disc", "disk"),
    "gap_width_mm": ("oil", "creep", "penetrat", "lube"),
    "valve_length_mm": ("valve", "tube"),
    "lever_reach_mm": ("lever", "brake"),
    "brake_drop_mm": ("reach", "calliper", "caliper", "brake bolt", "bolt to", "hole to", "screw to"),
    "rear_brake_drop_mm": ("reach", "calliper", "caliper", "bolt to", "hole to", "screw to"),
    "pump_stroke_ml": ("pump",),
    "new_pad_thickness_mm": ("pad", "lining", "block"),
    "new_rim_wall_mm": ("rim", "wall"),
    "later_pressure_kpa": ("psi", "bar", "kpa", "pressure"),
    "hop_mm": ("rim", "wheel", "spoke", "hop "),
    "measured_rear_chainline_mm": ("chainline", "chain line", "line of the chain"),
    "rotor_minimum_mm": ("rotor", "disc", "disk"),
    "rotor_thickness_mm": ("rotor", "disc", "disk"),
    "rim_wall_minimum_mm": ("rim", "wall"),
    "largest_rotor_mm": ("rotor", "disc", "disk", "brake"),
    "new_rotor_diameter_mm": ("rotor", "disc", "disk", "brake"),
    "thread_engaged_mm": ("thread",),
    "flange_offset_mm": ("flange", "hub", "spoke", "dish"),
    "left_flange_diameter_mm": ("flange", "hub", "spoke"),
    "right_flange_diameter_mm": ("flange", "hub", "spoke"),
    "left_flange_offset_mm": ("flange", "hub", "spoke", "dish"),
    "right_flange_offset_mm": ("flange", "hub", "spoke", "dish"),
    "left_arm_reach_mm": ("crank", "arm", "pedal"),
    "right_arm_reach_mm": ("crank", "arm", "pedal"),
    "rim_wall_mm": ("rim", "wheel", "brake"),
    "dent_depth_mm": ("dent", "ding", "dint", "bump"),
    "thread_length_left_mm": ("thread",),
    "bearing_outside_diameter_mm": ("bearing", "outer diameter", "outside diameter", " od ", "cup", "race"),
    "pedal_washer_mm": ("pedal",),
    "spoke_length_mm": ("spoke",),
    "spoke_in_hand_mm": ("spoke",),
    "dish_gap_mm": ("dish", "wheel", "rim"),
}
# "Inside" and "outer" are a rim's only where a rim is near.
POSITION_WORDS = word_set("inside inner outside outer external channel")
POSITION_OF = ("rim", "wheel", "tyre", "tire", "hook", "bead")
POSITIONED = word_set("rim_inner_width_mm rim_outer_width_mm")
# A printed limit, and what is measured to be held against it.
HELD_AGAINST = {
    "rotor_minimum_mm": "rotor_thickness_mm",
    "rim_wall_minimum_mm": "rim_wall_mm",
}
# These count only when the number follows: "10 Nm instead of 5" does not state the 10.
ONLY_BEFORE = phrase_set(
    "instead of|should be|supposed to be|says|stated|marked|rated for|rated to|to|from|recommended|up to|upgrade to|down to|go to|swap to|"
    "rotor says|went to|want a|put a|fit a|to fit a|drops|drops to|over|in|after|within|every|a-c"
)
# "2 bar left" is what remains; "2 bar, then I left" and "the left one" are not.
ONLY_RIGHT_BEHIND = word_set("left")
# Words that name a quantity of a figure with its unit, but no noun: nothing is theirs of a lone figure.
NO_NOUNS = word_set("only left set in over after within every later old bought")
# What tells of danger counts wherever in a message it stands, whatever milder thing the ask itself names.
ALARMS: frozenset[tuple[str, object]] = frozenset(
    {
        ("wax_heating", "smoking"),
        ("carbon_sign", "crack"),
        ("brake_gone", "gone"),
        ("brake_gone", "bar"),
        ("post_mark_seen", "shows"),
        ("e_bike_trouble", "hurt-battery"),
    }
)
# Of a range the upper end is the limit.
UPPER_LIMITS = word_set("tyre_max_pressure_kpa rim_max_pressure_kpa tyre_load_limit_kg")
# Sizes of a part; how much longer or shorter something is does not state them.
SIZES = word_set(
    "spoke_diameter_mm spoke_length_mm tyre_width_mm crank_length_mm stem_length_mm rim_inner_width_mm rim_outer_width_mm hub_width_mm "
    "frame_spacing_mm seatpost_diameter_mm post_length_mm thread_engaged_mm thread_length_left_mm shell_width_mm shell_bore_mm spacer_stack_mm valve_length_mm inseam_mm "
    "saddle_height_mm bar_clamp_diameter_mm spindle_length_mm links steerer_diameter_mm torque_n_m crank_power_w hub_power_w rider_power_w"
)
# An axle's thickness is said of a hub too: "front hub 12 mm" is no slip.
NEVER_DOUBTED = word_set(
    """hub_width_mm frame_spacing_mm crank_length_mm new_crank_length_mm largest_sprocket_teeth valve_length_mm rim_wall_mm
    seat_tube_length_mm front_chainline_mm q_factor_mm"""
)
TURNED = (
    "turn",
    "fold",
    "hinge",
    "swing",
    "swung",
    "swivel",
    "flip",
    "bearing",
    "taper",
    "angle",
    "bend",
    "rotat",
    "stem",
    " race",
    "chamfer",
    "tube",
    "lever",
    "kink",
    "twist",
    "phase",
    "lean",
    "headset",
    "spline",
)
ANGLES = word_set("head_angle_deg stem_angle_deg new_stem_angle_deg total_bend_deg")


def may_be(name: str, passage: Passage) -> bool:
    """Whether the text speaks of what this quantity belongs to."""
    words = ONLY_WITH.get(name)
    return words is None or passage.holds(*words)
