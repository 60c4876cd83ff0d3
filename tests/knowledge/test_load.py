"""Every kind of fault in a knowledge file is named with file, line and field, and what to do."""

from __future__ import annotations

import pytest

from knowledge import tables
from knowledge.load import examine, load
from knowledge.trouble import KnowledgeError

BRIEF = """title: A test
examples: [a one, a two, a three, a four, a five, a six, a seven, a eight, a nine, a ten]
needs:
  - name: cable_pull_mm
  - name: actuation_ratio
figures: [travel_per_click_mm]
deciders:
  - figure: travel_per_click_mm
    bands:
      - {up_to: 3.8, verdict: not-recommended, because: too short}
      - {verdict: yes, because: long enough}
    source: drivetrain-27
answers:
  yes: {headline: Yes., body: It works.}
  not-recommended: {headline: No., body: It does not.}
  need-more: {headline: One thing., body: Tell us.}
"""


@pytest.fixture
def desk(tmp_path):
    """A desk's own folder; files are put into it by their path."""

    def put(path, text):
        file = tmp_path / "desk" / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
        return tmp_path / "desk"

    yield put
    tables.lay_over(None)


@pytest.mark.parametrize(
    ("change", "line", "field", "wrong"),
    [
        (("title: A test", "titel: A test"), 1, "titel", 'Did you mean "title"?'),
        (("travel_per_click_mm]", "travel_per_clack_mm]"), 6, "figures", 'Did you mean "travel_per_click_mm"?'),
        (("  - name: actuation_ratio\n", ""), 5, "figures", "nothing supplies actuation_ratio"),
        (("name: cable_pull_mm", "name: cable_pul_mm"), 4, "needs.0", 'Did you mean "cable_pull_mm"?'),
        (("source: drivetrain-27", "source: drivetrain-2777"), 8, "deciders.0", 'no source "drivetrain-2777"'),
        (("{verdict: yes, because: long enough}", "{up_to: 4.2, verdict: yes, because: x y}"), 8, "deciders.0", "must be open"),
        (("up_to: 3.8", "up_to: nothing_mm"), 8, "deciders.0", "nothing_mm"),
        (("body: It works.", "body: 'It moves {{ nothing_mm }}.'"), 14, "answers.yes.body", "unknown nothing_mm"),
        (("body: It works.", "body: 'It {{ moves.'"), 14, "answers.yes.body", "not a template"),
        (("body: It works.", "body: '{{ travel_per_click_mm.high - 1 }}'"), 14, "answers.yes.body", ".number is one"),
        (("body: It works.", "body: '{{ travel_per_click_mm > 3 }}'"), 14, "answers.yes.body", "click_mm.number is one"),
        (("body: It works.", "body: '{{ travel_per_click_mm.hihg }}'"), 14, "answers.yes.body", "travel_per_click_mm.hihg"),
        (("  need-more: {headline: One thing., body: Tell us.}\n", ""), 13, "answers", "no answer for the verdict need-more"),
        ((", a ten]", "]"), 2, "examples", "expected 10 or more, found 9"),
        (("verdict: yes, because", "verdict: maybe, because"), 11, "deciders.0.bands.1.verdict", "Input should be"),
        (("title: A test", "title: A test\nsafety: true"), 1, "brief", "a safety matter needs harm, see and cautions"),
        (("examples: [a one", "examples: [[a one"), 3, "file", "not readable as YAML"),
    ],
)  # fmt: skip
def test_a_fault_of_a_brief_is_named_with_its_line_and_field(desk, change, line, field, wrong):
    folder = desk("briefs/drivetrain/test.yaml", BRIEF.replace(*change))

    _, troubles = examine(folder)

    told = [str(trouble) for trouble in troubles if "briefs/drivetrain/test.yaml" in trouble.file]
    assert any(f"test.yaml:{line}: {field}" in text and wrong in text for text in told), told


