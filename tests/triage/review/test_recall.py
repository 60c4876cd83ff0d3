"""Recall: a planted wrong row finds exactly the answers that stood on it, and says which verdicts turn once it is mended."""

from __future__ import annotations

import csv
import re
from dataclasses import replace
from types import MappingProxyType
from urllib.parse import quote

import pytest
import sqlalchemy as sa

from knowledge import tables
from knowledge.load import load
from tests.triage.desk.visitors import PASSWORD, Visitor
from tests.triage.review.wrong_row import ROW, with_the_wrong_row
from triage.batch import run
from triage.desk import recall as page_module
from triage.desk.passwords import hashed
from triage.desk.settings import Settings
from triage.ledger import Person
from triage.ledger.episodes import Item
from triage.ledger.mails import MailOrder
from triage.ledger.schema import DEEDS, DRAFTS, GROUNDS, METADATA
from triage.pipeline import Desk
from triage.review import recall as module
from triage.review.acts import Bench, correct, look_again, sign
from triage.review.changes import Change
from triage.review.recall import NotKnownError, recall, summed_up

EDITOR = Person("Ana", "editor")
MAILS = {
    "eleven": "My chain shows 0.6 % wear on an 11-speed cassette, must I change it?",
    "twelve": "The chain checker reads 0.6 % wear on my 12-speed chain. Should I replace the chain now?",
    "fresh": "My chain shows 0.2 % wear on an 11-speed cassette, must I change it?",
    "ten": "My chain shows 0.6 % wear on a 10-speed cassette, must I change it?",
    "open": "My chain shows 0.6 % wear, must I change the chain?",
    "again": "My chain shows 0.6 % wear on an 11-speed cassette, must I change it? Thank you for the show.",
    "fluid": "Can I top up my DOT 4 brake with DOT 5.1 brake fluid?",
    "boil": "How often should I change the DOT 4 brake fluid in my brakes?",
    "rim": "Does a 28 mm tyre fit on a rim of 19 mm inner width?",
}


@pytest.fixture(scope="module")
def wrong_knowledge(tmp_path_factory):
    """The knowledge with the wrong row, loaded once; a test lays the row over the tables for itself."""
    loaded = load(with_the_wrong_row(tmp_path_factory.mktemp("wrong")))
    tables.lay_over(None)
    return loaded


@pytest.fixture
def own(tmp_path):
    """A folder of the test's own with the wrong row."""
    yield with_the_wrong_row(tmp_path)
    tables.lay_over(None)


@pytest.fixture
def wrong(tmp_path, own, bench_of, wrong_knowledge):
    """The bench with the wrong row; every mail was drafted with it."""
    mails = tmp_path / "mails.csv"
    with mails.open("w", newline="", encoding="utf-8") as text:
        writer = csv.writer(text)
        writer.writerow(["message_id", "author", "text"])
        writer.writerows([f"{name}@riders.invalid", "Bo Other", words] for name, words in MAILS.items())
    tables.lay_over(own / "tables")
    return bench_of([mails], wrong_knowledge)


@pytest.fixture
def mended(wrong, knowledge):
    """The same desk once the wrong row is taken out again: ours holds."""

    def mend():
        tables.lay_over(None)
        return replace(wrong, knowledge=knowledge)

    return mend


@pytest.fixture
def asked(ledger):
    """The question of each mail by the mail's name, as soon as there are any."""

    def of(name):
        query = sa.select(DRAFTS.c.question_id).where(DRAFTS.c.line.contains(f"{name}@riders.invalid"))
        with ledger.engine.connect() as connection:
            return str(connection.execute(query).scalar_one())

    return of


@pytest.fixture
def names(asked):
    """The names of the mails that a recall found."""

    def of(found):
        by_question = {asked(name): name for name in MAILS}
        return {by_question[one.question_id] for one in found.answers}

    return of


