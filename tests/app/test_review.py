"""The review of the demo entry: what was planted is found, what is said can be relied upon."""

import json
import re
from pathlib import Path

import pytest

from redstave import app
from redstave.analysis import Analysis
from redstave.base.errors import InputError
from redstave.model.finding import Claim
from redstave.model.review import Review

Row = tuple[str, str, str]


@pytest.fixture(scope="module")
def analysis(root: Path) -> Analysis:
    """The demo entry, opened."""
    return app.open_entry(root / "src/redstave/app/demo/orchestra.musicxml")


@pytest.fixture(scope="module")
def done(analysis: Analysis) -> Review:
    """The demo entry, reviewed with every check that is on."""
    return app.review(analysis, "entry-juniper", app.choose())


def planted(root: Path) -> list[Row]:
    """Return the table of planted faults: bar, stave, slug."""
    text = (root / "src/redstave/app/demo/planted.md").read_text("utf-8")
    faults = text.split("## Faults")[1].split("What each of them is")[0]
    rows = re.findall(r"^\| (\d+) \| (.+?) \| (.+?) \|$", faults, re.MULTILINE)
    assert len(rows) >= 12, "the table of planted faults has lost its form"
    return rows


def test_every_planted_fault_is_found_at_its_bar(
    root: Path, done: Review, analysis: Analysis
) -> None:
    """Each planted fault is reported by its check, on its stave, in the bar where it begins."""
    score = analysis.score
    names = {part.id: part.name for part in score.parts}
    found = {
        (score.bars[spot.bar].number, names[spot.part], finding.slug)
        for finding in done.faults
        for spot in finding.spots
    }
    assert [row for row in planted(root) if row not in found] == []


def test_nothing_else_is_called_impossible(root: Path, done: Review) -> None:
    """No place is called impossible that was not planted."""
    slugs = {slug for _, _, slug in planted(root)}
    assert {f.slug for f in done.faults if f.claim is Claim.IMPOSSIBLE} <= slugs


def test_earned_praise_is_given(done: Review) -> None:
    """At least two things are praised, and they come with places."""
    assert len(done.credits) >= 2
    assert all(finding.spots for finding in done.credits)


def test_no_check_crashes(done: Review) -> None:
    """Every check that does not judge says why, and none because it broke."""
    assert [missing for missing in done.not_assessed if "crash" in missing.reason] == []


def test_same_bytes_same_review(root: Path, done: Review, analysis: Analysis) -> None:
    """Law 4: reading and reviewing again gives the same review, byte for byte."""
    again = app.open_entry(root / "src/redstave/app/demo/orchestra.musicxml")
    second = app.review(again, "entry-juniper", app.choose())
    texts = [
        json.dumps(app.review_json(one, of)) for one, of in ((done, analysis), (second, again))
    ]
    assert texts[0] == texts[1]


def test_json_has_the_documented_shape(done: Review, analysis: Analysis) -> None:
    """Every finding has the documented keys; bars are the printed numbers, beats count from 1."""
    data = json.loads(json.dumps(app.review_json(done, analysis)))
    assert {"entry", "provenance", "findings", "credits", "not_assessed"} <= data.keys()
    for finding in data["findings"]:
        keys = {"slug", "family", "kind", "places", "evidence", "text", "question"}
        assert keys <= finding.keys()
        assert finding["kind"] in {"impossible", "risk", "question"}
        for place in finding["places"]:
            assert {"bar", "beat", "part", "stave"} <= place.keys()
            assert 1 <= place["bar"] <= 40
            assert 1 <= place["beat"] < 5
        for evidence in finding["evidence"]:
            assert {"quantity", "value", "unit", "limit"} == evidence.keys()


def test_a_moved_threshold_is_in_the_provenance(analysis: Analysis) -> None:
    """A changed setting changes the review and is named in it."""
    changed = {"tune-covered": {"least_quarters": 1000.0}}
    done = app.review(analysis, "entry", app.choose(only=["tune-covered"]), changed)
    assert done.faults == ()
    assert done.silent == ("tune-covered",)
    assert done.provenance.settings == (("tune-covered", "least_quarters", 1000.0),)


def test_an_unknown_check_is_told() -> None:
    """Asking for a check that is not there says where the list is."""
    with pytest.raises(InputError, match="there is no check"):
        app.choose(only=["no-such-check"])


@pytest.mark.parametrize("text", ["14.12.10", "a.b.c.d.e", "0.1.1.1.1", ""])
def test_forces_that_make_no_sense_are_refused(text: str) -> None:
    """Forces are five numbers of at least one player."""
    with pytest.raises(InputError):
        app.parse_forces(text)


def test_the_review_says_where_it_was_heard(root: Path) -> None:
    """Hall, seat and tail change what is heard, and all three stand in the provenance."""
    entry = root / "src/redstave/app/demo/orchestra.musicxml"
    usual = app.hear(app.open_entry(entry), "25")
    place = app.parse_hall("vienna", "conductor", tail=True)
    there = app.open_entry(entry, heard_in=place)
    heard = app.hear(there, "25")
    assert heard["hall"] == "Musikverein, Vienna, at the conductor's ear, ringing on"
    assert heard["lines"] != usual["lines"]
    done = app.review(there, "entry", app.choose(only=["slur-over-equal-notes"]))
    assert done.provenance.hall == heard["hall"]


def test_fewer_strings_lower_the_margin_of_the_strings(root: Path) -> None:
    """With a quarter of the players the violins stand less clear of the rest."""
    entry = root / "src/redstave/app/demo/orchestra.musicxml"
    full = app.hear(app.open_entry(entry), "25-27")
    thin = app.hear(app.open_entry(entry, app.parse_forces("4.3.2.2.1")), "25-27")
    margins = [
        [row["margin_db"] for row in data["lines"] if row["line"] == "Violin I"]
        for data in (full, thin)
    ]
    assert len(margins[0]) == len(margins[1]) == 3
    assert all(less < more for more, less in zip(*margins, strict=True))
