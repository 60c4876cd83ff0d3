"""Eight runs at once, a batch beside two editors, and a clock that is wrong: nothing lost, nothing twice, no sign-off moved."""

from __future__ import annotations

import json

import sqlalchemy as sa

from tests.faults.after import each_once, lines_in, note, sound, until
from tests.faults.conftest import CHUNK, MESSAGES
from tests.faults.editor import digest_of_texts
from tests.faults.inbox import write_comments
from triage.ledger import open_ledger
from triage.ledger.schema import DEEDS, DRAFTS, REVIEWS

RUNS = 8
SMALL = [("small_chunks", CHUNK)]


def _eight(warm, inboxes, folder, place):
    running = [
        warm.start("draft", inbox, "--out", folder / f"out-{n}", "--ledger", place, "--quiet", tricks=SMALL)
        for n, inbox in enumerate(inboxes)
    ]
    codes = [one.wait() for one in running]
    assert codes == [0] * len(running), [one.told for one in running if one.code]


def test_eight_runs_at_once_over_the_same_inbox_keep_each_message_once(warm, inbox, folder):
    place = folder / "ledger.sqlite"

    _eight(warm, [inbox] * RUNS, folder, place)

    assert sound(place).counts["messages"]["kept"] == MESSAGES
    for number in range(RUNS):
        each_once(folder / f"out-{number}", inbox, MESSAGES)
    note("eight runs at once over one inbox", messages=MESSAGES)


def test_eight_runs_at_once_over_their_own_inboxes_keep_every_message(warm, folder):
    place, inboxes = folder / "ledger.sqlite", []
    for number in range(RUNS):
        inboxes.append(folder / f"in-{number}")
        inboxes[-1].mkdir()
        write_comments(inboxes[-1] / "many.jsonl", 12, seed=number + 1)

    _eight(warm, inboxes, folder, place)

    assert sound(place).counts["messages"]["kept"] == RUNS * 12
    for number, one in enumerate(inboxes):
        each_once(folder / f"out-{number}", one, 12)
    note("eight runs at once over eight inboxes", messages=RUNS * 12)


def test_eight_runs_at_once_on_a_server(warm, inbox, folder, new_database):
    place = new_database()

    _eight(warm, [inbox] * RUNS, folder, place)

    assert sound(place).counts["messages"]["kept"] == MESSAGES


def _last_told(*logs):
    """The last save that was told of each question: (version, state, digest)."""
    last = {}
    for log in logs:
        for line in log.read_text().splitlines():
            question, version, state, digest, _ = line.split("\t")
            if question not in last or int(version) > last[question][0]:
                last[question] = (int(version), state, digest)
    return last


def test_a_batch_and_two_editors_at_once_lose_no_save_and_move_no_signed_text(warm, inbox, folder):
    place = folder / "ledger.sqlite"
    command = ("draft", inbox, "--out", folder / "out", "--ledger", place, "--quiet")
    assert warm.run(*command, tricks=SMALL).code == 0
    logs = [folder / "bea", folder / "cyd"]
    editors = [
        warm.call("tests.faults.editor:work", [str(place), str(log), number, 60, log.name])
        for number, log in enumerate(logs)
    ]

    batches = [warm.start(*command, "--pace", str(pace), tricks=SMALL) for pace in (120,)]

    assert [one.wait() for one in (*batches, *editors)] == [0, 0, 0], [
        one.told for one in (*batches, *editors)
    ]
    sound(place)
    each_once(folder / "out", inbox, MESSAGES)
    ledger = open_ledger(place)
    signed = 0
    for question, (version, state, digest) in _last_told(*logs).items():
        review = ledger.reviews.of(question)
        # A batch that words a draft anew under a review counts on its version too.
        assert review.version >= version
        assert review.state == state
        if review.is_signed:
            signed += 1
            assert digest_of_texts(ledger, question) == digest
    ledger.close()
    assert signed