@pytest.mark.parametrize(
    ("path", "text", "expected"),
    [
        (
            "tables/drivetrain/own.csv",
            "id,pull_mm,source,basis,checked\na,2.3,demo,demo,2026-11-25\na,2.4,demo,demo,2026-11-25\n",
            "own.csv:3: id: a stands twice",
        ),
        ("tables/drivetrain/own.csv", "id,source,basis,checked\na,dmeo,demo,2026-11-25\n", 'Did you mean "demo"?'),
        ("tables/drivetrain/own.csv", "id,source,basis,checked\na,demo,guess,2026-11-25\n", 'basis: unknown "guess"'),
        ("tables/drivetrain/own.csv", "id,source,basis,checked\na,demo,demo,yesterday\n", "expected a date"),
        ("tables/drivetrain/own.csv", "id,source,checked\na,demo,2026-11-25\n", "basis: column is missing"),
        ("parts/shifter.csv", "id,maker,name,also,source,cable_pull_mm\ns,M,N,,demo,2.3 mm\n", "Write the number alone: 2.3"),
        ("parts/shifter.csv", "id,maker,name,also,source,cable_pull_mm\ns,M,N,,demo,23\n", "23 is outside 1 to 6 mm"),
        ("parts/shifter.csv", "id,maker,name,also,source,cabel_pull_mm\ns,M,N,,demo,2\n", 'Did you mean "cable_pull_mm"?'),
        ("parts/rim.csv", "id,maker,name,also,source,rim_type\nr,M,N,,demo,hokless\n", 'unknown word "hokless"'),
        ("parts/shifter.csv", "id,maker,name,also,source\ns,M,N,demo\n", "expected 5 cells, found 4"),
        ("sources.csv", "id,title,basis\nown,Own,rumour\n", 'basis: unknown "rumour"'),
        ("briefs/tires/x.yaml", BRIEF, 'Did you mean "tyres"?'),
        ("contrasts.csv", "contrast,value,unsaid,words\nmaterial,bamboo,perhaps,bamboo\n", 'expected yes or no, found "perhaps"'),
        ("wants.csv", "wants,text\nperhaps,how do I true it\n", 'wants.csv:2: wants: expected order or words, found "perhaps"'),
        ("wants.csv", "wants,text\norder,\n", "wants.csv:2: text: is empty"),
        ("contrasts.csv", "contrast,value,unsaid,words\nmaterial,bamboo,yes,\n", "contrasts.csv:2: words: is empty"),
        ("contrasts.csv", "contrast,value,unsaid,words\nmaterial,,yes,bamboo\n", "contrasts.csv:2: contrast, value: is empty"),
        (
            "contrasts.csv",
            "contrast,value,unsaid,words\nmaterial,bamboo,yes,bamboo\nmaterial,bamboo,yes,cane\n",
            "contrasts.csv:3: value: bamboo stands twice",
        ),
    ],
)  # fmt: skip
def test_a_fault_of_a_table_is_named_with_what_to_do(desk, path, text, expected):
    _, troubles = examine(desk(path, text))

    assert any(expected in str(trouble) for trouble in troubles), [str(t) for t in troubles]


def test_a_desks_own_contrast_replaces_ours_of_that_value(desk):
    desk("sources.csv", "id,title,basis\ndemo,Our own demonstration,demo\n")
    folder = desk(
        "contrasts.csv",
        "contrast,value,unsaid,words\nmaterial,carbon,no,black stuff\nmaterial,bamboo,no,bamboo\n",
    )

    knowledge, troubles = examine(folder)

    found = {one.value: one for one in knowledge.contrasts if one.name == "material"}
    assert troubles == []
    assert (found["carbon"].words, found["carbon"].goes_unsaid) == (("black stuff",), False)
    assert {"bamboo", "steel"} <= set(found)


def test_a_desks_own_asking_is_marked_beside_ours_and_instead_of_one_of_ours(desk):
    desk("sources.csv", "id,title,basis\ndemo,Our own demonstration,demo\n")
    ours = load().wants
    text, in_order = ours[0]
    folder = desk("wants.csv", f'wants,text\nwords,"{text}"\norder,my very own asking\n')

    knowledge, troubles = examine(folder)

    assert (troubles, in_order) == ([], True)
    found = dict(knowledge.wants)
    assert (found[text], found["my very own asking"], len(found)) == (False, True, len(ours) + 1)


