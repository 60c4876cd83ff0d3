"""Two tyre widths on one bicycle, limits that are nobody's weight, and what a rule asks for: in whole sentences."""

from __future__ import annotations

import pytest

from knowledge.base import Knowledge
from tests.triage.extract.stated import stated
from triage.extract import Finder, extract
from triage.records import Classified, Message, Question


@pytest.mark.parametrize(
    ("text", "front", "rear"),
    [
        ("I have 36 mm tyres behind and 30 up front, how hard?", [30.0], [36.0]),
        ("A 26 mm tyre on the front and a 30 mm tyre on the back.", [26.0], [30.0]),
        ("Tyres: front 42 mm, rear 47 mm.", [42.0], [47.0]),
        ("My 40 mm front tyre and 45 mm rear tyre, how hard?", [40.0], [45.0]),
        ("29er, 2.4 front and 2.2 rear, what pressure?", [61.0], [55.9]),
        ("60 psi in front and 65 psi at the back, on 32 mm tyres.", [], []),
        ("front 55 rear 60 psi on my 32 mm tyres", [], []),
        ("I need 28 spokes front and 32 rear on 19 mm rims.", [], []),
    ],
)
def test_two_widths_are_read_where_they_stand(
    finder: Finder, text: str, front: list[object], rear: list[object]
) -> None:
    assert stated(finder, text, "front_tyre_width_mm") == front
    assert stated(finder, text, "rear_tyre_width_mm") == rear


def test_for_a_brief_of_one_width_both_count(finder: Finder) -> None:
    text = "I have 36 mm tyres behind and 30 up front."
    assert sorted(map(str, stated(finder, text, "tyre_width_mm"))) == ["30.0", "36.0"]


@pytest.mark.parametrize(
    ("text", "limit", "rider"),
    [
        ("The wheels are rated to 105 kg system. I run 30 mm tyres.", [105.0], []),
        ("My wheelset has a 115 kg rider limit and I am 98 kg.", [115.0], [98.0]),
        ("The manual says 125 kg. I weigh 88 kg.", [125.0], [88.0]),
        ("Maximum system weight of 120 kg, me 84 kg.", [120.0], [84.0]),
        ("I weigh 110 kg and ride 35 mm tyres.", [], [110.0]),
    ],
)
def test_a_limit_is_nobodys_weight(
    finder: Finder, text: str, limit: list[object], rider: list[object]
) -> None:
    assert stated(finder, text, "mass_limit_kg") == limit
    assert stated(finder, text, "rider_mass_kg") == rider
    assert stated(finder, text, "load_mass_kg") == []


@pytest.mark.parametrize(
    ("text", "child", "bike"),
    [
        ("I have a 16 kg toddler on the back of a bike with 42 mm tyres.", [16.0], []),
        ("My 8 year old weighs 27 kg, tyres 20x1.75.", [27.0], []),
        ("My grandson is 6 and weighs 19 kg, 16 inch wheels.", [19.0], []),
        ("My son is 9, his bike weighs 12 kg.", [], [12.0]),
        ("The 22 kg child seat bolts to my bike.", [], []),
    ],
)
def test_a_childs_weight_is_not_the_bicycles(
    finder: Finder, text: str, child: list[object], bike: list[object]
) -> None:
    assert stated(finder, text, "child_mass_kg") == child
    if child:
        assert stated(finder, text, "bike_mass_kg") == bike


def test_where_a_chart_ends_is_nobodys_weight(finder: Finder) -> None:
    text = "I'm 20 stone and every chart stops at 16 stone."
    assert stated(finder, text, "rider_mass_kg") == [pytest.approx(127.0, abs=0.1)]


def test_what_a_tyre_may_carry_stays_the_tyres(finder: Finder) -> None:
    text = "Tyres marked max load 110 kg, I'm 95 kg."
    assert stated(finder, text, "mass_limit_kg") == []
    assert stated(finder, text, "tyre_load_limit_kg") == [110.0]


