"""Sections with the original in mind, who carries what in them, and habits in figures."""

import re

import pytest

from redstave.model.role import Role
from redstave.original.colours import carried, changes, phrases_of
from redstave.original.form import form_of, sections_of
from redstave.original.habits import habits
from redstave.original.paths import colour_path
from redstave.original.peak import peak
from redstave.original.strips import carrier_strips
from tests.original.pieces import CELLO, TUNE, VIOLIN, beside, part, piano

LOW = ("C3/1", "F2/1", "G2/1", "C3/1", "C3/1", "F2/1", "D3/2 G2", "C3/1")
OTHER = ("B4/4 A4 G4 B4", "D5/2 B4", "A4/4 B4 C5 A4", "B4/1")
DEEP = ("C2/1", "F2/1", "G2/1", "C2/1", "C2/1", "F2/1", "D2/2 G2", "C2/1")
THERE = ("G2/1", "G2/1", "D3/1", "G2/1")


def test_music_that_returns_opens_a_section_no_mark_shows() -> None:
    """Eight bars, four others, the first eight again: the return begins a section."""
    tune, low = (*TUNE, *OTHER, *TUNE), (*LOW, *THERE, *LOW)
    both = beside(part("Violin I", tune) + part("Violoncello | clef=bass", low), piano(tune, low))
    assert [(one.first, one.opened) for one in sections_of(both)] == [
        (0, ""),
        (12, "the music returns"),
    ]
    assert len(form_of(both).turns) == 1


def test_who_carries_the_tune_in_each_phrase() -> None:
    """Violins, then the flute an octave higher: one change, at its phrase."""
    high = tuple(
        "".join(
            str(int(c) + 1) if before in "ABCDEFG" else c
            for before, c in zip(" " + bar, bar, strict=False)
        )
        for bar in TUNE
    )
    rest = ("R",) * 8
    tune, low = TUNE * 3, LOW * 3
    entry = (
        part("Flute", (*rest, *high, *rest))
        + part("Violin I", (*TUNE, *rest, *TUNE))
        + part("Violoncello | clef=bass", low)
    )
    both = beside(entry, piano(tune, low))
    assert [(one.first, one.last) for one in phrases_of(both)] == [(0, 7), (8, 15), (16, 23)]
    found = carried(both, (Role.TUNE,), phrases_of(both))
    assert [one.hands for one in found] == [{("violin", 0)}, {("flute", 1)}, {("violin", 0)}]
    assert changes(found) == 2
    assert all(one.share == pytest.approx(1.0) for one in found)


def test_the_colour_path_joins_bars_in_the_same_hands() -> None:
    """The tune lies with the violins for eight bars: one hold."""
    both = beside(VIOLIN + CELLO, piano())
    tune = next(one for one in carrier_strips(both, heard=False) if one.voice == 0)
    (hold,) = colour_path(tune)
    assert (hold.first, hold.last, hold.share) == (0, 7, 1.0)
    assert [both.playing.lines[line].name for line, _ in hold.hands] == ["Violin I"]


def test_hands_that_went_to_different_families_are_counted() -> None:
    """Flute and cello: no family plays of both hands. Violin and cello: always."""
    apart = habits(beside(part("Flute", TUNE) + CELLO, piano()))
    joined = habits(beside(VIOLIN + CELLO, piano()))
    assert apart is not None
    assert joined is not None
    assert (apart.hands_apart, joined.hands_apart) == (1.0, 0.0)
    assert apart.arcs_copied is None


def test_octaves_are_kept_or_moved() -> None:
    """Octaves of the left hand: both basses and cellos in them, or only the cellos."""
    octaves = tuple(re.sub(r"([A-G])2", r"[\g<1>2 \g<1>3]", bar) for bar in DEEP)
    upper = part("Violoncello", tuple(bar.replace("2", "3").replace("/3", "/2") for bar in DEEP))
    kept = habits(beside(VIOLIN + upper + part("Bassoon", DEEP), piano(low=octaves)))
    moved = habits(beside(VIOLIN + upper, piano(low=octaves)))
    assert kept is not None
    assert moved is not None
    assert (kept.octaves_kept, moved.octaves_kept) == (1.0, 0.0)


def test_one_level_for_all_is_counted_where_it_is_the_pianists() -> None:
    """Three lines mf like the piano in every bar, or one of them p."""
    third = part("Viola | clef=alto", ("E4/1",) * 8)
    flat = habits(beside(VIOLIN + third + CELLO, piano()))
    shaped = habits(beside(VIOLIN + third.replace("mf", "p") + CELLO, piano()))
    assert flat is not None
    assert shaped is not None
    assert (flat.levels_flat, shaped.levels_flat) == (1.0, 0.0)


def test_the_height_is_where_the_pianist_is_loudest() -> None:
    """Loudest in bars 5 and 6 of the piano; the score is fullest in bar 2, three bars away."""
    tune = (*TUNE[:4], f"ff {TUNE[4]}", TUNE[5], f"mf {TUNE[6]}", TUNE[7])
    flute = part("Flute", ("R", TUNE[1], *("R",) * 6))
    found = peak(beside(flute + VIOLIN + CELLO, piano(tune)))
    assert found is not None
    assert (found.source, found.fullest, found.distance) == ((4, 5), (1,), 3)


def test_a_piece_without_a_height_has_none() -> None:
    """The same level from beginning to end."""
    found = peak(beside(VIOLIN + CELLO, piano()))
    assert found is not None
    assert (found.source, found.distance) == ((), None)
