"""Files and folders: what is read, in what order, and what is refused without being opened."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import pytest

from triage.read import count_bytes, read
from triage.records import Message, Refusal


def _only(path: Path) -> Refusal:
    (found,) = read([path])
    assert isinstance(found, Refusal)
    return found


def test_a_folder_is_read_in_order_of_names_without_hidden_files(tmp_path):
    for name in ("b", "a", ".hidden", "c/inner", ".git/config"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(f"Which rim, {name}?")

    assert [found.text for found in read([tmp_path])] == [f"Which rim, {n}?" for n in ("a", "b", "c/inner")]


def test_the_same_file_given_twice_is_read_once(tmp_path):
    (tmp_path / "a").write_text("Which rim?")

    assert len(list(read([tmp_path, tmp_path / "a", tmp_path]))) == 1


def test_bytes_are_counted_and_told_as_files_are_finished(tmp_path):
    for name, length in (("a", 10), ("b", 300), (".hidden", 5_000)):
        (tmp_path / name).write_text("x" * length)
    told: list[int] = []

    assert count_bytes([tmp_path, tmp_path / "missing"]) == 310
    list(read([tmp_path], on_progress=told.append))
    assert told == [10, 300]


def test_reading_waits_for_whoever_takes_the_messages(tmp_path):
    (tmp_path / "a").write_text("Which rim?")
    (tmp_path / "b").write_text("Which hub?")
    messages = read([tmp_path])
    next(messages)
    (tmp_path / "b").write_text("Which tyre?")

    assert next(messages).text == "Which tyre?"


def test_a_missing_path_is_refused_and_the_next_read(tmp_path):
    (tmp_path / "a").write_text("Which rim?")
    missing, found = read([tmp_path / "none", tmp_path / "a"])

    assert (missing.file, missing.reason) == (str(tmp_path / "none"), "there is no such file or folder")
    assert found.text == "Which rim?"


@pytest.mark.parametrize("name", ["a\0b", "n" * 5_000])
def test_impossible_paths_are_refused(tmp_path, name):
    assert _only(tmp_path / name).reason.startswith("cannot be opened: ")


def test_a_pipe_is_refused_without_waiting_for_it(tmp_path):
    os.mkfifo(tmp_path / "pipe")

    assert _only(tmp_path / "pipe").reason == "not an ordinary file (a pipe, socket or device)"
    assert [found.file for found in read([tmp_path])] == [str(tmp_path / "pipe")]


def test_a_socket_is_refused(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)  # a socket's path must be short
    with socket.socket(socket.AF_UNIX) as made:
        made.bind("s")
        assert _only(tmp_path / "s").reason == "not an ordinary file (a pipe, socket or device)"


def test_a_device_without_end_is_refused_directly_and_through_a_link(tmp_path):
    (tmp_path / "zeros").symlink_to("/dev/zero")

    assert _only(Path("/dev/zero")).reason == "not an ordinary file (a pipe, socket or device)"
    assert _only(tmp_path / "zeros").reason == "not an ordinary file (a pipe, socket or device)"


def test_broken_links_and_loops_of_links_are_refused(tmp_path):
    (tmp_path / "broken").symlink_to(tmp_path / "none")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    broken, loop = read([tmp_path])

    assert broken.reason == "a link that leads nowhere"
    assert loop.reason.startswith("cannot be opened: ")


def test_a_link_back_into_its_folder_is_refused_once(tmp_path):
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "a").write_text("Which rim?")
    (tmp_path / "in" / "back").symlink_to(tmp_path)
    found = list(read([tmp_path]))

    assert [type(one) for one in found] == [Message, Refusal]
    assert found[1].reason == "a link back into a folder already read"


def test_folders_too_deep_are_refused_and_not_passed_over(tmp_path):
    deep = tmp_path.joinpath(*(["d"] * 45))
    deep.mkdir(parents=True)
    (deep / "a").write_text("Which rim?")

    assert _only(tmp_path).reason == "folders nested deeper than 40"


def test_an_unreadable_file_is_refused_and_the_next_read(tmp_path, monkeypatch):
    (tmp_path / "a").write_text("Which rim?")
    (tmp_path / "b").write_text("Which hub?")
    opened = Path.open

    def forbidding(self, *others, **named):
        if self.name == "a":
            raise PermissionError(13, "Permission denied")
        return opened(self, *others, **named)

    monkeypatch.setattr(Path, "open", forbidding)
    refused, found = read([tmp_path])

    assert refused.reason == "cannot be read: Permission denied"
    assert found.text == "Which hub?"


def test_an_unreadable_folder_is_refused(tmp_path, monkeypatch):
    def forbidding(self):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "iterdir", forbidding)

    assert _only(tmp_path).reason == "the folder cannot be read: Permission denied"


def test_a_name_that_is_not_utf_8_can_be_printed(tmp_path):
    path = os.fsencode(tmp_path) + b"/r\xe4d"
    with open(path, "wb") as file:  # noqa: PTH123 - the name is bytes
        file.write(b"Which rim?")
    (found,) = read([tmp_path])

    assert found.text == "Which rim?"
    assert found.source.encode("utf-8").endswith(b"/r?d")


def test_a_fault_in_a_reader_costs_that_file_only(tmp_path, monkeypatch):
    (tmp_path / "a").write_text("Which rim?")
    (tmp_path / "b").write_text("id,text\n1,Which hub?\n")

    def failing(*given):
        raise KeyError("unforeseen")
        yield

    monkeypatch.setattr("triage.read.read_note", failing)
    refused, found = read([tmp_path])

    assert refused.reason == "could not be read: KeyError: 'unforeseen'"
    assert found.text == "Which hub?"


def test_a_refusal_prints_where_why_and_what_to_do(tmp_path):
    printed = str(_only(tmp_path / "none"))

    assert printed == f"{tmp_path / 'none'}: there is no such file or folder\n    Check the path."