def of(found, question):
    return next(one for one in found.answers if one.question_id == question)


def send(ledger, bench, question):
    """Sign off and send."""
    sign(bench, EDITOR, question, ledger.reviews.of(question).version)
    with ledger.engine.connect() as connection:
        key = connection.execute(
            sa.select(DRAFTS.c.message_key).where(DRAFTS.c.question_id == question)
        ).scalar_one()
    ledger.mails.order([MailOrder(key, f"{question}@desk.invalid", "digest", (question,))], EDITOR)
    assert ledger.mails.take(key)
    assert ledger.mails.finish(key, "sent", "250 fine", EDITOR)


def air(ledger, bench, question, day="2026-11-27"):
    """Say the answer on a show as it is drafted, and keep of it what a show keeps."""
    line = bench.line(question)
    kept = {
        key: line[key] for key in ("brief", "verdict", "headline", "figures", "sources", "cautions", "text")
    }
    items = [Item(1, "question", question, 60.0, 61.0, as_aired={**kept, "title": "On air", "say": "So."})]
    ledger.episodes.air(ledger.episodes.planned(day, 900.0), items, EDITOR)


STOOD_ON_THE_ROW = {"eleven", "twelve", "fresh", "again", "open"}
ABOUT_CHAINS = {*STOOD_ON_THE_ROW, "ten"}


@pytest.mark.parametrize(
    ("what", "kind", "found"),
    [
        (ROW, "row", STOOD_ON_THE_ROW),
        ("wear-11-12", "row", STOOD_ON_THE_ROW),
        (f"row {ROW}", "row", STOOD_ON_THE_ROW),
        ("drivetrain/chain_wear_limits#wear-9-10", "row", {"ten", "open"}),
        ("wear-2-7", "row", set()),
        ("drivetrain/chain_wear_limits", "table", ABOUT_CHAINS),
        ("chain_wear_limit_pct", "calculation", ABOUT_CHAINS),
        ("drivetrain/chain-wear", "brief", ABOUT_CHAINS),
        # The source of a row that decides by a table of pairs, and of none of the others.
        ("brakes/fluid_pairs#dot-dot-5.1", "row", {"fluid"}),
        ("brakes/fluids#dot-4-wet", "row", {"boil"}),
        ("brakes/fluids#dot-5.1-wet", "row", set()),
        ("trade-64b", "source", {"boil"}),
        ("tyres/rim-width", "brief", {"rim"}),
    ],
)  # fmt: skip
def test_exactly_the_answers_that_stood_on_it_are_found(what, kind, found, wrong, names):
    recalled = recall(wrong, what)

    assert recalled.kind == kind
    assert names(recalled) == found
    assert recalled.found == len(found)


@pytest.mark.parametrize("is_early", [True, False], ids=["looked at before", "looked at after"])
def test_once_the_row_is_mended_it_is_told_which_verdicts_turn(is_early, wrong, mended, asked, names):
    if is_early:
        assert not any(one.verdict_changes for one in recall(wrong, ROW).answers)

    found = recall(mended(), ROW)

    assert names(found) == STOOD_ON_THE_ROW
    turned = {
        one.question_id: (one.verdict_then, one.verdict_now) for one in found.answers if one.verdict_changes
    }
    assert turned == {
        **{asked(name): ("yes", "yes-if") for name in ("eleven", "twelve", "again")},
        asked("open"): ("yes", "need-more"),
    }
    eleven = of(found, asked("eleven"))
    assert eleven.changes[0] == Change("verdict", "yes", "yes-if")
    assert Change("Wear at which to change", "1 %", "0.5 %") in eleven.changes
    assert (eleven.title, eleven.rider, eleven.state) == (
        "When a chain is worn enough to change",
        "Bo",
        "new",
    )
    fresh = of(found, asked("fresh"))
    assert (fresh.verdict_then, fresh.verdict_now) == ("yes", "yes")
    assert Change("Wear at which to change", "1 %", "0.5 %") in fresh.changes