@pytest.mark.parametrize(
    ("text", "gaps"),
    [
        ("The handbook recommends at least 1.6 mm (1/16 in) between tire and frame, mine has more.", []),
        ("You need 6 mm between the tyre and the frame; mine has 4 mm at the chainstays.", [4.0]),
        ("There is at least 5 mm clearance each side of the 32 mm tyre.", [5.0]),
    ],
)
def test_a_gap_that_is_asked_for_is_not_there_yet(finder: Finder, text: str, gaps: list[object]) -> None:
    assert stated(finder, text, "tyre_clearance_mm") == gaps


def test_what_was_ridden_before_is_another_bicycle(finder: Finder) -> None:
    text = "She has only ever ridden a mountain bike. Now she gets a road bike."
    assert stated(finder, text, "discipline") == ["road"]


def test_a_pressure_in_brackets_has_its_unit_before_it(finder: Finder) -> None:
    text = "I pumped it to the PSI printed on the tire (65) and it burst."
    assert stated(finder, text, "tyre_width_mm") == []
    assert stated(finder, text, "tyre_max_pressure_kpa") == [pytest.approx(448.16, abs=0.01)]


@pytest.mark.parametrize(
    ("text", "name", "highest", "ridden"),
    [
        ("The sidewall says min 2.0 max 4.0 bar. I run 3.2 bar.", "tyre_max_pressure_kpa", 400.0, 320.0),
        ("2.5 - 4.5 bar is written on the tyre. I run 5 bar.", "tyre_max_pressure_kpa", 450.0, 500.0),
        ("Rim says min 2 bar, max 3.5 bar and I ride 3 bar.", "rim_max_pressure_kpa", 350.0, 300.0),
    ],
)
def test_a_printed_range_is_not_ridden(
    finder: Finder, text: str, name: str, highest: float, ridden: float
) -> None:
    assert stated(finder, text, name) == [highest]
    assert stated(finder, text, "tyre_pressure_kpa") == [ridden]


def test_bare_pressures_take_the_unit_that_was_said(finder: Finder) -> None:
    text = "Tyre max is 7.2 bar, rim sticker 5.8, I have always ridden 6.4. Rim 5.5 mm deep."
    assert stated(finder, text, "rim_max_pressure_kpa") == [580.0]
    assert stated(finder, text, "tyre_pressure_kpa") == [640.0]


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("Candle wax at 140 c in a chip fryer, fine?", "temperature_degc", [140.0]),
        ("The thermometer says 92 in my slow cooker of wax.", "temperature_degc", [92.0]),
        ("Is a 35c tyre fine on a 19 mm rim?", "temperature_degc", []),
        ("The ebike is 26 kg, ebike 26 kg.", "rider_mass_kg", []),
        ("My husband is 90 kg, me 61, tyres 40 mm each.", "rider_mass_kg", [90.0, 61.0]),
        ("30 mm tubeless tyre on 25 mm hookless, 55 psi", "rim_inner_width_mm", [25.0]),
        ("Is a 28 mm hookless tyre fine?", "rim_inner_width_mm", []),
        ("Tyre now 30, 7 mm gap each side, want 35.", "old_tyre_width_mm", [30.0]),
        ("Tyre now 30, 7 mm gap each side, want 35.", "tyre_width_mm", [35.0]),
        ("There are 4 mm under the brake with 25 mm tyres.", "tyre_clearance_mm", [4.0]),
        ("I get 3 mm at the chainstays with a 32 fitted.", "tyre_clearance_mm", [3.0]),
        ("We have 4 mm at the fork crown.", "tyre_clearance_mm", [4.0]),
        ("The blocks stand 2 mm off at the fork.", "tyre_clearance_mm", []),
        ("Tyre max load 110 kg, me 90 kg, bike 40 kg.", "tyre_load_limit_kg", [110.0]),
    ],
)
def test_what_stands_beside_a_number_says_whose_it_is(
    finder: Finder, text: str, name: str, values: list[object]
) -> None:
    assert stated(finder, text, name) == values


