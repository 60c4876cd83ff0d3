"""The bench without script: correct, edit, tick, return, sign, take back, and two people at once."""

from __future__ import annotations

import re

import pytest
from selectolax.lexbor import LexborHTMLParser

from triage.desk.bench import points_of
from triage.ledger import Filter
from triage.ledger.rows import message_key
from triage.pipeline import Desk, make_drafts
from triage.record_line import as_line


def version(ledger, question):
    return str(ledger.reviews.of(question).version)


def said(text):
    """A page as one reads it."""
    return " ".join(LexborHTMLParser(text).body.text(separator=" ").split())


def test_the_bench_shows_the_words_the_working_and_both_drafts(visitor, question):
    text = visitor("editor").get(f"/bench/{question}")
    page = LexborHTMLParser(text)

    assert page.css_first("h1").text() == "A bigger cassette for lower gears on the derailleur that is there"
    assert page.css_first(".answer .stamp").text() == "not-recommended"
    assert "m = R_max - R = 30 teeth - 34 teeth = −4 teeth" in said(text)
    marked = {mark.text() for mark in page.css("a.read")}
    assert {"34/28", "11-34"} <= marked
    assert (
        page.css_first("#script").text().startswith("Here is") or "Zsofia" in page.css_first("#script").text()
    )
    assert page.css_first("#reply").text().startswith("Hi Zsofia,")


def test_each_understood_word_leads_to_a_working_that_uses_it_and_back(visitor, question):
    page = LexborHTMLParser(visitor("editor").get(f"/bench/{question}"))
    ids = [one.attributes["id"] for one in page.css("[id]")]

    assert len(ids) == len(set(ids))
    for mark in page.css("a.read"):
        assert mark.attributes["href"].removeprefix("#") in ids
    for tie in page.css("a.tie"):
        assert tie.attributes["href"].removeprefix("#") in ids


def test_a_corrected_detail_is_worked_out_again_with_what_it_changed(visitor, question, ledger):
    editor = visitor("editor")
    name = next(
        one for one in re.findall(r'name="read\.([a-z_]+)" value="30"', editor.get(f"/bench/{question}"))
    )
    field = {f"read.{name}": "36", f"was.{name}": "30"}

    answer = editor.post(f"/bench/{question}/read", version="0", **field)

    assert answer.status_code == 303
    after = said(editor.get(answer.headers["location"].split("#")[0]))
    assert "What that changed" in after
    assert "corrected by the desk" in after
    line = ledger.question(question)
    # By hand: 36 - 34 leaves 2 teeth, so that only the capacity is open: 35 less 23 to 42.
    assert next(f["value"] for f in line["figures"] if f["label"].startswith("Teeth under")) == 2
    assert line["verdict"] == "need-more"
    assert ledger.reviews.of(question).state == "in-hand"
    assert [deed.kind for deed in ledger.reviews.history(question)] == ["corrected"]


def test_a_value_may_carry_another_unit(visitor, ledger):
    wide = ledger.wall.cards(Filter(brief="tyres/rim-width"), 1)[0]
    editor = visitor("editor")

    editor.post(
        f"/bench/{wide['question_id']}/read",
        version="0",
        **{"read.rim_inner_width_mm": "1 in", "was.rim_inner_width_mm": ""},
    )

    details = {d["name"]: d["value"] for d in ledger.question(wide["question_id"])["details"]}
    assert details["rim_inner_width_mm"] == pytest.approx(25.4)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        (
            "wide",
            "expected a number, with a unit if you like, got “wide”".replace("“", "&#34;").replace(
                "”", "&#34;"
            ),
        ),
        ("3 bar", "is no unit of the kind needed: mm"),
        ("4000", "4000 mm can&#39;t be; expected"),
    ],
)
def test_a_value_that_cannot_be_is_refused_with_what_would_do(typed, told, visitor, ledger):
    wide = ledger.wall.cards(Filter(brief="tyres/rim-width"), 1)[0]["question_id"]

    answer = visitor("editor").post(
        f"/bench/{wide}/read",
        version="0",
        **{"read.rim_inner_width_mm": typed, "was.rim_inner_width_mm": ""},
    )

    assert answer.status_code == 409
    assert told in answer.text
    assert ledger.reviews.of(wide).version == 0


