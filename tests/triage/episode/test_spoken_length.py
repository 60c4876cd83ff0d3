"""The seconds of a script hold against a voice that reads it aloud: Debian's espeak-ng at a set rate.

The pace is measured on other scripts first, as it is for a presenter. Measured on the thirty-three approved scripts with the
pauses of `triage.pace`: most lie within 5 %. What lies further out has many short paragraphs (a person breathes between them,
the voice does not) or many long or spelled-out words.
"""

from __future__ import annotations

import shutil
import subprocess
import wave
from pathlib import Path

import pytest

from tests.triage.golden.drafts import approved, cases
from triage.episode.show import measure_pace, measured_pace
from triage.pace import GAP, reading_seconds

VOICE = shutil.which("espeak-ng")
pytestmark = pytest.mark.skipif(VOICE is None, reason="no espeak-ng: apt-get install espeak-ng")
RATES = (130, 150, 175)
"""Words a minute as the voice counts them; it comes out faster, which is why the pace is measured."""
NAMES = sorted(case["case"] for case in cases())
TEN, OTHERS = NAMES[:10], NAMES[10:]
"""The first ten by name, so that nobody picked them, and the scripts that the pace is measured on."""


def script_of(name: str) -> str:
    """The approved script of a case."""
    return approved(name).split("=== script\n\n")[1].split("\n\n=== reply")[0]


def read_aloud_seconds(script: str, rate: int, into: Path) -> float:
    """How long the voice takes for a script, its gaps left out."""
    assert VOICE is not None
    subprocess.run(
        [VOICE, "-v", "en-gb", "-s", str(rate), "-w", str(into)],
        input=GAP.sub("", script).encode(),
        check=True,
        timeout=60,
    )
    with wave.open(str(into)) as sound:
        return sound.getnframes() / sound.getframerate()


@pytest.fixture(scope="module", params=RATES)
def read_aloud(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> dict[str, float]:
    """The real seconds of each approved script at a rate."""
    into = tmp_path_factory.mktemp("voice") / "out.wav"
    return {name: read_aloud_seconds(script_of(name), request.param, into) for name in NAMES}


def off(name: str, pace: float, seconds: float) -> float:
    """How far the reckoned length lies from the real one, as a share of it."""
    return abs(reading_seconds(script_of(name), pace) - seconds) / seconds


def test_ten_scripts_take_as_long_as_reckoned_within_five_per_cent(read_aloud):
    pace = measured_pace([(script_of(name), read_aloud[name]) for name in OTHERS])

    assert {
        name: off(name, pace, read_aloud[name]) for name in TEN if off(name, pace, read_aloud[name]) > 0.05
    } == {}


def test_of_all_scripts_more_than_four_in_five_are_within_five_per_cent_and_none_beyond_eleven(read_aloud):
    """Each against the pace of all the others; said so that nobody takes ten scripts for all.

    Furthest out, by 10.0 %, is the shortest script with eight paragraphs, because each of them counts with the same pause.
    """
    found = []
    for name in NAMES:
        pace = measured_pace([(script_of(other), read_aloud[other]) for other in NAMES if other != name])
        found.append(off(name, pace, read_aloud[name]))

    assert sum(one <= 0.05 for one in found) >= 28
    assert max(found) < 0.11


def test_three_past_scripts_tell_the_pace_well_enough(read_aloud):
    """What a young show has: within 5 % of the pace that all scripts tell."""
    few = measured_pace([(script_of(name), read_aloud[name]) for name in OTHERS[:3]])
    every = measure_pace([(script_of(name), read_aloud[name]) for name in NAMES])

    assert few == pytest.approx(every.words_a_minute, rel=0.05)
    assert every.spread is not None
    assert every.spread / every.words_a_minute < 0.06
