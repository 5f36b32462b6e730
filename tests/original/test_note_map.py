"""Tones are followed back to their sources; what is lost is lost, what is new is new."""

from collections.abc import Sequence
from random import Random

import pytest

from benchmarks.pairing.kinds import KINDS
from benchmarks.pairing.measure import NONE_FOUND, Found, compare
from benchmarks.pairing.music import piece
from benchmarks.pairing.reduction import reduced, turned
from redstave.model.line import WORKING_ORCHESTRA, Playing
from redstave.model.match import Carrier, Manner, Match
from redstave.model.score import Score
from redstave.original import match
from redstave.players import play
from redstave.reading import read_bytes

ORIGINALS = tuple(piece(seed, 40) for seed in range(6))
REWRITTEN = ("held arpeggios", "tremolo, repeated notes", "broken chords, short notes")


def tiny(*parts: str) -> Score:
    """Read a score in tiny notation."""
    text = "title: X\nmeter: 4/4\npitch: sounding\n" + "".join(f"part {one}\n" for one in parts)
    return read_bytes(text.encode(), "x.tiny")


def found_of(kind: str) -> Found:
    """Make a pair of a kind from each original and count what is found."""
    found = NONE_FOUND
    for seed, original in enumerate(ORIGINALS):
        found += compare(KINDS[kind](original, Random(seed)))
    return found


def beside(entry: Score, original: Score) -> tuple[Match, Playing]:
    """Match two scores."""
    playing = play(entry, WORKING_ORCHESTRA)
    return match(entry, playing, original), playing


def of_line(found: Match, playing: Playing, line: int) -> list[Carrier]:
    """Return the carriers of a line."""
    return [one for one in found.carriers if playing.tones[one.tone].line == line]


def manners(found: Match, playing: Playing, line: int) -> set[Manner]:
    """Return the manners of a line."""
    return {one.manner for one in of_line(found, playing, line)}


def pitches(found: Match, some: Sequence[int]) -> list[int]:
    """Return the pitches of source tones."""
    return [found.source[at].midi for at in some]


@pytest.mark.parametrize("kind", ["hand split", "doubling", "register moves"])
def test_doublings_and_moves_are_followed(kind: str) -> None:
    """F1 of the links is at least 0.95, and nothing is called lost or new."""
    found = found_of(kind)
    assert found.links.f1 >= 0.95
    assert found.left_out.said <= 0.002 * found.links.true
    assert found.added.said == 0


@pytest.mark.parametrize("kind", [*REWRITTEN, "everything at once"])
def test_rewriting_is_followed(kind: str) -> None:
    """F1 of the links is at least 0.85 when chords are held, broken, repeated or in tremolo."""
    assert found_of(kind).links.f1 >= 0.85


def test_lost_and_new_tones_are_told() -> None:
    """Precision and recall of tones left out and of tones added are at least 0.9."""
    found = found_of("left out, added")
    for count in (found.left_out, found.added):
        assert count.precision >= 0.9
        assert count.recall >= 0.9


def test_a_reduction_is_followed_both_ways() -> None:
    """A score beside its reduction, and the reduction beside the score: F1 at least 0.85."""
    entry = KINDS["doubling"](ORIGINALS[0], Random(1)).entry
    pair = reduced("reduced", entry)
    assert compare(pair).links.f1 >= 0.85
    assert compare(turned(pair)).links.f1 >= 0.85


PIANO = tiny(
    "Piano | staves=2\n"
    "E5/4 F5 G5 A5 // C3/8 G3 E4 G3 C3 G3 E4 G3 | G5/4 F5 E5 D5 // B2/8 G3 D4 G3 B2 G3 D4 G3 |"
    " C5/4 D5 E5 C5 // C3/8 G3 E4 G3 C3 G3 E4 G3 | B4/4 C5 D5 B4 // [G2 D3]/2 [G2 D3]/2 |"
    " [C5 E5 G5]/1 // C3/1 |"
)
TUNE = "E5/4 F5 G5 A5 | G5/4 F5 E5 D5 | C5/4 D5 E5 C5 | B4/4 C5 D5 B4"
HELD = "[C3 G3 E4]/1 | [B2 G3 D4]/1 | [C3 G3 E4]/1 | [G2 D3]/1 | C3/1"


