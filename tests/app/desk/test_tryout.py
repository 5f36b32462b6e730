"""Trials on the desk: the figures of `redstave try`, wishes there and back, remarks of them."""

import json

import pytest

from redstave import app, store
from redstave.app.desk import Opened
from redstave.app.desk.trial_page import trial_page
from redstave.app.desk.tried_remark import remark_of_trial, trial_beside
from redstave.app.desk.tryout import (
    changes_file,
    heard_now,
    request_of,
    try_out,
    ways_for,
    wishes_text,
)
from redstave.app.requests import Request, changes_of, requests_of
from redstave.base.errors import InputError
from redstave.model.remark import RemarkKind
from redstave.model.season import Stage
from redstave.store import Season
from tests.app.desk.conftest import laid_open

SOFTER = Request("strings", "14-16", level="-2")
WISHES = (
    SOFTER,
    Request("Flute 1", "14-16", level="f"),
    Request("Flute 1", "14", octave=1),
    Request("Horns", "14-15", without=True),
    Request("Violin I", "14-16", players=4),
    Request("Viola", "14-16", technique="pizz"),
    Request("Violoncello", "14-16", as_="Bassoon", players=2, octave=-1),
)


def test_before_and_after_are_those_of_a_full_trial(juniper: Opened) -> None:
    """Each line's margins and states are what `redstave try` tells of the same bars."""
    tried = {row.name: row for row in try_out(juniper, [SOFTER], "14-16").rows}
    full = app.try_changes(juniper.analysis, [SOFTER])["lines"]
    assert isinstance(full, list)
    assert len(full) == len(tried)
    for line in full:
        row = tried[line["line"]]
        assert row.before.state == line["before"]["state"]
        assert row.after.state == line["after"]["state"]
        assert row.before.margin_db == pytest.approx(line["before"]["margin_db"], abs=0.051)
        assert row.after.margin_db == pytest.approx(line["after"]["margin_db"], abs=0.051)
        assert (row.change > 0, row.change < 0) == (line["won"], line["lost"])


def test_softer_strings_let_the_flute_through(juniper: Opened) -> None:
    """The planted burial: the flute's margin rises, the strings are marked as told otherwise."""
    rows = {row.name: row for row in try_out(juniper, [SOFTER], "14-16").rows}
    flute = rows["Flute 1"]
    assert flute.before.margin_db is not None
    assert flute.after.margin_db is not None
    assert flute.after.margin_db > flute.before.margin_db
    assert rows["Violin I"].told
    assert not flute.told


def test_without_a_wish_nothing_changes(juniper: Opened) -> None:
    """What is heard now is the same on both sides."""
    now = heard_now(juniper, "14-16")
    assert now.bars == ("14", "15", "16")
    assert now.words == ()
    assert all(row.before == row.after for row in now.rows)
    assert {len(row.before.cells) for row in now.rows} == {3}


@pytest.mark.parametrize("wish", WISHES)
def test_wishes_go_to_a_file_and_back(wish: Request) -> None:
    """A wish written as a file of changes is read as the same wish."""
    assert requests_of(changes_file([wish]), "the changes") == (wish,)
    (told,) = json.loads(wishes_text([wish]))
    assert Request(**{("as_" if name == "as" else name): told[name] for name in told}) == wish


@pytest.mark.parametrize("wish", WISHES)
def test_a_change_made_into_a_wish_asks_for_it_again(juniper: Opened, wish: Request) -> None:
    """From wish to changes to wish: the lines, bars and deeds stay the same."""
    for change in changes_of(wish, juniper.analysis):
        (again,) = changes_of(request_of(change, juniper.analysis), juniper.analysis)
        assert again == change


def test_the_smallest_changes_help(juniper: Opened) -> None:
    """Every way out that is offered lets the flute be heard when it is taken."""
    ways = ways_for(juniper, "Flute 1", "14-16")
    assert ways
    for way in ways:
        wishes = [Request(**one) for one in json.loads(way.wishes)]
        rows = {row.name: row for row in try_out(juniper, wishes, "14-16").rows}
        assert rows["Flute 1"].after.state == "heard"


def test_words_that_mean_no_line_are_refused(juniper: Opened) -> None:
    """Several lines, or one that rests, are refused in a sentence."""
    with pytest.raises(InputError, match="name one line"):
        ways_for(juniper, "strings", "14-16")
    with pytest.raises(InputError, match="does not sound"):
        ways_for(juniper, "Tuba", "14-16")
    with pytest.raises(InputError, match="no bar 999"):
        heard_now(juniper, "1-999")


def test_a_trial_becomes_a_remark(season: Season, juniper: Opened) -> None:
    """The remark stands where the changes are, with words, picture and the file of changes."""
    made = remark_of_trial(season, juniper, [SOFTER], RemarkKind.WAY_OUT, " Make room. ")
    assert made.text == "Make room."
    assert made.place.startswith("bars 14–16")
    assert made.way_out.startswith("Mark the strings two levels softer")
    assert made.trial is not None
    assert requests_of(made.trial.changes, "x") == (SOFTER,)
    assert {row.who for row in made.trial.heard} >= {"Flute 1"}
    parts = juniper.analysis.score.parts_by_id
    assert {parts[spot.part].name for spot in made.spots} == {
        "Violin I", "Violin II", "Viola", "Violoncello", "Double Bass",
    }  # fmt: skip
    assert store.read_remark(season, "Juniper", made.id).remark == made


def test_a_trial_stands_beside_a_remark(season: Season, juniper: Opened) -> None:
    """A remark that is there keeps its words and gets the trial."""
    before = store.read_remarks(season, "Juniper")[0].remark
    after = trial_beside(season, juniper, before.id, [SOFTER])
    assert (after.text, after.revision) == (before.text, before.revision + 1)
    assert after.trial is not None


def test_a_remark_needs_words(season: Season, juniper: Opened) -> None:
    """Without a word nothing is written."""
    with pytest.raises(InputError, match="at least a word"):
        remark_of_trial(season, juniper, [SOFTER], RemarkKind.WAY_OUT, "  ")


def test_a_first_remark_begins_the_reading(season: Season) -> None:
    """An entry that was only computed is in reading once it has a remark."""
    opened = laid_open(season, "Sorrel")
    remark_of_trial(season, opened, [Request("Violin I", "5", level="p")], RemarkKind.FIX, "So.")
    assert store.read_entry(season, "Sorrel").stage is Stage.READING


def test_the_page_begins_at_the_buried_tune(season: Season, juniper: Opened) -> None:
    """Opened at one of its bars, the page means the whole buried passage and its line."""
    page = trial_page(season, juniper, 14, 14)
    assert (page["bars"], page["buried"]) == ("14-16", "Flute 1")
    assert trial_page(season, juniper, 0, 1, who="Harp")["bars"] == "1-2"
    with pytest.raises(InputError, match="the score has 40 bars"):
        trial_page(season, juniper, 39, 40)
