"""Remarks of the teacher's own: at a place, with a trial, and in the letter."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from redstave import store
from redstave.app import seasons
from redstave.app.requests import requests_of
from redstave.app.trials import try_changes
from redstave.base.errors import InputError, StaleError
from redstave.model.finding import Spot
from redstave.model.letter import Letter
from redstave.model.remark import RemarkKind, Weight, finding_key
from redstave.store import Season
from tests.app.season_entry import FIRST, signed

SOFTER = '[[change]]\nwho = "Trombone"\nbars = "3-4"\nlevel = "p"\n'


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    """A season with one computed entry."""
    with seasons.new_season(tmp_path / "s", None, "steps") as made:
        seasons.add_bytes(made, signed(FIRST), "a.musicxml")
        seasons.compute(made)
        yield made


@pytest.fixture
def code(season: Season) -> str:
    """The code of that entry."""
    return store.read_entries(season)[0].code


@pytest.mark.parametrize(
    ("bars", "staves", "notes", "spots", "place"),
    [
        ("", "", (), (), ""),
        ("3-4", "", (), (Spot(2, 0, "", 0, 3),), "bars 3–4"),
        ("3", "Flute", (), (Spot(2, 0, "P1", 1, 2),), "bar 3, Flute"),
        (
            "3-4", "flutes, Trombone", (),
            (Spot(2, 0, "P1", 1, 3), Spot(2, 0, "P2", 1, 3)), "bars 3–4, Flute and Trombone",
        ),
        ("", "", ("P2.1.0",), (Spot(1, 0, "P2", 1, 1, ("P2.1.0",)),), "bar 2, Trombone"),
    ],
)  # fmt: skip
def test_a_place_is_bars_staves_or_notes(
    season: Season, code: str, bars: str, staves: str, notes: tuple[str, ...],
    spots: tuple[Spot, ...], place: str,
) -> None:  # fmt: skip
    """A remark stands where it is said to, and says so in words."""
    score = seasons.score_of(season, code)
    made = seasons.own_remark(season, code, score, "Hm", RemarkKind.QUESTION, bars, staves, notes)
    assert (made.spots, made.place) == (spots, place)


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"bars": "99"}, "there is no bar 99"),
        ({"bars": "3", "staves": "Kazoo"}, "there are Flute, Trombone"),
        ({"bars": "3", "staves": "Flute/2"}, "no number 2"),
        ({"notes": ("P9.0.0",)}, "no note"),
        ({"criterion": "beauty"}, "no criterion"),
        ({"text": "  "}, "needs words"),
    ],
)
def test_a_place_that_is_not_there_is_told(
    season: Season, code: str, given: dict[str, str], told: str
) -> None:
    """One sentence says what there is; no remark is made."""
    score = seasons.score_of(season, code)
    words = {"text": "Hm", **given}
    with pytest.raises(InputError, match=told):
        seasons.own_remark(season, code, score, kind=RemarkKind.FIX, **words)  # type: ignore[arg-type]
    assert store.read_remarks(season, code) == ()


def test_a_linked_trial_says_what_a_trial_says(season: Season, code: str) -> None:
    """Changes, words and rows beside a remark are those of trying the same changes."""
    analysis = seasons.analysis_of(season, code)
    made = seasons.own_remark(season, code, analysis.score, "Softer", RemarkKind.WAY_OUT, "3-4")
    linked = seasons.link_trial(season, code, analysis, made, SOFTER)
    tried = try_changes(analysis, requests_of(SOFTER, "changes"))
    assert linked.trial is not None
    assert linked.trial.changes == SOFTER
    assert len(linked.trial.words) == 1
    rows = {row.who: row for row in linked.trial.heard}
    for line in tried["lines"]:  # type: ignore[attr-defined]
        row = rows[line["line"]]
        assert (row.before_db, row.after_db) == (
            line["before"]["margin_db"], line["after"]["margin_db"],
        )  # fmt: skip
        assert (row.before, row.after) == (line["before"]["state"], line["after"]["state"])
    assert rows["Flute"].after_db > rows["Flute"].before_db
    assert store.read_remark(season, code, made.id).remark == linked
    assert seasons.link_trial(season, code, analysis, linked, " ").trial is None
    with pytest.raises(InputError, match="the changes"):
        seasons.trial_of(analysis, "nonsense = 1")


def test_a_change_that_comes_too_late_is_refused(season: Season, code: str) -> None:
    """The desk's second tab gets both texts; an emptied remark is refused outright."""
    score = seasons.score_of(season, code)
    made = seasons.own_remark(season, code, score, "Hm", RemarkKind.FIX)
    seasons.change_remark(season, code, replace(made, text="Hm hm"))
    with pytest.raises(StaleError):
        seasons.change_remark(season, code, replace(made, text="Ho"))
    with pytest.raises(InputError, match="withdraw"):
        seasons.change_remark(season, code, replace(made, text=" ", revision=2))


def letter_with(season: Season, code: str) -> Letter:
    """A letter with praise, a main point and a smaller one."""
    score, review = seasons.score_of(season, code), seasons.review_of(season, code)
    seasons.own_remark(season, code, score, "Lovely", RemarkKind.PRAISE, "2", "Flute")
    key = next(finding_key(one) for one in review.findings if one.slug == "tune-covered")
    seasons.accept(season, code, key, review, score, seasons.Wish(weight=Weight.MAIN))
    seasons.own_remark(season, code, score, "Small", RemarkKind.FIX, "3", "Flute")
    return seasons.letter_of(season, code, "1 May")


def test_the_letter_is_what_the_teacher_has_written(season: Season, code: str) -> None:
    """Remarks by weight, grades, date and the teacher's texts; a withdrawn remark is not in it."""
    seasons.save_draft(season, code, "opening", "Dear all", 0)
    seasons.save_draft(season, code, "next-step", "Go on", 0)
    seasons.save_draft(season, code, "closing", "Yours", 0)
    seasons.give(season, code, "technique", 2)
    letter = letter_with(season, code)
    assert (letter.opening, letter.next_step, letter.closing) == ("Dear all", "Go on", "Yours")
    assert letter.suggested == ()
    assert (letter.entry, letter.date) == (code, "1 May")
    assert [one.text for one in letter.strengths] == ["Lovely"]
    assert len(letter.main_points) == 1
    assert [one.text for one in letter.smaller_points] == ["Small"]
    assert letter.grades is not None
    gone = letter.smaller_points[0]
    seasons.withdraw_remark(season, code, gone.id, gone.revision)
    assert seasons.letter_of(season, code).smaller_points == ()


def test_without_an_opening_one_is_suggested_and_marked(season: Season, code: str) -> None:
    """The suggestion begins with what works and counts main points; it says it is one."""
    assert seasons.letter_of(season, code).suggested == ()
    letter = letter_with(season, code)
    assert letter.suggested == ("opening", "next_step")
    assert "begin with what works" in letter.opening
    assert "one point" in letter.opening
    assert letter.main_points[0].way_out in letter.next_step
    assert letter.main_points[0].place in letter.next_step