def test_held_chords_carry_the_figure() -> None:
    """Chords that hold what the piano breaks carry all of it, and are called held."""
    entry = tiny(f"Violin I\n{TUNE} | [E5 G5]/1 |", f"Violoncello | clef=bass\n{HELD} |")
    found, playing = beside(entry, PIANO)
    assert found.added == ()
    assert found.left_out == ()
    first = [one for one in of_line(found, playing, 1) if playing.tones[one.tone].bar == 0]
    assert {one.source for one in first if one.octave_shift == 0} == {
        at for at, tone in enumerate(found.source) if tone.bar == 0 and tone.stave == 2
    }
    assert {one.manner for one in first} == {Manner.HELD}
    assert Manner.PLAIN in manners(found, playing, 0)


def test_manners_are_told_apart() -> None:
    """Repeated, broken and tremolo tones are named as such."""
    entry = tiny(
        f"Violin I\n{TUNE} | G5/8 G5 G5 G5 G5 G5 G5 G5 |",
        f"Viola | clef=alto\n{HELD.rsplit('|', 1)[0]} | C5/8 E5 G5 E5 C5 E5 G5 E5 |",
        "Violin II\nR*4 | E5/1:tremolo3 |",
        "Contrabass | clef=bass | transpose=-12\nR*4 | r/2 C3/2 |",
    )
    found, playing = beside(entry, PIANO)
    last = [
        {one.manner for one in of_line(found, playing, line) if playing.tones[one.tone].bar == 4}
        for line in range(4)
    ]
    assert last == [{Manner.REPEATED}, {Manner.BROKEN}, {Manner.TREMOLO}, {Manner.REPEATED}]


def test_octaves_are_counted_from_the_source() -> None:
    """The octave shift counts up and down, the transposition taken off."""
    entry = tiny(
        "Flute\nF#6/4 G6 A6 B6 | A6/4 G6 F#6 E6 | D6/4 E6 F#6 D6 | C#6/4 D6 E6 C#6 | A6/1 |",
        "Bassoon | clef=bass\nF#3/4 G3 A3 B3 | A3/4 G3 F#3 E3 | D3/4 E3 F#3 D3 |"
        " C#3/4 D3 E3 C#3 | A3/1 |",
    )
    found, playing = beside(entry, PIANO)
    assert found.transposition == 2
    assert {one.octave_shift for one in of_line(found, playing, 0)} == {1}
    sure = [one for one in of_line(found, playing, 1) if one.confidence > 0.5]
    assert {one.octave_shift for one in sure} == {-2}
    assert {one.tone for one in sure} == {one.tone for one in of_line(found, playing, 1)}


def test_a_doubling_dropped_for_good_is_not_lost() -> None:
    """Octaves played as single notes throughout carry both; a single missing note is lost."""
    octaves = "[C4 C5]/4 [D4 D5] [E4 E5] [G4 G5] | [A4 A5]/4 [G4 G5] [F4 F5] [D4 D5] | [C4 C5]/1"
    piano = tiny(f"Piano\n{octaves} |")
    whole, _ = beside(tiny("Violin I\nC5/4 D5 E5 G5 | A5/4 G5 F5 D5 | C5/1 |"), piano)
    assert whole.left_out == ()
    holed, _ = beside(tiny("Violin I\nC5/4 D5 r G5 | A5/4 G5 F5 D5 | C5/1 |"), piano)
    assert pitches(holed, holed.left_out) == [64, 76]


