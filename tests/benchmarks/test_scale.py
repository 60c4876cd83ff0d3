"""What the benchmark reports follows from what was measured."""

from __future__ import annotations

import sys

import psutil
import pytest
from click.testing import CliRunner

from benchmarks.pipeline import main
from benchmarks.scale.alone import CommandFailedError, run_alone
from benchmarks.scale.part_names import catalogue
from benchmarks.scale.report import Target, as_text, exponent, growth, table, targets, write_into


def run_of(messages, workers, seconds, peak=500e6, accounted=None):
    return {
        "messages": messages, "workers": workers, "seconds": seconds, "core_seconds": seconds, "peak_bytes": peak, "processes": 1,
        "ledger_bytes": 10, "output_bytes": 10, "accounted": messages if accounted is None else accounted, "lines": messages,
        "told_as_repeats": 0, "planted": {"typo": 4}, "recall": {"typo": 0.75},
    }  # fmt: skip


def report_of(**parts):
    machine = {"cores": 2, "python": "3.11", "load": 0.1}
    return {
        "day": "2026-11-26",
        "command": "benchmark",
        "machine": machine,
        "notes": [],
        "inboxes": [],
        **parts,
    }


def test_a_child_counts_for_its_command():
    child = "import time; held = bytearray(120_000_000); time.sleep(1.2)"
    code = f"import subprocess, sys; held = bytearray(60_000_000); subprocess.run([sys.executable, '-c', {child!r}])"
    took = run_alone([sys.executable, "-c", code])

    assert took.peak_bytes > 180e6
    assert took.processes == 2
    assert took.seconds > 1.2


def test_a_command_has_the_cores_that_it_is_given_and_one_thread():
    code = "import os; print(len(os.sched_getaffinity(0)), os.environ['OMP_NUM_THREADS'])"

    assert run_alone([sys.executable, "-c", code], cores=1).output.split() == ["1", "1"]


def test_the_work_of_all_processes_is_counted():
    code = "import time\nwhile time.process_time() < 0.5: pass"

    assert run_alone([sys.executable, "-c", code]).core_seconds >= 0.5


def test_a_command_that_fails_says_its_last_words():
    with pytest.raises(CommandFailedError, match="ended with 3: no such knowledge"):
        run_alone(
            [sys.executable, "-c", "import sys; print('no such knowledge', file=sys.stderr); sys.exit(3)"]
        )


@pytest.mark.parametrize("power", [0.9, 1.0, 1.3])
def test_the_exponent_of_a_power_is_that_power(power):
    sizes = [1_000, 10_000, 100_000]

    assert exponent(sizes, [0.002 * size**power for size in sizes]) == pytest.approx(power)
    assert exponent([1000], [1.0]) is None


def test_growth_leaves_starting_up_out_and_small_inboxes_too():
    start = {"seconds": 10.0, "core_seconds": 8.0}
    runs = [run_of(1_000, 1, 999.0), run_of(10_000, 1, 10 + 20.0), run_of(100_000, 1, 10 + 200.0)]

    power, sizes = growth(report_of(start=start, runs=runs), 1)

    assert power == pytest.approx(1.0)
    assert sizes == [10_000, 100_000]


def test_each_figure_is_held_against_its_target():
    floor = {"messages": 10_000, "read_seconds": 2.0, "sort_seconds": 6.0, "sort_with_story_seconds": 7.0}
    runs = [run_of(10_000, 1, 30.0), run_of(10_000, 2, 10.0, accounted=9_999)]
    found = {target.what: target for target in targets(report_of(floors=[floor], runs=runs))}

    assert found["floor, 10,000 messages, one core"].figure == pytest.approx(0.8)
    assert found["floor, 10,000 messages, one core"].verdict == "met"
    assert found["whole over floor, 10,000 messages"].verdict == "missed by 1.25 times (1.50 times)"
    assert found["pace on two cores, 10,000 messages"].verdict == "met"
    assert found["the same, stretch"].verdict == "missed by 200 a second (1.20 times)"
    assert found["two cores against one, 10,000 messages"].figure == pytest.approx(3.0)
    assert found["messages accounted for, workers 1"].verdict == "met"
    assert found["messages accounted for, workers 2"].verdict == "missed by 0.0100 % (1.00 times)"


def test_a_failure_is_told_without_the_places_of_the_machine():
    code = "raise SystemExit('see /home/somebody/project/file.py, line 3')"

    with pytest.raises(CommandFailedError) as caught:
        run_alone([sys.executable, "-c", code])

    assert str(caught.value).endswith("ended with 1: see file.py, line 3")
    assert "/home" not in str(caught.value)
    assert sys.executable not in str(caught.value)


def test_a_goal_reached_exactly_is_met():
    assert Target("x", 2.5, 2.5, "", True).is_met
    assert Target("x", 2.5, 2.5, "", False).is_met


def test_the_report_says_what_could_not_be_measured_and_that_others_worked_beside_it():
    report = report_of(stages={"failed": "stages: ended with 1: no module"}, runs=[run_of(1_000, 1, 5.0)])
    report["machine"]["load"] = 3.2

    text = as_text(report)

    assert "Not measured: stages: ended with 1: no module" in text
    assert "Other work ran beside it (load 3.2 before it began)" in text
    assert "75.0% of 4" in text


def test_a_table_reads_as_text_and_as_markdown():
    assert table(("what", "ms"), [("read", "0.25"), ("sort", "10.00")]) == (
        "| what |    ms |\n"
        "| ---- | ----: |\n"
        "| read |  0.25 |\n"
        "| sort | 10.00 |"
    )  # fmt: skip


def test_figures_are_written_between_the_marks_of_a_document_and_nowhere_else(tmp_path):
    document = tmp_path / "scale.md"
    assert not write_into(document, "new")

    document.write_text("# Scale\nno marks\n")
    assert not write_into(document, "new")
    assert document.read_text() == "# Scale\nno marks\n"

    document.write_text("# Scale\n<!-- measured -->\nold\n<!-- end -->\nplan\n")
    assert write_into(document, "new")
    assert document.read_text() == "# Scale\n<!-- measured -->\nnew\n<!-- end -->\nplan\n"


def test_a_large_catalogue_has_as_many_parts_as_asked_and_no_name_twice(knowledge):
    large = catalogue(knowledge, 600, seed=1)
    names = [part.name.lower() for part in large.parts.values()]

    assert len(large.parts) == 600
    assert set(knowledge.parts) < set(large.parts)
    assert len(set(names)) >= 600 - (
        len(knowledge.parts) - len({p.name.lower() for p in knowledge.parts.values()})
    )
    assert large.digest != knowledge.digest


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--sizes", "many"], "expected whole numbers with commas between them"),
        (["--sizes", "0"], "expected whole numbers with commas between them"),
        (["--parts", "whole,sleep"], "no part sleep; there are whole, floor, stages, repeats, names"),
    ],
)
def test_a_wrong_word_is_refused_before_anything_runs(arguments, said):
    outcome = CliRunner().invoke(main, arguments)

    assert outcome.exit_code == 2
    assert said in outcome.output


def test_an_interrupted_measurement_leaves_nothing_running():
    def interrupt(_):
        raise KeyboardInterrupt

    before = {child.pid for child in psutil.Process().children(recursive=True)}
    with pytest.raises(KeyboardInterrupt):
        run_alone([sys.executable, "-c", "import time; time.sleep(60)"], on_look=interrupt)

    assert {child.pid for child in psutil.Process().children(recursive=True)} <= before
