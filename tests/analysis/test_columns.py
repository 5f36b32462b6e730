"""A held tone that is parted on the way stays one attack and one strand."""

import numpy as np

from redstave.analysis.columns import columns, counted
from redstave.analysis.movement import movement
from redstave.analysis.slices import cut
from redstave.analysis.strands import doubled_tones, hands, strand_of_rows
from redstave.model.line import Tone
from tests.analysis.score_by_hand import QUARTER, line, playing, score, tone

LINES = [line(0), line(1), line(2, "violin", "strings")]
TUNE = [tone(of, at, at + 1, 72.0 - 12 * of + at) for of in (0, 1) for at in range(3)]
HELD = [tone(0, 3, 8, 60.0), tone(1, 3, 8, 72.0), tone(2, 0, 8, 43.0), tone(2, 4, 8, 50.0)]


def parted(one: Tone, quarter: int) -> list[Tone]:
    """Return a tone in two parts, the second without an attack."""
    tick = quarter * QUARTER
    head = one._replace(stop=tick, stop_s=float(quarter))
    return [head, one._replace(start=tick, start_s=float(quarter), bar=1, continued=True)]


def strands(tones: list[Tone]) -> list[list[tuple[int, float]]]:
    """Return which (line, pitch) are heard together, slice by slice."""
    played = playing(LINES, tones)
    slices = cut(score(2), played)
    by = hands(played.tones, played.lines)
    strand = strand_of_rows(slices, doubled_tones(played.tones), by)
    sounding = [played.tones[at] for at in slices.row_tone.tolist()]
    groups = [
        (
            at,
            sorted(
                (one.line, one.midi) for one, of in zip(sounding, strand, strict=True) if of == n
            ),
        )
        for n, at in sorted(set(zip(strand.tolist(), slices.row_slice.tolist(), strict=True)))
    ]
    return [group for _, group in sorted(groups)]


def test_a_part_belongs_to_its_attack() -> None:
    """The second part of a parted tone has the attack of the first; all else its own."""
    tones = playing(LINES, [*parted(HELD[0], 4), HELD[1]]).tones
    attacks = [tones[at].start for at in columns(tones).attack]
    assert [one.continued for one in tones] == [False, False, True]
    assert attacks == [3 * QUARTER] * 3


def test_two_equal_tones_keep_their_own_parts() -> None:
    """Two players in unison on one stave, both parted, have two attacks."""
    tones = playing(LINES, parted(HELD[0], 4) * 2).tones
    assert sorted(columns(tones).attack.tolist()) == [0, 0, 1, 1]


def test_parting_held_tones_changes_no_strand() -> None:
    """What was heard as one before the parting is heard as one after it, and nothing more."""
    whole = strands(TUNE + HELD)
    halves = strands(TUNE + [part for one in HELD[:2] for part in parted(one, 4)] + HELD[2:])
    pedal = strands(TUNE + HELD[:2] + parted(HELD[2], 4) + HELD[3:])
    assert whole == halves == pedal
    assert [(0, 60.0), (1, 72.0)] in whole


def test_a_part_is_no_movement() -> None:
    """A tone that goes on is no new note of its line."""
    tones = playing(LINES, TUNE + HELD).tones
    cuts = playing(LINES, TUNE + HELD[1:] + parted(HELD[0], 4)).tones
    before = movement(tones, 4 * QUARTER).changes[: len(TUNE)]
    np.testing.assert_array_equal(before, movement(cuts, 4 * QUARTER).changes[: len(TUNE)])


def test_counting_begins_anew() -> None:
    """Each flag begins a count of its own."""
    assert counted(np.array([True, False, False, True, True, False])).tolist() == [0, 1, 2, 0, 0, 1]