def test_a_lost_note_is_lost_though_its_pitch_class_sounds() -> None:
    """The bass that leaves out a note has lost it, even while the tune sounds the same one."""
    high, low = "E5/4 G5 C5 D5 | E5/4 C5 D5 B4 | C5/1", "C3/4 E3 C3 G2 | A2/4 C3 F2 G2 | C3/1"
    piano = tiny(
        "Piano | staves=2\n"
        + " | ".join(
            f"{one} // {other}"
            for one, other in zip(high.split(" | "), low.split(" | "), strict=True)
        )
        + " |"
    )
    entry = tiny(f"Oboe\n{high} |", f"Bassoon | clef=bass\n{low.replace('E3 C3 G2', 'E3 r G2')} |")
    found, _ = beside(entry, piano)
    assert [(found.source[at].midi, found.source[at].bar) for at in found.left_out] == [(48, 0)]
    assert found.added == ()


def test_a_line_of_its_own_is_new_though_it_touches_the_harmony() -> None:
    """A counter-line is added as a whole: tones that meet the chord by chance are no carriers."""
    counter = "B3/4 A3 F#4 G4 | C4/4 A3 F4 A4 | B3/4 A3 F4 A3 | C#4/4 A3 F4 E4 | A3/4 F4 D4 A4"
    entry = tiny(
        f"Violin I\n{TUNE} | [E5 G5]/1 |",
        f"Violoncello | clef=bass\n{HELD} |",
        f"Horn\n{counter} |",
    )
    found, playing = beside(entry, PIANO)
    horn = [at for at, tone in enumerate(playing.tones) if tone.line == 2]
    assert len(set(horn) & set(found.added)) >= 0.9 * len(horn)
    assert set(found.added) <= set(horn)


def test_a_mordent_of_grace_notes_finds_its_grace_notes() -> None:
    """A grace note comes from a grace note, not from the main note beside it."""
    piano = tiny("Piano\n^D5 C5/2 E5 | ^F5 G5/2 E5 | C5/1 |")
    found, playing = beside(tiny("Flute\n^D5 C5/2 E5 | ^F5 G5/2 E5 | C5/1 |"), piano)
    assert not found.left_out
    for one in found.carriers:
        tone, source = playing.tones[one.tone], found.source[one.source]
        assert (tone.stop > tone.start) == (source.stop > source.start)


def test_drums_are_neither_carried_nor_new() -> None:
    """Tones without pitch come from no pitch: they are left out of the account."""
    entry = tiny(
        f"Violin I\n{TUNE} | [C5 E5 G5]/1 |",
        f"Violoncello | clef=bass\n{HELD} |",
        "Snare Drum | clef=percussion\nC5/4 C5 C5 C5 | R*4 |",
    )
    found, playing = beside(entry, PIANO)
    drums = {at for at, tone in enumerate(playing.tones) if tone.unpitched}
    assert drums
    assert not drums & {*found.added, *(one.tone for one in found.carriers)}


@pytest.mark.parametrize("empty", ["Triangle | clef=percussion\nC5/4 C5 C5 C5 |", "Flute\nR |"])
def test_nothing_to_compare_is_no_error(empty: str) -> None:
    """Rests and drums alone match nothing, on either side, and nothing is sure."""
    nothing = tiny(empty)
    for entry, original in ((nothing, PIANO), (PIANO, nothing), (nothing, nothing)):
        found, _ = beside(entry, original)
        assert found.carriers == ()
        assert len(found.left_out) == len(found.source)
        assert {one.confidence for one in found.bars} == {0.0}


def test_a_filling_doubling_is_no_note_lost() -> None:
    """Who drops an inner octave of a bass note that is played loses nothing; the bass note, yes.

    Common practice: octaves within a chord add weight, not a note.
    """
    filling, _ = beside(
        tiny(f"Violin I\n{TUNE} | [E5 G5]/1 |", f"Violoncello | clef=bass\n{HELD} |"), PIANO
    )
    assert filling.left_out == ()
    bass, _ = beside(
        tiny(
            f"Violin I\n{TUNE} | [C5 E5 G5]/1 |",
            f"Violoncello | clef=bass\n{HELD.removesuffix('C3/1')}R |",
        ),
        PIANO,
    )
    assert pitches(bass, bass.left_out) == [48]


QUICK = "{3:2 E5/8 F5 E5 D5 C5 B4 C5 D5 C5 B4 A4 B4}"