def test_another_brief_is_drafted_at_once_and_can_be_taken_back(visitor, question, ledger):
    editor = visitor("editor")
    before = ledger.question(question)

    editor.post(f"/bench/{question}/sort", version="0", brief="drivetrain/chain-wear")
    between = ledger.question(question)
    deed = ledger.reviews.history(question)[0].number
    editor.post(f"/bench/{question}/back", version=version(ledger, question), deed=str(deed))
    after = ledger.question(question)

    assert between["brief"] == "drivetrain/chain-wear"
    same = ("brief", "verdict", "headline", "script", "reply", "topic_confidence", "flags", "is_question")
    assert {key: after[key] for key in same} == {key: before[key] for key in same}
    assert ledger.corrections(question) == []


def test_the_nearest_briefs_are_a_click_away(visitor, question, ledger, knowledge):
    page = LexborHTMLParser(visitor("editor").get(f"/bench/{question}"))
    line = ledger.question(question)
    others = [name for name, _ in line["nearest_briefs"] if name != line["brief"]]

    buttons = page.css(".nearest button")
    assert others
    assert [button.attributes["value"] for button in buttons] == others
    assert all(
        knowledge.briefs[name].title in button.text() for name, button in zip(others, buttons, strict=True)
    )


def test_what_is_asked_within_the_brief_opens_the_answer_and_can_be_taken_back(
    visitor, question, ledger, knowledge
):
    pointed = next(b for b in knowledge.briefs.values() if b.points and b.verdict == "explain")
    name = next(iter(pointed.points))
    editor = visitor("editor")
    editor.post(f"/bench/{question}/sort", version="0", brief=pointed.id)
    general = ledger.question(question)
    assert f'<option value="{name}">' in editor.get(f"/bench/{question}")

    editor.post(f"/bench/{question}/sort", version=version(ledger, question), point=name, was_point="")
    opened = ledger.question(question)
    deed = ledger.reviews.history(question)[0].number
    assert f'<option value="{name}" selected>' in editor.get(f"/bench/{question}")
    editor.post(f"/bench/{question}/back", version=version(ledger, question), deed=str(deed))

    assert opened["point"] == f"{pointed.id}#{name}"
    assert opened["headline"] != general["headline"]
    assert ledger.question(question)["reply"] == general["reply"]
    assert [row["kind"] for row in ledger.corrections(question)] == ["brief"]


def test_two_things_asked_within_the_brief_are_answered_in_their_order(visitor, question, ledger, knowledge):
    pointed = next(
        b for b in knowledge.briefs.values() if len(b.points) > 1 and b.verdict == "explain" and not b.needs
    )
    second, first = list(pointed.points)[:2]
    editor = visitor("editor")
    editor.post(f"/bench/{question}/sort", version="0", brief=pointed.id)

    editor.post(
        f"/bench/{question}/sort",
        version=version(ledger, question),
        point=first,
        also=second,
        was_point="",
    )

    line, page = ledger.question(question), editor.get(f"/bench/{question}")
    assert (line["point"], line["more_points"]) == (f"{pointed.id}#{first}", [f"{pointed.id}#{second}"])
    places = [line["reply"].index(pointed.points[name].headline) for name in (first, second)]
    assert places == sorted(places)
    assert f'name="was_point" value="{first},{second}"' in page
    assert all(f'<option value="{name}" selected>' in page for name in (first, second))


def test_a_question_set_aside_leaves_the_wall(visitor, question, ledger):
    visitor("desk").post(f"/bench/{question}/sort", version="0", kind="praise")

    assert not ledger.question(question)["is_question"]
    assert question in [card["question_id"] for card in ledger.wall.cards(Filter(aside=True), 100)]


