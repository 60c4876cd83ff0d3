"""Numbers for the eye and for the ear: pairs of input and output."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.numbers import for_the_ear, plain, significant


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("It pulls 2.3 mm a click.", "It pulls two point three millimetres a click."),
        ("a 32 mm tyre on the 19 mm rim", "a thirty-two millimetre tyre on the nineteen millimetre rim"),
        ("The gap is 4 mm wide.", "The gap is four millimetres wide."),
        ("between −0.2 to 0.1 mm", "between minus zero point two to zero point one millimetres"),
        ("5 to 6 N·m", "five to six newton metres"),
        ("about 1,200 km", "about one thousand two hundred kilometres"),
        ("4 bar (58 psi)", "four bar, fifty-eight P S I"),
        ("80W-90 oil", "eighty W ninety oil"),
        ("a 9/16 in thread", "a nine sixteenths inch thread"),
        ("28-622", "twenty-eight six hundred and twenty-two"),
        ("from 11-34", "from eleven to thirty-four"),
        ("121 °C", "one hundred and twenty-one degrees Celsius"),
        ("Check it. 35 N·m is usual.", "Check it. Thirty-five newton metres is usual."),
        ("the 7900 code", "the seventy-nine hundred code"),
        ("a 1986 racer with 6806 bearings", "a nineteen eighty-six racer with sixty-eight oh six bearings"),
        ("from 34 teeth up", "from thirty-four teeth up"),
        ("too narrow for 25 mm inside", "too narrow for twenty-five millimetres inside"),
        ("25 mm tyres at 2000 km", "twenty-five millimetre tyres at two thousand kilometres"),
    ],
)
def test_a_text_is_put_as_it_is_said(written, said):
    assert for_the_ear(written) == said


@pytest.mark.parametrize("text", ["No numbers here.", "M5x0.8 stays a code", "the A320b group", "BB86 shell"])
def test_codes_and_plain_words_stay_as_they_are(text):
    assert for_the_ear(text) == text


@given(st.floats(min_value=-1e6, max_value=1e6))
def test_three_digits_are_within_half_a_percent(value):
    assert significant(value) == pytest.approx(value, rel=5.1e-3, abs=1e-300)


@given(st.integers(min_value=0, max_value=999_999))
def test_whole_numbers_keep_their_value_in_print(number):
    assert float(plain(float(number)).replace(",", "")) == pytest.approx(number, abs=0.5)