def test_what_an_editor_corrects_during_a_batch_stays_corrected(warm, inbox, folder):
    place = folder / "ledger.sqlite"
    command = ("draft", inbox, "--out", folder / "out", "--ledger", place, "--quiet")
    assert warm.run(*command, tricks=SMALL).code == 0
    work = folder / "work"
    batch = warm.start(
        *command, "--pace", "120", tricks=[*SMALL, ("counted_work", str(work)), ("slow_chunks", 0.2)]
    )
    until(work.exists)
    last = lines_in(folder / "out")[-1]

    corrected = warm.run("correct", last["question_id"], "--topic", "wheels", "--ledger", place)

    assert corrected.code == 0, corrected.told
    assert batch.wait() == 0, batch.told
    sound(place)
    ledger = open_ledger(place)
    assert ledger.question(last["question_id"])["topic"] == "wheels"
    ledger.close()


def test_no_text_is_signed_that_a_batch_put_under_the_editors_eyes(warm, inbox, folder):
    """The draft changes between the page and the click: the click must not count for what was not seen."""
    place = folder / "ledger.sqlite"
    command = ("draft", inbox, "--out", folder / "out", "--ledger", place, "--quiet")
    assert warm.run(*command, tricks=SMALL).code == 0
    log = folder / "signer"
    signer = warm.call("tests.faults.editor:sign_slowly", [str(place), str(log), str(folder / "go")])
    until(log.exists)
    assert warm.run(*command, "--seconds", "20", tricks=SMALL).code == 0

    (folder / "go").touch()

    assert signer.wait() == 0, signer.told
    before, outcome = log.read_text().split()
    ledger = open_ledger(place)
    question = json.loads((folder / "signer.json").read_text())
    after, review = digest_of_texts(ledger, question), ledger.reviews.of(question)
    ledger.close()
    assert after != before, "the batch changed nothing, so nothing was tried"
    assert (outcome, review.is_signed) == ("clash", False)


def test_a_signed_text_stays_to_the_letter_when_everything_is_drafted_anew(warm, inbox, folder):
    place = folder / "ledger.sqlite"
    command = ("draft", inbox, "--out", folder / "out", "--ledger", place, "--quiet")
    assert warm.run(*command, tricks=SMALL).code == 0
    assert warm.call("tests.faults.editor:work", [str(place), str(folder / "log"), 5, 60]).wait() == 0
    ledger = open_ledger(place)
    signed = {one.question_id: digest_of_texts(ledger, one.question_id) for one in ledger.reviews.signed()}
    assert len(signed) >= 3

    assert warm.run(*command, "--seconds", "20", tricks=SMALL).code == 0

    for question, digest in signed.items():
        assert ledger.reviews.of(question).is_signed
        assert digest_of_texts(ledger, question) == digest
    ledger.close()
    written = {line["question_id"]: line for line in lines_in(folder / "out")}
    assert all(written[question]["state"] == "signed" for question in signed)
    sound(place)


def test_a_clock_that_goes_back_and_forward_loses_and_doubles_nothing(warm, inbox, folder):
    place = folder / "ledger.sqlite"
    command = ("draft", inbox, "--out", folder / "out", "--ledger", place, "--quiet")
    for hours in ((0, -48, 36), (-24 * 400, 24), (24 * 9000, -24 * 9000)):
        assert warm.run(*command, tricks=[*SMALL, ("clock", *hours)]).code == 0
        editor = warm.call(
            "tests.faults.editor:work",
            [str(place), str(folder / "log"), int(abs(hours[1])), 25],
            [("clock", *hours)],
        )
        assert editor.wait() == 0, editor.told
        sound(place)
        each_once(folder / "out", inbox, MESSAGES)
    ledger = open_ledger(place)
    deeds = ledger.reviews.history(most=10_000)
    with ledger.engine.connect() as connection:
        times = list(connection.execute(sa.select(DEEDS.c.made).order_by(DEEDS.c.deed)).scalars())
        reviews = connection.execute(sa.select(sa.func.count()).select_from(REVIEWS)).scalar_one()
        drafts = connection.execute(sa.select(sa.func.count()).select_from(DRAFTS)).scalar_one()
    ledger.close()
    assert times != sorted(times), "the clock did not go back, so nothing was tried"
    # The history is in the order in which things were done, whatever the clock said.
    assert [deed.number for deed in deeds] == sorted((deed.number for deed in deeds), reverse=True)
    assert 0 < reviews <= drafts