def test_a_signed_draft_that_is_edited_loses_its_sign_off_and_says_why(visitor, question, ledger):
    editor, presenter = visitor("editor"), visitor("presenter")
    editor.post(f"/bench/{question}/sign", version="0")
    assert ledger.reviews.of(question).is_signed

    presenter.post(f"/bench/{question}/text", version="1", script="Only this.")

    review = ledger.reviews.of(question)
    assert (review.state, review.signed_by) == ("in-hand", None)
    assert review.lost_because == "the presenter edited the script."
    assert "The sign-off was lost." in said(editor.get(f"/bench/{question}"))


def test_a_dropped_caution_must_be_seen_before_signing(visitor, question, ledger):
    editor = visitor("editor")
    line = ledger.question(question)
    caution = line["cautions"][0]
    assert caution in line["reply"]
    editor.post(f"/bench/{question}/text", version="0", reply=line["reply"].replace(caution, ""))

    unseen = editor.post(f"/bench/{question}/sign", version="1")
    page = editor.get(f"/bench/{question}")
    seen = re.search(r'name="seen" value="([0-9a-f]+)"', page)[1]
    signed = editor.post(f"/bench/{question}/sign", version="1", seen=seen)

    assert unseen.status_code == 409
    assert "Look at what is pointed out in the edits first" in unseen.text
    assert "caution dropped" in said(page)
    assert signed.status_code == 303
    assert ledger.reviews.of(question).is_signed


def test_figures_are_ticked_one_by_one_and_a_tick_falls_with_its_figure(visitor, question, ledger):
    editor = visitor("editor")
    figures = [figure["name"] for figure in ledger.question(question)["figures"]]
    for number, figure in enumerate(figures):
        editor.post(f"/bench/{question}/tick", version=str(number), figure=figure, right="1")
    assert set(ledger.reviews.of(question).ticks) == set(figures)

    name = re.findall(r'name="read\.([a-z_]+)" value="30"', editor.get(f"/bench/{question}"))[0]
    editor.post(
        f"/bench/{question}/read", version=str(len(figures)), **{f"read.{name}": "36", f"was.{name}": "30"}
    )

    kept = set(ledger.reviews.of(question).ticks)
    assert kept
    assert kept < set(figures)


def test_a_returned_draft_carries_its_note(visitor, question, ledger):
    editor = visitor("editor")

    empty = editor.post(f"/bench/{question}/return", version="0", note="  ")
    editor.post(f"/bench/{question}/return", version="0", note="Ask which cage it is.")

    assert empty.status_code == 409
    assert ledger.reviews.of(question).state == "returned"
    assert "Returned: Ask which cage it is." in said(visitor("desk").get(f"/bench/{question}"))


def test_the_second_of_two_sees_both_versions_and_loses_nothing(visitor, question, ledger):
    one, other = visitor("editor"), visitor("presenter")
    one.post(f"/bench/{question}/text", version="0", script="The first version of it.")

    clash = other.post(f"/bench/{question}/text", version="0", script="The second version of it.")

    assert clash.status_code == 409
    told = said(clash.text)
    assert "Somebody was faster" in told
    assert "the editor edited the script" in told
    page = LexborHTMLParser(clash.text)
    areas = [area.text() for area in page.css("textarea")]
    assert areas == ["The first version of it.", "The second version of it."]
    assert ledger.reviews.of(question).script == "The first version of it."

    now = page.css_first('input[name="version"]').attributes["value"]
    other.post(f"/bench/{question}/text", version=now, script="Both versions of it.")

    assert ledger.reviews.of(question).script == "Both versions of it."
    texts = [deed.now for deed in ledger.reviews.history(question) if deed.kind == "edited"]
    assert texts == ["Both versions of it.", "The first version of it."]