def test_all_faults_are_told_together_and_nothing_is_run(desk):
    desk("parts/shifter.csv", "id,maker,name,also,source,cable_pull_mm\ns,M,N,,demo,23\n")
    folder = desk("tables/drivetrain/own.csv", "id,source,basis,checked\na,demo,guess,2026-11-25\n")

    with pytest.raises(KnowledgeError, match=r"(?s)2 problems in 2 files\. Nothing was run\."):
        load(folder)


@pytest.mark.parametrize(
    ("steps", "called", "line", "told"),
    [
        ("[{do: Look., name: look}]", "steps: [lok]", 19, 'points.why.steps: no "lok" among the steps\n    Did you mean "look"?'),
        ("[{do: Look.}]", "cautions: [mind]", 19, 'points.why.cautions: no "mind" among the cautions\n    Name one of'),
        ("[{do: Look., name: a}, {do: Turn., name: a}]", "steps: [a]", 17, "checklist.1.name: a stands twice\n    Give each"),
    ],
)  # fmt: skip
def test_a_point_calls_steps_and_cautions_by_names_that_the_brief_gives(desk, steps, called, line, told):
    asked = "[why one, why two, why three, why four, why five]"
    points = f"points:\n  why: {{asked: {asked}, headline: The spring does it., {called}}}\n"
    folder = desk("briefs/drivetrain/test.yaml", f"{BRIEF}checklist: {steps}\n{points}")
    desk("sources.csv", "id,title,basis\ndemo,Our own demonstration,demo\n")

    with pytest.raises(KnowledgeError) as raised:
        load(folder)

    assert told in str(raised.value)
    assert f"test.yaml:{line}: " in str(raised.value)


def test_a_desks_own_row_replaces_ours_and_its_brief_joins_ours(desk):
    desk("briefs/drivetrain/test.yaml", BRIEF)
    folder = desk("sources.csv", "id,title,basis\ndemo,Our own demonstration,demo\n")

    knowledge, troubles = examine(folder)

    assert troubles == []
    assert knowledge.sources["demo"].title == "Our own demonstration"
    assert "drivetrain/test" in knowledge.briefs
    assert len(knowledge.sources) > 100


@pytest.mark.parametrize(
    ("headline", "is_told"), [("Then it's the cable.", True), ("Thin oil is enough.", False)]
)
def test_a_point_that_begins_in_mid_talk_is_told_with_its_line(desk, headline, is_told):
    points = f"points:\n  cable:\n    asked: [ask a, ask b, ask c, ask d, ask e]\n    headline: {headline}\n"
    folder = desk("briefs/drivetrain/test.yaml", BRIEF + points)
    desk("sources.csv", "id,title,basis\ndemo,Our own demonstration,demo\n")

    _, troubles = examine(folder)

    assert [f"{one.line}: {one.field}" for one in troubles if "mid-talk" in one.wrong] == (
        [f"{len(BRIEF.splitlines()) + 4}: points.cable.headline"] if is_told else []
    )


def test_the_shipped_knowledge_base_has_no_fault():
    _, troubles = examine()

    assert troubles == []


def test_what_a_quantity_can_cost_or_limit_is_held_to_its_words(desk):
    header = "name,kind,label,cues,low,high,tolerance,spread,usual_low,usual_high,basis,ask,measure,effort,chosen,limit"
    row = "tyre_width_mm,number,tyre width,tyre,15,130,1,-1,25,50,common-practice,How wide?,A rule.,7,maybe,upper"
    _, troubles = examine(desk("quantities/own.csv", f"{header}\n{row}\n"))

    told = "\n".join(map(str, troubles))
    assert "spread: expected 0 or more, found -1" in told
    assert "effort: expected 1 to 4, found 7" in told
    assert 'chosen: unknown "maybe"' in told
    assert 'limit: unknown "upper"' in told
    assert "One of: most, least, nothing." in told
