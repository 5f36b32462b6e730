"""One bar as its strands, and the whole piece by time."""

import pytest

from redstave.analysis import Analysis
from redstave.app.desk import Opened
from redstave.app.desk.hearing_page import TUNE, covered_tunes, density, hearing_page
from redstave.app.desk.strands import groups, strands_of
from redstave.model.review import Provenance, Review
from redstave.reading import read_bytes

NOBODY = Review("X", "", Provenance("", "", "", "", "", "", "", "", (), ()), (), (), ())
TEXT = """\
title: Together
meter: 4/4
tempo: 90
pitch: sounding
part Flute
mf A5/4 B5 C6 D6 | A5/1 | R | A5/1 |.
part Oboe
mf A5/4 B5 C6 D6 | A4/1 | R | R |.
part Trombone | clef=bass
f E3/2 F3 | E3/1 | R | fff A4/1 |.
"""


@pytest.fixture(scope="module")
def opened() -> Opened:
    """Three players: two in unison, then in octaves, then nobody, then one under another."""
    return Opened("X", Analysis(read_bytes(TEXT.encode(), "x.tiny")), NOBODY, b"")


def named(opened: Opened, bar: int) -> list[set[str]]:
    """Return the groups of a bar by the names of their lines."""
    lines = opened.analysis.playing.lines
    return [{lines[at].name for at in group} for group in groups(opened.analysis, bar)]


def test_unison_is_one_strand(opened: Opened) -> None:
    """Two players who play the same are one strand, the third another."""
    assert named(opened, 0) == [{"Flute", "Oboe"}, {"Trombone"}]


def test_silence_has_no_strand(opened: Opened) -> None:
    """Where everybody rests there is nothing to tell."""
    assert strands_of(opened, 2) == []


def test_every_line_is_in_one_strand(juniper: Opened) -> None:
    """In every bar each sounding line is in exactly one group."""
    for bar in range(len(juniper.analysis.score.bars)):
        lines = [line for group in groups(juniper.analysis, bar) for line in group]
        sounding = {line for line, at in juniper.records if at == bar}
        assert sorted(lines) == sorted(sounding)


def test_the_tune_stands_first_then_what_is_heard_least(juniper: Opened) -> None:
    """What leads comes first; the others follow by their margin, the least first."""
    strands = strands_of(juniper, 24)
    assert strands[0]["tune"]
    margins = [one["margin_db"] for one in strands if not one["tune"]]
    assert margins == sorted(margins)  # type: ignore[type-var]


def test_the_planted_burial_is_listed(juniper: Opened) -> None:
    """The flute's tune in bars 14 to 16 (planted.md) is listed with what lies over it."""
    (one,) = covered_tunes(juniper.analysis)
    assert (one["first"], one["last"], one["line"]) == (13, 15, "Flute 1")
    assert one["state"] in ("covered", "doubtful")
    assert "Violin II" in str(one["over"])


def test_the_row_of_the_tune_shows_the_burial(juniper: Opened) -> None:
    """Above all rows stands the tune, covered or doubtful where it is buried."""
    page = hearing_page(juniper)
    name, cells = page.rows[0]
    assert name == TUNE
    assert len(cells) == len(juniper.analysis.score.bars)
    assert set(cells[13:16]) <= {"c", "d"}
    assert set(cells[:8]) == {"h"}


def test_density_counts_lines(opened: Opened) -> None:
    """Three lines sound in the first bar, none in the third, two in the last."""
    assert density(opened.analysis) == pytest.approx((3, 3, 0, 2))


def test_pictures_of_a_panel_begin_at_one_place(juniper: Opened) -> None:
    """Ribbons, density and level plan are as wide as each other: the brush lies over all."""
    (panel,) = hearing_page(juniper).panels
    assert panel.left + panel.bar * 40 == pytest.approx(1.0, abs=0.01)
    for drawn in (panel.ribbons, panel.levels, panel.density):
        assert 'viewBox="0 0 1160 ' in drawn


def test_a_score_of_unknown_instruments_has_a_page() -> None:
    """Where nobody can be judged the page says so and does not fail."""
    text = "title: X\nmeter: 4/4\npart Zzyzx\nC5/1 | D5/1 |.\n"
    page = hearing_page(Opened("X", Analysis(read_bytes(text.encode(), "x.tiny")), NOBODY, b""))
    assert page.covered == ()
    assert all(set(cells) <= {"u", "s"} for _, cells in page.rows)