def test_a_correction_that_comes_second_can_be_made_all_the_same(visitor, question, ledger):
    one, other = visitor("editor"), visitor("desk")
    one.post(f"/bench/{question}/text", version="0", reply="Hello.")

    clash = other.post(f"/bench/{question}/sort", version="0", topic="wheels")
    page = LexborHTMLParser(clash.text)
    fields = {i.attributes["name"]: i.attributes["value"] for i in page.css('form[action$="/sort"] input')}

    assert fields["topic"] == "wheels"
    other.post(f"/bench/{question}/sort", **{k: v for k, v in fields.items() if k != "form_token"})
    assert ledger.question(question)["topic"] == "wheels"


def test_a_correction_that_comes_second_is_told_before_it_is_made_all_the_same(visitor, question, ledger):
    one, other = visitor("editor"), visitor("desk")
    one.post(f"/bench/{question}/text", version="0", reply="Hello.")
    said_now = {"read.largest_ring_teeth": "50", "was.largest_ring_teeth": ""}
    as_it_was = {"read.tyre_width_mm": "28", "was.tyre_width_mm": "28"}

    clash = other.post(f"/bench/{question}/read", version="0", **said_now, **as_it_was)

    wanted = [" ".join(item.text().split()) for item in LexborHTMLParser(clash.text).css("main li")]
    assert wanted == ["largest chainring: 50"]
    assert "the editor edited the reply" in said(clash.text)


@pytest.mark.parametrize(
    ("door", "form"), [("sign", {"seen": "anything"}), ("tick", {"figure": "x", "right": "1"})]
)
def test_nobody_signs_or_vouches_unseen_for_what_somebody_else_has_just_changed(
    visitor, question, ledger, door, form
):
    one, other = visitor("presenter"), visitor("editor")
    one.post(f"/bench/{question}/text", version="0", script="Quite another script.")

    clash = other.post(f"/bench/{question}/{door}", version="0", **form)

    page = LexborHTMLParser(clash.text)
    assert clash.status_code == 409
    assert page.css("main form") == []
    assert page.css_first("main .ways a").attributes["href"] == f"/bench/{question}"
    assert "Nobody signs or vouches for what they have not seen." in said(clash.text)
    assert not ledger.reviews.of(question).is_signed


def test_where_two_texts_part_is_shown_by_the_words_around_it_alone(visitor, question, bench):
    one, other = visitor("editor"), visitor("presenter")
    script = bench.line(question)["script"]
    one.post(f"/bench/{question}/text", version="0", script=f"{script} Theirs.")

    clash = other.post(f"/bench/{question}/text", version="0", script=f"{script} Mine.")

    page = LexborHTMLParser(clash.text)
    parted = page.css_first("main .letter")
    assert [one.text() for one in parted.css("del")] == ["Theirs"]
    assert [one.text() for one in parted.css("ins")] == ["Mine"]
    assert len(parted.text()) < len(script) / 2
    assert [area.text().strip() for area in page.css("textarea")] == [f"{script} Theirs.", f"{script} Mine."]


def test_only_ones_own_steps_are_taken_back_and_only_before_the_sign_off(visitor, question, ledger):
    editor, presenter = visitor("editor"), visitor("presenter")
    presenter.post(f"/bench/{question}/text", version="0", script="Mine.")
    deed = str(ledger.reviews.history(question)[0].number)

    others = editor.post(f"/bench/{question}/back", version="1", deed=deed)
    editor.post(f"/bench/{question}/sign", version="1", seen=_seen(editor, question))
    signed = presenter.post(f"/bench/{question}/back", version="2", deed=deed)

    assert "That was the presenter&#39;s step." in others.text
    assert "The draft is signed off." in signed.text
    assert ledger.reviews.of(question).script == "Mine."


def _seen(editor, question):
    found = re.search(r'name="seen" value="([0-9a-f]+)"', editor.get(f"/bench/{question}"))
    return found[1] if found else ""