def test_a_neighbour_in_a_quick_run_is_no_source() -> None:
    """A held tone that nobody in the piano strikes is new, though a run touches it later on."""
    run = " | ".join([QUICK] * 4)
    low = " | ".join(["[C3 E3 G3]/4 [C3 E3 G3] [C3 E3 G3] [C3 E3 G3]"] * 4)
    piano = tiny(
        "Piano | staves=2\n" + " | ".join(f"{QUICK} // {one}" for one in low.split(" | ")) + " |"
    )
    chord = "Viola | clef=alto\n" + low + " |"
    horn = "Horn\nC4/4 E4 G4 E4 | C4/4 B4/4 A4 G4 | C4/4 E4 G4 E4 | G4/4 E4 C4 E4 |"
    found, playing = beside(tiny(f"Violin I\n{run} |", chord, horn), piano)
    new = [playing.tones[at] for at in found.added]
    assert [(tone.line, round(tone.midi), tone.bar) for tone in new] == [(2, 71, 1), (2, 69, 1)]


def test_a_pad_beside_its_figure_is_carried_by_it() -> None:
    """Horns that hold what the cello breaks are no new tones, though the figure has its player."""
    figure = "C3/8 G3 E4 G3 C3 G3 E4 G3 | B2/8 G3 D4 G3 B2 G3 D4 G3 | C3/8 G3 E4 G3 C3 G3 E4 G3"
    entry = tiny(
        f"Violin I\n{TUNE} | [C5 E5 G5]/1 |",
        f"Violoncello | clef=bass\n{figure} | [G2 D3]/2 [G2 D3]/2 | C3/1 |",
        "Horn 1\nE4/1 | D4/1 | E4/1 | D4/1 | E4/1 |",
        "Horn 2\nG3/1 | G3/1 | G3/1 | G3/1 | G3/1 |",
    )
    assert beside(entry, PIANO)[0].added == ()


def test_a_figure_broken_in_another_way_is_neither_lost_nor_new() -> None:
    """A line that goes through the harmony in another order carries the figure of the hands.

    What rings does so from one bass note to the next: a note of the harmony before is new.
    """
    piano = tiny(
        "Piano | staves=2\n"
        "E5/4 F5 G5 A5 // C3/8 G3 E4 G3 C3 G3 E4 G3 | G5/4 F5 E5 D5 // B2/8 G3 D4 G3 B2 G3 D4 G3 |"
        " C5/4 D5 E5 C5 // C3/8 G3 E4 G3 F2 C3 A3 C3 | B4/4 C5 D5 B4 // G2/8 D3 B3 D3 G2 D3 B3 D3 |"
    )
    viola = (
        "G3/8 E4 C4 E4 G3 E4 C4 E4 | G3/8 D4 B3 D4 G3 D4 B3 D4 | "
        "E4/8 C4 G3 E4 A3 F4 C4 {last} | D4/8 G4 B3 G4 D4 G4 B3 G4"
    )
    tune = TUNE.replace(" | B4/4 C5 D5 B4", " | B4/4 C5 D5 B4")
    for last, new in (("A3", []), ("F#4", [66])):
        entry = tiny(f"Violin I\n{tune} |", f"Viola | clef=alto\n{viola.format(last=last)} |")
        found, playing = beside(entry, piano)
        assert found.left_out == ()
        assert [round(playing.tones[at].midi) for at in found.added] == new


def test_a_held_note_that_a_run_only_touches_is_lost() -> None:
    """A long inner note is left out where nobody plays it, though a run comes by its pitch."""
    run = "C4/8 D4 E4 F4 G4 A4 B4 C5"
    bars = [f"E5/4 F5 G5 A5 & {inner}/1 // {run}" for inner in ("G4", "A4", "B4", "G4")]
    piano = tiny("Piano | staves=2\n" + " | ".join(bars) + " |")
    entry = tiny(
        f"Violin I\n{' | '.join(['E5/4 F5 G5 A5'] * 4)} |",
        f"Clarinet\n{' | '.join([run] * 4)} |",
        "Horn\nG4/1 | A4/1 | R | G4/1 |",
    )
    found, _ = beside(entry, piano)
    assert [(found.source[at].midi, found.source[at].bar) for at in found.left_out] == [(71, 2)]