def test_a_wheel_size_in_inches_is_no_width(finder: Finder) -> None:
    details, doubts = finder.find('Will a 28 mm tyre fit a 27 inch wheel? The shop says 27-1/2".')
    assert [d.value for d in details if d.name == "tyre_width_mm"] == [28.0]
    assert doubts == []


def test_a_size_in_full_counts_beside_the_name_of_another_wheel(knowledge: Knowledge) -> None:
    text = "My old tourer has 27 x 1 1/4 tyres. Will a 700C tube go in?"
    message = Message("m", "mail", None, None, None, None, None, text, "", "")
    question = Question("q", message, "Will a 700C tube go in?", "", True)
    told = extract([Classified(question, "tyres", 0.9, (("tyres/size-names", 0.9),))], knowledge)[0]
    assert [d.value for d in told.details if d.name == "bead_seat_diameter_mm"] == [630.0, 622.0]


@pytest.mark.parametrize(
    ("text", "own"),
    [
        ("Should my 28 mm tyres be harder? The bloke at the club runs 110 psi.", []),
        ("My neighbour pumps his to 7 bar, I ride 5 bar on 30 mm tyres.", [500.0]),
        ("My mate says that I run 80 psi too hard on 30 mm tyres.", [pytest.approx(551.58, abs=0.01)]),
    ],
)
def test_what_another_rides_is_nobodys_pressure_here(finder: Finder, text: str, own: list[object]) -> None:
    assert stated(finder, text, "tyre_pressure_kpa") == own


@pytest.mark.parametrize(
    ("text", "name", "expected"),
    [
        ("I am 180# and the bike 22#, 32 mm tyres.", "rider_mass_kg", [81.6]),
        ("I keep 105# in the tyres.", "tyre_pressure_kpa", [723.9]),
        ("Spoke #20 broke on a 28 mm tyre.", "rider_mass_kg", []),
        ("The rim size is 26 and 1 1/4.", "bead_seat_diameter_mm", [597.0]),
        ("The rim size is 26 and 1 1/4.", "tyre_width_mm", [31.8]),
        ("It says 28 by 1 1/2 on the side.", "bead_seat_diameter_mm", [635.0]),
        ("I had 26 and 1 of them burst, 3/4 worn.", "bead_seat_diameter_mm", []),
        ("For a 15 percent tyre drop, how hard do I pump 28 mm tyres?", "tyre_width_mm", [28.0]),
        ("Is 20 tire deflection too much?", "tyre_width_mm", []),
        ("My laptop and other work gear weigh 9 kg, and I am 80 kg.", "load_mass_kg", [9.0]),
        ("My tools weigh 10-12 kg.", "load_mass_kg", [(10.0, 12.0)]),
        ("The rear stays are only 124 mm apart.", "frame_spacing_mm", [124.0]),
    ],
)
def test_pound_signs_drops_gear_and_stays(
    finder: Finder, text: str, name: str, expected: list[object]
) -> None:
    assert [_rounded(value) for value in stated(finder, text, name)] == expected


def _rounded(value: object) -> object:
    return round(value, 1) if isinstance(value, float) else value


@pytest.mark.parametrize(
    ("text", "name", "expected"),
    [
        ("I stuck the tub with the glue from a puncture kit.", "tubular_cement", ["patch-solution"]),
        ("I stuck the tub with rim cement.", "tubular_cement", []),
        ("The dynamo's axle turned in the fork.", "axle_turned", ["turned"]),
        ("The wheel turned freely in the stand.", "axle_turned", []),
        ("Do I pick the bits out of the tread?", "glass_bits", ["bits"]),
    ],
)
def test_patch_glue_turned_axles_and_glass(
    finder: Finder, text: str, name: str, expected: list[object]
) -> None:
    assert stated(finder, text, name) == expected