def test_an_edit_that_is_taken_back_leaves_the_draft_as_it_was(visitor, question, ledger):
    presenter = visitor("presenter")
    presenter.post(f"/bench/{question}/text", version="0", script="Mine.")
    deed = str(ledger.reviews.history(question)[0].number)

    presenter.post(f"/bench/{question}/back", version="1", deed=deed)
    twice = presenter.post(f"/bench/{question}/back", version="2", deed=deed)

    assert ledger.reviews.of(question).script is None
    assert "That step was taken back already." in twice.text


def test_a_presenter_sees_no_address_and_the_desk_does(visitor, question):
    assert "zsofia@" not in visitor("presenter").get(f"/bench/{question}").lower()
    assert "zsofia@" in visitor("desk").get(f"/bench/{question}").lower()


def test_a_source_opens_with_the_rows_that_cite_it(visitor, ledger):
    editor = visitor("editor")
    text = editor.get("/table/brakes/fluids")

    assert 'id="dot-3-dry"' in text
    source = re.search(r'href="(/source/[^"]+)"', text)[1]
    assert "dot-3-dry" in editor.get(source)


def test_a_question_that_is_not_there(visitor):
    answer = visitor("editor").client.get("/bench/nothing")

    assert answer.status_code == 404
    assert "The ledger has no question nothing." in answer.text


def test_a_presenter_sees_neither_surname_nor_number_in_the_riders_words(
    visitor, bench, ledger, message, sorter
):
    text = "Will a 32 mm tyre fit a rim 19 mm inside? Ana Quillfeather, call me on 0171 555 01 23."
    one = message(
        text, message_id="private@riders.invalid", author="Ana Quillfeather", address="ana@riders.invalid"
    )
    (made,) = make_drafts([one], Desk(bench.knowledge, bench.phrases, sorter, 150.0), [])
    ledger.keep([one], {message_key(one): [as_line(made, bench.knowledge)]}, "v1")
    question = made.question.question_id

    for_presenter = said(visitor("presenter").get(f"/bench/{question}"))
    on_the_wall = said(visitor("presenter").get("/wall?words=quillfeather"))
    for_desk = said(visitor("desk").get(f"/bench/{question}"))

    for page in (for_presenter, on_the_wall):
        assert "Quillfeather" not in page.replace("words=quillfeather", "")
        assert "555 01 23" not in page
    assert "Quillfeather, call me on 0171 555 01 23" in for_desk
    assert "32 mm" in for_presenter


def test_what_may_be_meant_is_left_or_taken_out(visitor, question, ledger, knowledge):
    pointed = next(b for b in knowledge.briefs.values() if len(b.points) > 1 and b.verdict == "explain")
    first = next(iter(pointed.points))
    editor = visitor("editor")
    editor.post(f"/bench/{question}/sort", version="0", brief=pointed.id)

    def said(**form):
        editor.post(f"/bench/{question}/sort", version=version(ledger, question), **form)
        return [(row["kind"], row["now"]) for row in ledger.corrections(question)][1:]

    assert said(point="~", was_point="~") == []
    assert said(point="", was_point="~") == [("point", "")]
    assert said(point=first, also="~", was_point="~")[-1] == ("point", f"{pointed.id}#{first}")


def test_the_likeliest_points_stand_first_in_an_editors_choice(knowledge):
    pointed = next(b for b in knowledge.briefs.values() if len(b.points) > 3)
    names = list(pointed.points)
    likely = [f"{pointed.id}#{names[2]}", f"{pointed.id}#{names[0]}", "wheels/none#gone"]

    choice = points_of({"brief": pointed.id, "sorted_as": {"likely": likely}}, knowledge)

    assert [name for name, _ in choice.likely] == [names[2], names[0]]
    assert [name for name, _ in choice.others] == [name for name in names if name not in (names[0], names[2])]
    assert len(points_of({"brief": pointed.id}, knowledge)) == len(names)
    assert len(points_of({"brief": None}, knowledge)) == 0