def test_an_answer_that_did_not_stand_on_the_row_says_what_it_said(wrong, mended, asked):
    found = recall(mended(), "drivetrain/chain-wear")

    ten = of(found, asked("ten"))
    assert (ten.verdict_then, ten.verdict_now, ten.changes) == ("yes", "yes", ())


def test_a_key_that_was_wrong_is_found_although_the_drafts_are_looked_at_after_it_was_mended(
    wrong, own, mended, asked, names
):
    """The row was 11 to 12 speeds by mistake; mended, it is of 13, and no figure of 11 is read from it any more."""
    file = own / "tables" / "drivetrain" / "chain_wear_limits.csv"
    file.write_text(
        file.read_text(encoding="utf-8").replace("wear-11-12,11.0,12.0", "wear-11-12,13.0,13.0"),
        encoding="utf-8",
    )
    bench = replace(wrong, knowledge=load(own))

    assert {"eleven", "twelve", "fresh", "again"} <= names(recall(bench, ROW))


def as_before_grounds_were_kept(bench):
    """The ledger as an earlier version left it: drafts of which nobody has noted yet what they stand on."""
    with bench.ledger.engine.begin() as connection:
        connection.execute(sa.delete(GROUNDS))
        connection.execute(sa.update(DRAFTS).values(is_grounded=False))


def test_a_row_that_is_gone_by_now_is_still_recalled(wrong, own, phrases, asked, names):
    """A desk's own row, on which answers stood, and which was taken out of the folder."""
    file = own / "tables" / "drivetrain" / "chain_wear_limits.csv"
    text = file.read_text(encoding="utf-8")
    file.write_text(text + text.splitlines()[1].replace("wear-11-12", "wear-ours") + "\n", encoding="utf-8")
    as_before_grounds_were_kept(wrong)
    assert names(recall(replace(wrong, knowledge=load(own)), "wear-ours")) == STOOD_ON_THE_ROW

    bench = replace(wrong, knowledge=load())

    assert names(recall(bench, "drivetrain/chain_wear_limits#wear-ours")) == STOOD_ON_THE_ROW
    assert names(recall(bench, "wear-ours")) == STOOD_ON_THE_ROW


def test_a_part_that_was_named_is_recalled_by_it(tmp_path, ledger, knowledge, phrases, sorter):
    from tests.conftest import ROOT

    run(
        [ROOT / "sample_inbox/Maildir/new/1763600000.M6.desk"],
        Desk(knowledge, phrases, sorter, 150.0),
        ledger,
    )
    bench = Bench(ledger, knowledge, phrases)
    identity = "derailleur-arlind-sorrel-11-short"
    part = knowledge.parts[identity]
    properties = {**part.properties, "derailleur_capacity_teeth": 47.0}
    parts = MappingProxyType({**knowledge.parts, identity: replace(part, properties=properties)})

    before = recall(bench, identity)
    after = recall(
        replace(bench, knowledge=replace(knowledge, digest="mended", parts=parts)), f"part {identity}"
    )

    assert (before.kind, before.found, before.answers[0].verdict_changes) == ("part", 1, False)
    assert [(change.was, change.now) for change in after.answers[0].changes] == [
        ("−7 to 12 teeth", "5 to 24 teeth")
    ]


def test_what_was_sent_is_told_of_as_it_was_sent(ledger, wrong, mended, asked):
    """Looking again takes the sign-off and redrafts; the reply that the rider has said something else."""
    eleven = asked("eleven")
    send(ledger, wrong, eleven)
    recall(wrong, ROW)
    bench = mended()
    look_again(bench)
    assert bench.line(eleven)["verdict"] == "yes-if"

    answer = of(recall(bench, ROW), eleven)

    assert answer.was_sent
    assert answer.sent_on
    assert answer.sent_on[:2] == "20"
    assert (answer.verdict_then, answer.verdict_now) == ("yes", "yes-if")
    assert answer.verdict_changes
    assert answer.state == "in-hand"


