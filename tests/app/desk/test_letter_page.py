"""The page of a letter: its texts, its remarks in order, its files, how far it is."""

import csv
import io
from xml.dom.minidom import parseString

import pytest
import webvtt

from redstave import store
from redstave.app.desk import Opened
from redstave.app.desk.letter_page import (
    FILES,
    letter_counts,
    letter_file,
    letter_page,
    order,
    preview,
    set_state,
)
from redstave.base.errors import InputError
from redstave.model.season import Stage
from redstave.store import Season


def test_every_remark_has_the_number_it_has_in_the_letter(season: Season, juniper: Opened) -> None:
    """Strengths come first, then main points, then smaller ones, numbered through."""
    groups = letter_page(season, juniper)["groups"]
    assert [group["name"] for group in groups] == ["strengths", "main", "smaller"]
    numbers = [one["number"] for group in groups for one in group["remarks"]]
    assert numbers == [1, 2, 3, 4]
    shown = preview(season, juniper)
    for group in groups:
        for one in group["remarks"]:
            assert f'id="remark-{one["number"]}"' in shown


def test_an_opening_is_suggested_until_one_is_written(season: Season, juniper: Opened) -> None:
    """The suggestion stands beside an empty field, and is gone once the teacher writes."""
    assert letter_page(season, juniper)["suggested"]["opening"] == ""
    draft = store.read_draft(season, "Juniper", "opening")
    store.save_draft(season, "Juniper", "opening", "", draft.revision)
    page = letter_page(season, juniper)
    assert page["texts"]["opening"] == ""
    assert page["suggested"]["opening"].startswith("Thank you for your score")
    assert "The opening is a suggestion; write your own." in page["notes"]


def test_the_preview_is_the_letter(season: Season, juniper: Opened) -> None:
    """What is shown is, byte for byte, what is taken out; what was typed stands in it."""
    store.save_draft(season, "Juniper", "date", "1 May", 0)
    shown = preview(season, juniper)
    assert letter_file(season, juniper, "html").decode() == shown
    for words in (
        "I heard the harbour in your first",
        "1 May",
        "The teacher",
        "carries each voice",
    ):
        assert words in shown


def test_order_is_kept(season: Season, juniper: Opened) -> None:
    """Strengths that change places keep their new order and numbers."""
    first, second = letter_page(season, juniper)["groups"][0]["remarks"]
    order(season, "Juniper", [second["id"], first["id"]])
    after = letter_page(season, juniper)["groups"][0]["remarks"]
    assert [one["id"] for one in after] == [second["id"], first["id"]]
    with pytest.raises(InputError):
        order(season, "Juniper", ["0123"])


def test_counts_follow_what_is_typed(season: Season, juniper: Opened) -> None:
    """Five words more are five words more."""
    before = letter_counts(season, juniper)["counts"]["words"]
    store.save_draft(season, "Juniper", "closing", "Go on as you began.", 0)
    assert letter_counts(season, juniper)["counts"]["words"] == before + 5


def test_every_file_is_what_its_name_says(season: Season, juniper: Opened) -> None:
    """Each form is read by something that is not ours: XML, WebVTT, CSV, PDF, text."""
    made = {name: letter_file(season, juniper, name) for name in FILES}
    assert made["pdf"].startswith(b"%PDF-")
    assert made["pdf"].rstrip().endswith(b"%%EOF")
    assert parseString(made["musicxml"]).documentElement.tagName == "score-partwise"
    for name in ("captions.vtt", "chapters.vtt"):
        assert len(webvtt.from_buffer(io.StringIO(made[name].decode()))) >= 4
    remarks = list(csv.reader(io.StringIO(made["remarks.csv"].decode("utf-8-sig"))))
    assert len(remarks) == 1 + 4
    for name in ("txt", "script.txt"):
        assert "The flute has the tune here" in " ".join(made[name].decode().split())


def test_a_file_of_another_name_is_refused(season: Season, juniper: Opened) -> None:
    """Only the files that a letter has can be asked for."""
    with pytest.raises(InputError, match="no file"):
        letter_file(season, juniper, "exe")


def test_how_far_a_letter_is(season: Season) -> None:
    """In reading, written, sent; never back to what was computed."""
    for state in (Stage.WRITTEN, Stage.SENT, Stage.READING):
        set_state(season, "Juniper", state)
        assert store.read_entry(season, "Juniper").stage is state
    with pytest.raises(InputError, match="in reading, written or sent"):
        set_state(season, "Juniper", Stage.NEW)
