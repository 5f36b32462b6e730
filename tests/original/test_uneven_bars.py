"""Bars that do not fill their metre, bars much added to, bars changed for others."""

from random import Random

from benchmarks.pairing.music import QUARTER, piece
from benchmarks.pairing.page import Sound, written
from benchmarks.pairing.pair import Step, paired, sources, straight
from benchmarks.pairing.scoring import Way, plain, scored
from redstave.model.line import WORKING_ORCHESTRA
from redstave.model.match import NO_BAR, Match
from redstave.model.score import Score
from redstave.original import match
from redstave.players import play

PIECE = piece(3, 32)
PLAINLY = Way(doubled=True, moved=False, dresses=(plain,))


def matched(entry: Score, original: Score) -> Match:
    """Match two scores."""
    return match(entry, play(entry, WORKING_ORCHESTRA), original)


def test_bars_of_uneven_length_keep_time_with_other_barlines() -> None:
    """Bars half a quarter too long do not set off what follows, whatever bars the original has."""
    music = [(one.start, one.stop, one.midi, one.hand) for one in sources(PIECE)]
    end = max(stop for _, stop, _, _ in music)
    lengths = [4 * QUARTER + QUARTER // 2 * (at % 5 == 2) for at in range(end // (4 * QUARTER))]
    while sum(lengths) > end:
        del lengths[-1]
    lengths.append(end - sum(lengths))
    entry, _ = written("uneven", [Sound("Harp", *one[:3]) for one in music], lengths, QUARTER)
    late = [Sound("Piano", one[0] + QUARTER, one[1] + QUARTER, one[2]) for one in music]
    original, _ = written("late", late, [5 * QUARTER] * (end // (5 * QUARTER) + 1), QUARTER)
    found = matched(entry, original)
    tones, told = play(entry, WORKING_ORCHESTRA).tones, play(original, WORKING_ORCHESTRA).tones
    assert len(found.left_out) <= 0.02 * len(told)
    wrong = [
        one
        for one in found.carriers
        if tones[one.tone].start + QUARTER >= told[one.source].stop
        or tones[one.tone].stop + QUARTER <= told[one.source].start
    ]
    assert len(wrong) <= 0.02 * len(found.carriers)


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