def test_what_somebody_corrected_after_the_sending_is_told_against_what_was_sent(ledger, wrong, asked):
    ten = asked("ten")
    send(ledger, wrong, ten)
    correct(wrong, EDITOR, ten, ledger.reviews.of(ten).version, [("detail", "chain_wear_pct=0.8")])
    assert wrong.line(ten)["verdict"] == "yes-if"

    answer = of(recall(wrong, "wear-9-10"), ten)

    assert (answer.verdict_then, answer.verdict_now) == ("yes", "yes-if")


def test_what_was_aired_is_told_of_as_it_was_said(ledger, wrong, mended, asked):
    twelve = asked("twelve")
    air(ledger, wrong, twelve, "2026-11-27")
    air(ledger, wrong, twelve, "2026-12-04")
    look_again(bench := mended())

    found = recall(bench, ROW)

    answer = found.answers[0]
    assert answer.question_id == twelve
    assert answer.aired_on == ("2026-11-27", "2026-12-04")
    assert (answer.was_sent, answer.verdict_then, answer.verdict_now) == (False, "yes", "yes-if")
    assert Change("Wear at which to change", "1 %", "0.5 %") in answer.changes
    # Of what a show doesn't keep nothing is told, nor of its own title.
    assert not {"brief", "asked back", "caution", "chain wear"} & {change.what for change in answer.changes}


def test_a_broadcast_whose_draft_is_gone_is_told_of_too(ledger, wrong, asked):
    eleven = asked("eleven")
    air(ledger, wrong, eleven)
    with ledger.engine.begin() as connection:
        connection.execute(sa.delete(DRAFTS).where(DRAFTS.c.question_id == eleven))

    answer = recall(wrong, ROW).answers[0]

    assert (answer.question_id, answer.state, answer.title) == (eleven, "gone", "On air")
    assert (answer.verdict_then, answer.verdict_now, answer.verdict_changes) == ("yes", None, False)


def test_one_that_cant_be_worked_out_hides_no_other(ledger, wrong, asked, names):
    from triage.ledger.forget import forget

    forget(ledger, "Bo Other", lambda text, *_: text, EDITOR)

    found = recall(wrong, ROW)

    assert len(found.answers) == len(STOOD_ON_THE_ROW)
    assert {one.verdict_now for one in found.answers} == {None}
    assert summed_up(found) == (
        "5 answers stood on it: none was sent or aired; none would be another verdict now; "
        "5 can't be worked out anew."
    )


def test_a_wording_that_goes_by_turns_is_no_change_and_what_a_brief_says_is(wrong, asked):
    """Each draft has another greeting than its neighbour; worked out alone it may have any."""
    key = "brakes/fluid-change"
    brief = wrong.knowledge.briefs[key]
    answers = {
        verdict: answer.model_copy(update={"body": f"{answer.body} It has changed colour by then."})
        for verdict, answer in brief.answers.items()
    }
    briefs = MappingProxyType({**wrong.knowledge.briefs, key: brief.model_copy(update={"answers": answers})})
    bench = replace(wrong, knowledge=replace(wrong.knowledge, digest="reworded", briefs=briefs))

    found = [
        one for name in ("drivetrain/chain-wear", "tyres/rim-width") for one in recall(bench, name).answers
    ]

    assert [one.changes for one in found] == [()] * (len(ABOUT_CHAINS) + 1)
    assert of(recall(bench, key), asked("boil")).changes == (
        Change("the script", None, None),
        Change("the reply", None, None),
    )