@pytest.mark.parametrize("entry", ["^D5 C5/2 r/2", "D5/32 C5/4... r/2", "r/4... D5/32 C5/2"])
def test_a_grace_note_may_be_measured(entry: str) -> None:
    """A grace note is carried by a small note on the beat or before it."""
    original = tiny("Piano\nr/2 E5/2 | G5/2 r | ^D5 C5/2 r/2 | E5/1 |")
    bar = entry if not entry.startswith("r") else "C5/2 r/2"
    before = "G5/2 r/4... D5/32" if entry.startswith("r") else "G5/2 r"
    found, _ = beside(tiny(f"Oboe\nr/2 E5/2 | {before} | {bar} | E5/1 |"), original)
    assert not found.left_out
    assert not found.added


def test_a_grace_note_is_lost_where_its_pitch_only_goes_on() -> None:
    """A note that was there before is no grace note struck."""
    original = tiny("Piano\nE5/2 D5/2 | ^D5 C5/2 r/2 | E5/1 | F5/1 |")
    found, _ = beside(tiny("Oboe\nE5/2 D5/2 | C5/2 r/2 | E5/1 | F5/1 |"), original)
    assert [found.source[at].midi for at in found.left_out] == [74]


def test_a_held_note_is_new_where_a_tune_comes_by_its_pitch_later() -> None:
    """A long note that was there before the tune reaches its pitch for a moment has no source."""
    tune = "C5/4 D5 E5 F5 | G5/4 F5 E5 D5 | E5/4 F5 G5 A5 | G5/2 E5"
    bass = "C3/2 G3 | E3/2 G3 | C3/2 F3 | E3/2 C3"
    piano = tiny("Piano | staves=2\n" + " | ".join(
        f"{high} // {low}" for high, low in zip(tune.split(" | "), bass.split(" | "), strict=True)
    ) + " |")  # fmt: skip
    found, playing = beside(
        tiny(f"Flute\n{tune} |", f"Cello\n{bass} |", "Horn\nE4/2. r/4 | R | R | R |"), piano
    )
    assert [round(playing.tones[at].midi) for at in found.added] == [64]
    assert not found.left_out


def test_a_held_note_is_lost_where_only_a_tune_comes_by_its_pitch() -> None:
    """A long inner note that nobody plays is left out though a tune reaches its pitch later."""
    tune = "C5/4 D5 E5 F5 | G5/4 F5 E5 D5 | E5/4 F5 G5 A5 | G5/2 E5"
    bass = "C3/2 G3 | E3/2 G3 | C3/2 F3 | E3/2 C3"
    bars = [
        f"{high} // {low}" for high, low in zip(tune.split(" | "), bass.split(" | "), strict=True)
    ]
    bars[0] = bars[0].replace(" // ", " & E4/2. r/4 // ")
    piano = tiny("Piano | staves=2\n" + " | ".join(bars) + " |")
    found, _ = beside(tiny(f"Flute\n{tune} |", f"Cello\n{bass} |"), piano)
    assert [found.source[at].midi for at in found.left_out] == [64]
    assert not found.added


def test_a_shake_written_out_is_believed_to_come_from_its_note() -> None:
    """A line that shakes a long note with its neighbour carries it with every second stroke."""
    low = "C3/8 G3 E4 G3 C3 G3 E4 G3 | G2/8 D3 B3 D3 G2 D3 B3 D3"
    lower = " | ".join([low] * 4)
    high = "C5/4 D5 E5 C5 | {0} | {0} | {0} | {0} | {0} | F5/4 E5 D5 C5 | B4/1"
    shaken = high.format(" ".join(["G5/16 A5"] * 8))
    bars = zip(high.format("G5/1").split(" | "), lower.split(" | "), strict=True)
    piano = tiny(
        "Piano | staves=2\n" + " | ".join(f"{one} // {other}" for one, other in bars) + " |"
    )
    found, playing = beside(tiny(f"Flute\n{shaken} |", f"Cello\n{lower} |"), piano)
    assert not found.left_out
    assert {round(playing.tones[at].midi) for at in found.added} == {81}


