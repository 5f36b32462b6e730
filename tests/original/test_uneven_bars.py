"""Bars that do not fill their metre, bars much added to, bars changed for others."""

from random import Random

import pytest

from benchmarks.pairing.music import QUARTER, piece
from benchmarks.pairing.page import Sound, written
from benchmarks.pairing.pair import Step, paired, sources, straight
from benchmarks.pairing.scoring import Way, plain, scored
from redstave.model.line import WORKING_ORCHESTRA
from redstave.model.match import NO_BAR, Match
from redstave.model.score import Score
from redstave.original import match
from redstave.players import play
from redstave.reading import read_bytes

PIECE = piece(3, 32)
PLAINLY = Way(doubled=True, moved=False, dresses=(plain,))


def matched(entry: Score, original: Score) -> Match:
    """Match two scores."""
    return match(entry, play(entry, WORKING_ORCHESTRA), original)


def apart(lengths: list[int], other: int, late: int) -> tuple[float, float]:
    """Return which shares are left out, and wrongly linked, with barlines at two sets of places.

    `lengths` are the bars of the entry; those of the original, which comes so much later, are all
    `other` ticks long. An entry that is too short is filled up.
    """
    music = sources(PIECE)
    end = max(one.stop for one in music)
    lengths = [*lengths, end - sum(lengths)] if sum(lengths) < end else lengths
    here = [Sound("Harp", one.start, one.stop, one.midi) for one in music]
    there = [Sound("Piano", one.start + late, one.stop + late, one.midi) for one in music]
    entry, _ = written("entry", here, lengths, QUARTER)
    original, _ = written("original", there, [other] * ((end + late) // other + 1), QUARTER)
    found = matched(entry, original)
    tones, told = play(entry, WORKING_ORCHESTRA).tones, play(original, WORKING_ORCHESTRA).tones
    wrong = [
        one
        for one in found.carriers
        if tones[one.tone].start + late >= told[one.source].stop
        or tones[one.tone].stop + late <= told[one.source].start
    ]
    return len(found.left_out) / len(told), len(wrong) / max(1, len(found.carriers))


def test_bars_of_uneven_length_keep_time_with_other_barlines() -> None:
    """Bars half a quarter too long do not set off what follows, whatever bars the original has."""
    bars = [4 * QUARTER + QUARTER // 2 * (at % 5 == 2) for at in range(23)]
    left_out, wrong = apart(bars, 5 * QUARTER, QUARTER)
    assert left_out <= 0.02
    assert wrong <= 0.02


@pytest.mark.parametrize("eighths", [3, 5, 7, 9])
def test_bars_of_odd_eighths_are_followed_without_metre(eighths: int) -> None:
    """Three eight, nine eight and the like are found in a file that is all in four."""
    length = eighths * QUARTER // 2
    left_out, wrong = apart([length] * (96 * QUARTER // length), 4 * QUARTER, 0)
    assert left_out <= 0.02
    assert wrong <= 0.02


def test_an_upbeat_is_found_at_the_beginning_of_a_first_bar() -> None:
    """A file in which the upbeat begins the first bar has nothing left out, and none is new."""
    bars = "C5/4 D5 E5 F5 | G5/2 E5 | A5/4 F5 D5 B4 | C5/4 E5 G5 C6"
    head = "title: X\nmeter: 4/4\npitch: sounding\n"
    entry = read_bytes(f"{head}pickup: 1/4\npart Flute\nG4/4 | {bars} |\n".encode(), "x.tiny")
    early = "G4/4 C5 D5 E5 | F5 G5/2 E5/4~ | E5/4 A5 F5 D5 | B4 C5 E5 G5 | C6/4 r/2."
    original = read_bytes(f"{head}part Piano\n{early} |\n".encode(), "x.tiny")
    found = matched(entry, original)
    assert not found.left_out
    assert not found.added
    assert set(found.original_of) == set(range(5))


def test_a_thin_bar_may_be_added_to() -> None:
    """A bar in which somebody plays a great deal else stays beside the bar it was made from."""
    bar = PIECE.bars[12]
    kept = [one for one in sources(PIECE) if one.bar != 12 or one.start > bar.start + QUARTER]
    keys = [Sound(f"Piano/{one.hand}", one.start, one.stop, one.midi) for one in kept]
    piano, _ = written("thin", keys, [one.length for one in PIECE.bars], QUARTER)
    sounds = scored(piano, sources(piano), PLAINLY, Random(1))
    quaver = QUARTER // 2
    sounds += [
        Sound(player, start, start + quaver, 61 + (5 * at + by) % 24)
        for by, player in enumerate(("Oboe", "Flute", "Clarinet", "Horn", "Trumpet"))
        for at, start in enumerate(range(bar.start, bar.start + bar.length, quaver))
    ]
    assert (
        matched(paired("thin", piano, sounds, straight(piano)).entry, piano).original_of[12] == 12
    )


def test_a_bar_put_in_near_a_cut_takes_no_place() -> None:
    """With a bar cut out and a foreign one put in soon after, the bar between keeps its own."""
    steps = straight(PIECE)
    del steps[10]
    steps.insert(11, Step(None))
    sounds = scored(PIECE, sources(PIECE), PLAINLY, Random(1))
    foreign = [Sound("Oboe", at * QUARTER, (at + 1) * QUARTER, 61 + 6 * at) for at in range(3)]
    found = matched(paired("changed", PIECE, sounds, steps, 0, foreign).entry, PIECE)
    assert found.original_of[9] == 9
    assert found.original_of[10] == 11
    assert 11 not in found.original_of
    assert [one.original for one in found.bars if one.entry == NO_BAR] == [10]