def test_a_recall_changes_nothing_but_what_is_known_of_grounds(ledger, wrong, mended):
    kept = [table for table in METADATA.sorted_tables if table.name not in ("grounds", "sessions")]

    def everything():
        with ledger.engine.connect() as connection:
            return {
                table.name: [
                    tuple(value for key, value in row._mapping.items() if key != "is_grounded")
                    for row in connection.execute(sa.select(table))
                ]
                for table in kept
            }

    before = everything()
    recall(mended(), ROW)

    assert everything() == before
    with ledger.engine.connect() as connection:
        assert connection.execute(sa.select(sa.func.count()).select_from(DEEDS)).scalar_one() == 0


def test_what_says_the_same_of_the_same_details_is_worked_out_once(wrong, mended, asked, monkeypatch):
    worked = []
    real = module.worked_again
    monkeypatch.setattr(module, "worked_again", lambda one, *rest: worked.append(one) or real(one, *rest))

    found = recall(mended(), ROW)

    # "again" asks in the same words as "eleven".
    assert len(worked) == len(STOOD_ON_THE_ROW) - 1
    eleven, again = of(found, asked("eleven")), of(found, asked("again"))
    assert eleven.changes == again.changes


def test_pages_follow_one_another_and_only_theirs_are_worked_out(wrong, names, monkeypatch):
    worked = []
    real = module.worked_again
    monkeypatch.setattr(module, "worked_again", lambda one, *rest: worked.append(one) or real(one, *rest))

    pages = [recall(wrong, ROW, most=2, after=after) for after in (0, 2, 4, 6)]

    assert [len(page.answers) for page in pages] == [2, 2, 1, 0]
    assert {name for page in pages for name in names(page)} == STOOD_ON_THE_ROW
    assert {page.found for page in pages} == {5}
    assert len(worked) <= 5


def test_how_far_the_looking_is_can_be_bounded_and_is_told(wrong):
    as_before_grounds_were_kept(wrong)
    told = []
    first = recall(wrong, ROW, lambda: told.append(1), most=0, look_at=4)

    assert (first.behind, len(told)) == (len(MAILS) - 4, 4)
    assert recall(wrong, ROW, most=0).behind == 0


@pytest.mark.parametrize(
    ("what", "told"),
    [
        ("wear-11-21", 'Nothing here is called "wear-11-21".\n    Did you mean drivetrain/chain_wear_limits#wear-11-12'),
        ("iso-287", 'Nothing here is called "iso-287".\n    Did you mean iso-28'),
        ("chain_wear_limit", 'Nothing here is called "chain_wear_limit".\n    Did you mean chain_wear_limit_pct'),
        ("brakes/fluid", 'Nothing here is called "brakes/fluid".\n    Did you mean brakes/fluids'),
        ("row brakes/fluids", 'Nothing here is called "row brakes/fluids".'),
        ("", 'Nothing here is called "".\n    Name a source, a row such as brakes/fluids#dot-3-dry, a table,'
             " a part, a calculation or a brief."),
    ],
)  # fmt: skip
def test_a_name_that_nothing_has_gets_the_nearest_ones(what, told, wrong):
    with pytest.raises(NotKnownError) as refused:
        recall(wrong, what)

    assert str(refused.value).startswith(told)


def test_a_bare_row_that_stands_in_several_tables_must_be_said_whole(wrong):
    found = {}
    for table in tables.names():
        for row in tables.rows(table):
            found.setdefault(str(row["id"]), []).append(table)
    identity, homes = next((key, homes) for key, homes in sorted(found.items()) if len(homes) == 2)

    with pytest.raises(NotKnownError) as refused:
        recall(wrong, identity)

    assert str(refused.value).startswith(f'"{identity}" is several things here.\n    Say which: ')
    for home in homes:
        assert f"row {home}#{identity}" in str(refused.value)
        assert recall(wrong, f"row {home}#{identity}").kind == "row"