def test_a_tone_struck_with_the_bass_is_not_new_where_its_own_voice_rests() -> None:
    """The first note of a run is played by the bass note struck with it; the hand rests there."""
    run = "r/16 C5 A4 D5 A4 E5 A4 F5 A4 E5 A4 D5 A4 C5 A4 B4"
    bass = "A2/8 r r/4 A2/8 r r/4"
    piano = tiny(f"Piano | staves=2\n{run} // {bass} | {run} // {bass} | A4/1 // A2/1 |")
    whole = run.replace("r/16", "A4/16")
    entry = tiny(
        f"Violin I\n{whole} | {whole} | A4/1 |",
        f"Violoncello | clef=bass\n{bass} | {bass} | A2/1 |",
    )
    found, playing = beside(entry, piano)
    assert found.added == ()
    first = [one for one in of_line(found, playing, 0) if playing.tones[one.tone].start == 0]
    assert [one.octave_shift for one in first] == [2]


def test_a_tone_of_the_piano_is_not_new_in_a_line_of_its_own() -> None:
    """A note that the hands strike at its own pitch and hold as long is theirs, in any line."""
    counter = "F#4/4 D#4 C#4 A#3 | F#4/4 C#4 E3 G#3 | C#4/4 D#4 F#4 A#3 | F#4/4 G#4 D#4 C#4"
    piano = tiny(
        "Piano | staves=2\nE5/4 G5 C5 D5 // C3/4 E3 C3 G2 | E5/4 C5 D5 B4 // A2/4 C3 E3 G2 | "
        "C5/1 // C3/1 | C5/1 // C3/1 |"
    )
    entry = tiny(
        "Oboe\nE5/4 G5 C5 D5 | E5/4 C5 D5 B4 | C5/1 | C5/1 |",
        "Violoncello | clef=bass\nC3/4 E3 C3 G2 | A2/4 C3 E3 G2 | C3/1 | C3/1 |",
        f"Horn\n{counter} |",
    )
    found, playing = beside(entry, piano)
    horn = [at for at, tone in enumerate(playing.tones) if tone.line == 2]
    assert [round(playing.tones[one].midi) for one in set(horn) - set(found.added)] == [52]


def test_a_grace_note_is_lost_where_the_note_before_it_only_comes_up_to_it() -> None:
    """A note that is struck as one of the piano's own plays no grace note that follows it."""
    low = "C3/1"
    piano = tiny(f"Piano | staves=2\nC5/4 r/8. C5/16 ^C5 D5/2 // {low} | C5/1 // {low} |")
    entry = tiny("Flute\nC5/4 r/8. C5/16 D5/2 | C5/1 |", f"Bassoon | clef=bass\n{low} | {low} |")
    found, _ = beside(entry, piano)
    assert [found.source[at].stop - found.source[at].start for at in found.left_out] == [0]


def test_a_tune_is_no_doubling_of_the_chords_below_it() -> None:
    """Where the tune is left out for bars on end, held chords of its pitch classes are no tune."""
    tune = ["E5/8 G5 C6 G5 E5 C5 E5 G5", "F5/8 A5 C6 A5 F5 C5 F5 A5"] * 4
    hold = ["[C3 E3 G3]/1", "[F3 A3 C4]/1"] * 4
    bars = [f"{one} // {other}" for one, other in zip(tune, hold, strict=True)]
    piano = tiny(f"Piano | staves=2\n{' | '.join(bars)} |")
    played = [one if at < 3 else "R" for at, one in enumerate(tune)]
    entry = tiny(f"Violin I\n{' | '.join(played)} |", f"Bassoon | clef=bass\n{' | '.join(hold)} |")
    found, _ = beside(entry, piano)
    assert {found.source[at].bar for at in found.left_out} == {3, 4, 5, 6, 7}
    assert len(found.left_out) == 40
