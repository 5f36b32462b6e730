"""Tones that are lost, altered, foreign; bars that are missing; threads that break."""

from redstave.model.role import Role
from redstave.original.beside import beside as side_by_side
from redstave.original.foreign import foreign_tones
from redstave.original.lost import altered_tones, lost_tones, missing_runs
from redstave.original.threads import gaps, thread
from tests.original.pieces import BROKEN, CELLO, TUNE, VIOLA, VIOLIN, beside, part, piano

LOW = ("C3/1", "F2/1", "G2/1", "C3/1", "C3/1", "F2/1", "D3/2 G2", "C3/1")
PLAIN = piano(low=LOW)
BASS = part("Violoncello | clef=bass", LOW)


def with_bar(bars: tuple[str, ...], at: int, other: str) -> tuple[str, ...]:
    """Return bars with one of them replaced."""
    return (*bars[:at], other, *bars[at + 1 :])


def test_a_complete_entry_has_lost_and_altered_nothing() -> None:
    """Every tone is there: nothing lost, altered, foreign or missing."""
    both = beside(VIOLIN + BASS, PLAIN)
    found = side_by_side(both)
    assert found is not None
    assert list(lost_tones(both, 0.0)) == list(altered_tones(both)) == []
    assert list(foreign_tones(both, 0.0)) == []
    assert missing_runs(found) == ()


def test_a_tone_that_sounds_nowhere_is_lost_with_its_voice() -> None:
    """The G of the bass in bar 3 is gone: half of what the piano sounds there in long tones."""
    both = beside(VIOLIN + part("Violoncello | clef=bass", with_bar(LOW, 2, "R")), PLAIN)
    (lost,) = lost_tones(both, 2.0)
    assert (lost.bar, lost.voice) == (2, "bass")


def test_a_tone_a_semitone_beside_is_altered_not_lost() -> None:
    """F sharp for F in the bass of bar 6, for half the bar."""
    low = with_bar(LOW, 5, "F2/2 E3")
    wrong = part("Violoncello | clef=bass", with_bar(low, 5, "F#2/2 E3"))
    both = beside(VIOLIN + wrong, piano(low=low))
    (one,) = altered_tones(both)
    found = side_by_side(both)
    assert found is not None
    assert (one.bar, found.match.source[one.source].midi) == (5, 41)
    assert both.playing.tones[one.tone].midi == 42
    assert list(lost_tones(both, 0.5)) == list(foreign_tones(both, 1.0)) == []


def test_an_added_tone_is_foreign_where_it_rubs() -> None:
    """A flat over the G of bar 3 rubs; a B fits, and an A flat in passing is too short."""
    for bar, foreign in (("Ab4/1", 1), ("B4/1", 0), ("G4/4. Ab4/8 G4/2", 0)):
        viola = part("Viola | clef=treble", ("R", "R", bar, "R", "R", "R", "R", "R"))
        both = beside(VIOLIN + viola + BASS, PLAIN)
        assert len(list(foreign_tones(both, 1.0))) == foreign, bar


def test_missing_bars_are_found_between_their_neighbours() -> None:
    """Bars 4 and 5 are cut: one run. Where other bars stand in their place nothing is claimed."""

    def missing(*bars: str) -> tuple[tuple[int, ...], ...]:
        tune, low = (*TUNE[:3], *bars, *TUNE[5:]), (*LOW[:3], *("R",) * len(bars), *LOW[5:])
        entry = part("Violin I", tune) + part("Violoncello | clef=bass", low)
        found = side_by_side(beside(entry, PLAIN))
        assert found is not None
        return missing_runs(found)

    assert missing() == ((3, 4),)
    assert missing("C#4/16 D#4 C#4 D#4 C#4/4 F#4 A#4", "D#4/2 A#3") == ()


def test_a_gap_is_what_nobody_plays_between_what_is_played() -> None:
    """Four tones of the tune are dropped in bar 3; an end that is dropped is no gap."""
    both = beside(part("Violin I", with_bar(TUNE, 2, "R")) + CELLO, piano())
    gap, *others = gaps(both, thread(both, Role.TUNE))
    assert not others
    assert {strand.bar for strand in gap.strands} == {2}
    cut = beside(part("Violin I", (*TUNE[:6], "R", "R")) + CELLO, piano())
    assert all(len(gap.strands) < 2 for gap in gaps(cut, thread(cut, Role.TUNE)))


def test_a_tone_that_sounds_in_another_voice_is_no_gap() -> None:
    """Violas and cellos have the tones of bar 4 in their chord; the tune does not break."""
    both = beside(part("Violin I", with_bar(TUNE, 3, "R")) + VIOLA + CELLO, piano(low=BROKEN))
    assert list(gaps(both, thread(both, Role.TUNE))) == []