def test_the_counts_are_told_in_one_sentence(ledger, wrong, mended, asked):
    send(ledger, wrong, asked("eleven"))
    send(ledger, wrong, asked("fresh"))
    air(ledger, wrong, asked("twelve"))

    assert summed_up(recall(mended(), ROW)) == (
        "5 answers stood on it: 2 were sent, 1 was aired; 4 would be another verdict now."
    )
    assert summed_up(recall(mended(), "brakes/fluids#dot-4-wet")) == (
        "1 answer stood on it: none was sent or aired; none would be another verdict now."
    )
    assert summed_up(recall(mended(), "brakes/fluids#dot-3-dry")) == "No answer stood on it."


# ---- the page of the desk ------------------------------------------------------------------------------


@pytest.fixture
def visitor(ledger, wrong):
    """Somebody at a browser; the desk was opened once the wrong row was mended."""

    def come_in(bench):
        ledger.people.put("the presenter", "presenter", hashed(PASSWORD))
        return Visitor(bench, Settings()).come_in("presenter")

    return come_in


def test_the_page_shows_what_stood_on_a_row_with_stamps_before_and_now(visitor, mended, asked):
    text = visitor(mended()).get(f"/recall?what={quote('row ' + ROW)}")

    assert f'<a href="/table/drivetrain/chain_wear_limits#wear-11-12">row {ROW}</a>' in text
    assert "5 answers stood on it: none was sent or aired; 4 would be another verdict now." in text
    assert text.count('<span class="stamp yes">yes</span> → <span class="stamp yes-if">yes-if</span>') == 3
    assert (
        text.count('<span class="stamp yes">yes</span> → <span class="stamp need-more">need-more</span>') == 1
    )
    assert "Wear at which to change: <del>1 %</del> → <ins>0.5 %</ins>" in text
    assert f'<a href="/bench/{asked("eleven")}">When a chain is worn enough to change</a>' in text
    assert asked("ten") not in text
    assert "Other" not in text.partition("<main")[2]


def test_the_page_is_bounded_and_leads_on(visitor, wrong, monkeypatch):
    monkeypatch.setattr(page_module, "ON_ONE_PAGE", 2)
    monkeypatch.setattr(page_module, "MOST_AT_ONCE", 4)
    as_before_grounds_were_kept(wrong)
    one = visitor(wrong)

    first = one.get("/recall?what=wear-11-12")
    assert "5 drafts were not looked at yet: <a" in first
    one.get("/recall?what=wear-11-12")
    first = one.get("/recall?what=wear-11-12")
    assert "not looked at yet" not in first
    assert "5 answers stood on it." in first
    assert "From 1 to 2 of 5:" in first
    assert 'href="/recall?what=wear-11-12&amp;from=2">The next ones' in first
    last = one.get("/recall?what=wear-11-12&from=4")
    assert "From 5 to 5 of 5:" in last
    assert 'href="/recall?what=wear-11-12&amp;from=2">The ones before' in last


def test_the_page_without_a_name_is_a_form_and_with_a_wrong_one_says_the_nearest(visitor, wrong):
    one = visitor(wrong)

    assert 'name="what" value=""' in one.get("/recall")
    answer = one.client.get("/recall?what=wear-11-21%3Cb%3E")
    assert answer.status_code == 404
    assert "Nothing here is called &#34;wear-11-21&lt;b&gt;&#34;." in answer.text
    assert "drivetrain/chain_wear_limits#wear-11-12" in answer.text


@pytest.mark.parametrize(
    "path",
    ["/source/drivetrain-80", "/table/drivetrain/chain_wear_limits", "/figure/chain_wear_limit_pct"],
)
def test_pages_of_the_knowledge_lead_to_the_recall(path, visitor, wrong):
    one = visitor(wrong)
    links = re.findall(r'href="(/recall\?what=[^"]+)"', one.get(path))

    assert links
    assert all("stood on it" in one.get(link) for link in links[:8])
    if "table" in path:
        assert len(links) == 1 + len(tables.rows("drivetrain/chain_wear_limits"))