@pytest.mark.parametrize(
    ("text", "widths"),
    [
        ("I've gone up to 34mm on the commuter. What pressure for 81 kg?", [34.0]),
        ("Just fitted 30mm ones at both ends, what psi for a rider of 74 kg?", [30.0]),
        ("New 32mm tyers, I weigh 70 kg. How many psi?", [32.0]),
        ("All my friends went to 30 mm, I'm on 25s at 100 psi. Too hard?", [25.0]),
        ("I've put a 40mm spacer on the steerer. And what pressure do I run?", []),
        ("Fitted a fork of 40mm more. What pressure goes in the shock?", []),
    ],
)
def test_where_pressure_is_asked_for_a_bare_width_is_the_tyres(
    finder: Finder, text: str, widths: list[object]
) -> None:
    assert stated(finder, text, "tyre_width_mm") == widths


@pytest.mark.parametrize(
    ("text", "tyre", "rim"),
    [
        ("Is a 25mm-tyre on a 23mm-rim risky?", [25.0], [23.0]),
        ("My 28s on rims of 21 mm inner width come out at 30 mm.", [28.0], [21.0]),
        ("The rims measure 21 mm inside and the tyres 28 mm.", [28.0], [21.0]),
    ],
)
def test_what_a_tyre_comes_to_is_not_the_rims_width(
    finder: Finder, text: str, tyre: list[object], rim: list[object]
) -> None:
    assert stated(finder, text, "tyre_width_mm") == tyre
    assert stated(finder, text, "rim_inner_width_mm") == rim


@pytest.mark.parametrize(
    ("text", "thickness"),
    [
        ("With the smaller rim I'd move the pads down by 5 mm, is that all?", []),
        ("The blocks go up about 3 mm in their slots.", []),
        ("The pads are down to 1 mm.", [1.0]),
    ],
)
def test_how_far_blocks_are_moved_is_not_how_thick_they_are(
    finder: Finder, text: str, thickness: list[object]
) -> None:
    assert stated(finder, text, "pad_thickness_mm") == thickness


@pytest.mark.parametrize(
    ("text", "torques"),
    [
        ("The new HillRunner 4 went on with my thumbs, then the bolt clicked.", []),
        ("I fitted a Mudlark 5 and went home.", []),
        ("The wrench went to 5 and clicked, is that enough torque?", [5.0]),
    ],
)
def test_the_number_of_a_model_measures_nothing(finder: Finder, text: str, torques: list[object]) -> None:
    assert stated(finder, text, "torque_n_m") == torques


@pytest.mark.parametrize(
    ("text", "name", "doubted"),
    [
        # The nearer word says what it is, though another would take the figure.
        (
            "Will a 32 mm tyre go on my rim, which is 21 cm inside, or do I need new rims?",
            "rim_inner_width_mm",
            True,
        ),
        (
            "Will a 32 mm tyre go on my rim, which is 21 mm inside, or do I need new rims?",
            "rim_inner_width_mm",
            False,
        ),
        ("The tyres are at 75 bar and I weigh 80 kg.", "tyre_pressure_kpa", True),
        ("The tyres are at 5 bar and I weigh 80 kg.", "tyre_pressure_kpa", False),
        # Nobody says ten times what the bike weighs: the word before it is the rider's.
        ("what pressure on 28mm tyres i weigh 86kg bike 9kg", "rider_mass_kg", False),
    ],
)
def test_a_figure_in_the_wrong_unit_is_doubted_and_not_lost(
    finder: Finder, text: str, name: str, doubted: bool
) -> None:
    details, doubts = finder.find(text)
    assert (name in [doubt for doubt, _ in doubts]) is doubted
    assert (name in [detail.name for detail in details]) is not doubted


def test_two_children_carried_are_one_load(finder: Finder) -> None:
    text = "Carrying my two kids, 15 and 19 kg, on a cargo bike of 35 kg."
    assert stated(finder, text, "load_mass_kg") == [34.0]
    assert stated(finder, text, "bike_mass_kg") == [35.0]
    assert stated(finder, "My twins weigh 12 and 13 kg.", "load_mass_kg") == []
