"""Pressures with their limits, warmth, heights, ways, watts and prices, each with a near miss."""

from __future__ import annotations

import pytest

from tests.triage.extract.stated import stated
from triage.extract import Finder


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("The rim, by its sheet: 23 mm wide, highest pressure 4.5 bar.", "rim_max_pressure_kpa", [450.0]),
        ("The tyre, by its sheet: 23 mm wide, highest pressure 4.5 bar.", "tyre_max_pressure_kpa", [450.0]),
        ("My pump's max pressure is 115 psi.", "tyre_pressure_kpa", []),
        ("I ride at 4.5 bar on rims 23 mm wide.", "rim_max_pressure_kpa", []),
        ("Printed max is 70 psi and I stay at 50ish.", "tyre_pressure_kpa", [344.7]),
        ("I filled it to 3.8 bar, then left the house.", "later_pressure_kpa", []),
        ("The tyre had 3.8 bar and there's 1 bar left.", "later_pressure_kpa", [100.0]),
        ("I inflated the new tube to only 80 psi.", "later_pressure_kpa", []),
        ("The tyre was at 85 psi on Friday, two days later I read 60.", "leak_time_days", [2.0]),
        ("The tyre was at 85 psi on Friday, two days later I read 60.", "later_pressure_kpa", [413.7]),
        ("Two days later the chain skipped.", "leak_time_days", []),
        ("Inside the rim it says 4.8 bar / 70 psi max.", "rim_max_pressure_kpa", [480.0, 482.6]),
        ("The sidewall's range: 40-70 psi on the sidewall.", "tyre_max_pressure_kpa", [482.6]),
        ("I ride 40-70 psi on the road.", "tyre_max_pressure_kpa", []),
        ("I ride at 60 psi, max is 85.", "tyre_max_pressure_kpa", [586.1]),
        ("I ride at 60 psi, in front at 55.", "tyre_max_pressure_kpa", []),
        ("After two days of not riding the tyres were fine.", "leak_time_days", []),
        ("It had 90 psi, and a week later I read 45.", "later_pressure_kpa", [310.3]),
        ("My pump only goes up to 100 psi.", "tyre_pressure_kpa", []),
        ("My pump says 80 psi.", "tyre_pressure_kpa", [551.6]),
        ("It jumps on the 19 when I put some pressure on.", "tyre_pressure_kpa", []),
        ("The site's line: 60 - 70 kg / 132 - 154 lb = 5 - 6 bar.", "tyre_pressure_kpa", []),
    ],
)
def test_which_pressure_it_is(finder: Finder, text: str, name: str, values: list[float]) -> None:
    """What a part may bear, what is ridden, and what is left of it."""
    assert stated(finder, text, name) == [pytest.approx(value, abs=0.1) for value in values]


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("We inflated them indoors at 19 C, and rode off at 3 C.", "pumped_temperature_degc", [19.0]),
        ("We inflated them indoors at 19 C, and rode off at 3 C.", "temperature_degc", [3.0]),
        ("I pumped them to 5 bar in the shed at 64 F.", "pumped_temperature_degc", [17.8]),
        ("An old 50 F lens mount holds my lamp.", "temperature_degc", []),
        ("My wheels hang above the stove at 50 °C.", "rim_place_degc", [50.0]),
        ("The stove is off and it's 5 °C.", "rim_place_degc", []),
        ("It squeals to one degree or 2 degrees of loudness.", "temperature_degc", []),
        ("I rode in 12 degree weather.", "temperature_degc", [12.0]),
        ("It stays between -6C and 1C all week.", "temperature_degc", [(-6.0, 1.0)]),
        ("Between 25C and 28C tyres I'd take the latter.", "temperature_degc", []),
        ("The angle of the straddle wire is somewhere around 90 degrees.", "temperature_degc", []),
        ("Our hut lies at 1,750 m.", "altitude_m", [1750.0]),
        ("The hut is 1,750 m from here.", "altitude_m", []),
        ("I pumped them in the valley at 400 m up and the hut is at 2100 m.", "pumped_altitude_m", [400.0]),
        ("I pumped them in the valley at 400 m up and the hut is at 2100 m.", "altitude_m", [2100.0]),
        ("There is a hill of 1 in 6 near us.", "slope_pct", [16.7]),
        ("Of my spokes 1 in 6 is loose.", "slope_pct", []),
        ("2,100 ft of descending at 8% on discs.", "descent_height_m", [640.1]),
        ("2,100 ft of descending at 8% on discs.", "slope_pct", [8.0]),
        ("I take the hill in 12 to 14 minutes.", "climb_time_min", [(12.0, 14.0)]),
    ],
)
def test_how_warm_and_how_high(finder: Finder, text: str, name: str, values: list[object]) -> None:
    """Of the weather or of the place where the tyre was filled; of the sea or of the hill."""
    assert stated(finder, text, name) == [
        value if isinstance(value, tuple) else pytest.approx(value, abs=0.1) for value in values
    ]


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("I do 6000 km in a year.", "yearly_distance_km", [6000.0]),
        ("I have done 6000 km on it.", "yearly_distance_km", []),
        ("I was 12 km from Porto when it snapped.", "distance_km", []),
        ("It snapped 12000 km from new.", "distance_km", [12000.0]),
        ("My head unit said 61 km for an official 60 km.", "true_distance_km", [60.0]),
        ("My chain did 61 km of an official 60 km.", "true_distance_km", []),
        ("It has a 350 W rear hub motor.", "rider_power_w", []),
        ("The motor is rated at 350 W.", "rider_power_w", []),
        ("I hold 230 W without any motor.", "rider_power_w", [230.0]),
        ("A 250 W step-through e-bike.", "rider_power_w", []),
        ("It fell off a 70 mph car.", "speed_kmh", []),
        ("I came down at 45 mph.", "speed_kmh", [72.42]),
        ("A 0.7 kWh pack.", "battery_watt_hours", [700.0]),
        ("Half a kilowatt hour is left in the battery.", "battery_watt_hours", [500.0]),
        ("We own two bikes and four batteries, and battery 3 is flat.", "battery_watt_hours", []),
        ("With a battery of 500 we get far.", "battery_watt_hours", [500.0]),
        ("Say a coefficient of friction of 0.6 in the dry.", "road_grip", [0.6]),
        ("The tape gives a grip of 0.6 mm more.", "road_grip", []),
        ("They claim 0.008 m² of drag area.", "drag_area_saving_m2", [0.008]),
        ("The bottle of oil was 8.90 euros.", "bottle_price_money", [8.9]),
        ("The bottle cage was 8 inches up.", "bottle_price_money", []),
        ("The conversion would cost £350, a used bike is £900. Worth it?", "upgrade_cost_money", [350.0]),
        ("The conversion would cost £350, a used bike is £900. Worth it?", "replacement_cost_money", [900.0]),
        ("I paid £900 for the bike. Is an upgrade worth it?", "upgrade_cost_money", []),
        ("Photo 4 of 6 was cut off.", "cut_length_mm", []),
    ],
)
def test_ways_watts_and_prices(finder: Finder, text: str, name: str, values: list[float]) -> None:
    """What was ridden, held or paid, and by whom."""
    assert stated(finder, text, name) == [pytest.approx(value, abs=0.01) for value in values]
