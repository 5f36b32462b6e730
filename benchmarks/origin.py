"""Originals and entries: how many bars, links, lost and added tones are found.

Entries are made from originals by known steps, so that the truth is exact: from piano music that
is invented by rule, from the piano parts of two real pairs, and from reductions of orchestral
movements. Bars counts bars of the entry for which just the right bars of the original are named; F1
is that of the links between tones. Tones of one hand struck and left together on one pitch class
count as one. What no page tells counts neither way: which of two octaves a third one doubles;
whether a tone that nobody was given is left out though somebody sounds its pitch, or though it only
filled a chord in which its pitch class is struck, or though a tone made from another one, not
struck with it, is struck and left with it; whether a tone made from none is new that comes upon a
pitch class the hands sound, and others play, for half of its length. A figure that is rewritten,
one steady broken chord into another or into a held one, is carried as far as its pitch classes are
played in the bar, in whatever order and octave: only a class that nobody comes to is left out, and
what goes from one chord to another within a bar is not rewritten, for that would be other harmony.

Then pairs whose pages differ as those of real ones do, in how they are laid out and in how one
thing is written in two ways. The upper notes of shakes count neither way, nor do the empty bars of
an entry that was never finished. Ottava lines, cues and tremolo strokes go through files: what
stands under a line is matched where it sounds, a cue is nobody's tone, and both chords of a tremolo
between two sound all through it.

Then reductions beside their movements, both ways round. The errors in those called others were only
counted, not looked at, when the match was last changed. A reduction tells of a tone in another
octave that it is played by a tone of the hands struck with it; where its line is otherwise its own,
and meets the hands by chance, it is here called new, and that lowers the precision of what is
added. A tone that the hands strike at its own pitch and hold as long is theirs in any line.

Then the real pairs, where nothing is known but that their bars stand side by side: how many tones
of the piano are found in the orchestra and the other way round, and how many when each bar is set
to another at random; and how many of those not found sound nowhere at their time, in any octave.
Last the CPU seconds, the best of three.
"""

import time
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from random import Random
from typing import NamedTuple

from benchmarks.pairing.clothes import CLOTHES
from benchmarks.pairing.kinds import KINDS
from benchmarks.pairing.measure import NONE_FOUND, Count, Found, compare
from benchmarks.pairing.music import piece
from benchmarks.pairing.pair import Kind
from benchmarks.pairing.reduction import reduced, turned
from benchmarks.pairing.signs import SIGNS
from benchmarks.pairing.usages import USAGES
from redstave.model.line import WORKING_ORCHESTRA, Playing
from redstave.model.match import Match, Pin
from redstave.model.score import Score
from redstave.original import match
from redstave.players import play
from redstave.reading import read, read_bytes
from redstave.writing import to_midi

SHARED = Path(__file__).resolve().parents[2] / "shared" / "scores"
INVENTED = 6
MOVEMENTS = (
    "Brahms_Op.90_3",
    "Beethoven_Op.21_2",
    "Haydn_104_1",
    "Beach_Op.32_2",
    "Beach_Op.32_3",
    "Bach_BWV.1048_1",
    "Schubert_D.485_1",
    "Bruckner_WAB.105_2",
)
REAL = ("Chopin_Op.21_1_bars1-70", "Dobrzynski_Swiety_Boze_all")
LARGE = ("Brahms_Op.68_1", "Boulanger_Dun_matin_de_printemps")
SEED = 5
ROUNDS = 3


class RealPair(NamedTuple):
    """A real pair, bar beside bar, and what the orchestra is told to play."""

    name: str
    entry: Score
    playing: Playing
    original: Score


def made_table() -> str:
    """Return a row for each kind of pair and each kind of original."""
    rows = [
        "| made by | of | bars | F1 | left out: precision, recall | added: precision, recall |",
        "|---|---|---:|---:|---:|---:|",
    ]
    for name, kind in KINDS.items():
        for of, originals in _originals():
            rows.append(f"| {name} | {of} | {_cells(found_of(name, kind, originals))} |")
    return "\n".join(rows)


def differing_table() -> str:
    """Return a row for each way in which the pages of a pair differ, over all originals."""
    rows = [
        "| pages differ by | bars | F1 | left out: precision, recall | added: precision, recall |",
        "|---|---:|---:|---:|---:|",
    ]
    for name, kind in (USAGES | CLOTHES | SIGNS).items():
        found = NONE_FOUND
        for _, originals in _originals():
            found += found_of(name, kind, originals)
        rows.append(f"| {name} | {_cells(found)} |")
    return "\n".join(rows)


def reduced_table() -> str:
    """Return a row for each movement beside its reduction, and one for the reverse.

    The errors in the movements that are not named were not looked at.
    """
    rows = [
        "| entry | original | bars | F1 | left out: precision, recall | added: precision, recall |",
        "|---|---|---:|---:|---:|---:|",
    ]
    for name in MOVEMENTS:
        one, other = _both_ways(name)
        rows.append(f"| {name} | its reduction | {_cells(one)} |")
        rows.append(f"| its reduction | {name} | {_cells(other)} |")
    forth = back = NONE_FOUND
    for path in sorted((SHARED / "orchestra").glob("*.mxl")):
        if path.stem not in MOVEMENTS:
            one, other = _both_ways(path.stem)
            forth, back = forth + one, back + other
    rows.append(f"| all others | their reductions | {_cells(forth)} |")
    rows.append(f"| their reductions | all others | {_cells(back)} |")
    return "\n".join(rows)


def _both_ways(name: str) -> tuple[Found, Found]:
    pair = reduced(name, _movement(name))
    return compare(pair), compare(turned(pair))


def real_table() -> str:
    """Return a row for each real pair, and one for its bars in disorder."""
    rows = [
        "| pair | bars right | source tones found | tones of the entry found "
        "| not found and nowhere |",
        "|---|---:|---:|---:|---:|",
    ]
    for pair in real_pairs():
        for name, pins in ((pair.name, ()), ("the same, bars shuffled", shuffled(pair))):
            found = match(pair.entry, pair.playing, pair.original, pins)
            right = bars_right(found) / len(pair.entry.bars)
            source, entry = shares(pair, found)
            nowhere = "" if pins else f"{silent(pair, found)} of {len(found.left_out)}"
            rows.append(f"| {name} | {right:.3f} | {source:.3f} | {entry:.3f} | {nowhere} |")
    return "\n".join(rows)


def cost_table() -> str:
    """Return the CPU seconds of matching large movements with their reductions, and with MIDI.

    The MIDI file tells neither metre nor hands, so that the movement is followed beat by beat.
    """
    rows = [
        "| movement | bars | staves | tones | seconds, goal 2 | original as MIDI, seconds |",
        "|---|---:|---:|---:|---:|---:|",
    ]
    for name in LARGE:
        pair = reduced(name, _movement(name))
        playing = play(pair.entry, WORKING_ORCHESTRA)
        midi = read_bytes(to_midi(play(pair.original, WORKING_ORCHESTRA)), "original.mid")
        spent = [
            min(_seconds(pair.entry, playing, original) for _ in range(ROUNDS))
            for original in (pair.original, midi)
        ]
        staves = sum(part.staves for part in pair.entry.parts)
        rows.append(
            f"| {name} | {len(pair.entry.bars)} | {staves} | {len(playing.tones)} "
            f"| {spent[0]:.1f} | {spent[1]:.1f} |"
        )
    return "\n".join(rows)


def _seconds(entry: Score, playing: Playing, original: Score) -> float:
    start = time.process_time()
    match(entry, playing, original)
    return time.process_time() - start


def found_of(name: str, kind: Kind, originals: Sequence[Score]) -> Found:
    """Make an entry of each original and count what is found."""
    found = NONE_FOUND
    for at, original in enumerate(originals):
        found += compare(kind(original, Random(f"{name} {at}")))
    return found


@cache
def invented() -> tuple[Score, ...]:
    """Return the invented pieces."""
    return tuple(piece(seed) for seed in range(INVENTED))


@cache
def real_pairs() -> tuple[RealPair, ...]:
    """Read the real pairs; FileNotFoundError where they are not there."""
    pairs = []
    for name in REAL:
        entry = read(SHARED / "pairs" / f"{name}_orchestra.musicxml")
        original = read(SHARED / "pairs" / f"{name}_piano.musicxml")
        pairs.append(RealPair(name, entry, play(entry, WORKING_ORCHESTRA), original))
    return tuple(pairs)


def shuffled(pair: RealPair) -> tuple[Pin, ...]:
    """Return pins that set every bar to another one at random."""
    bars = list(range(len(pair.original.bars)))
    Random(SEED).shuffle(bars)
    return tuple(Pin(at, bar) for at, bar in enumerate(bars[: len(pair.entry.bars)]))


def bars_right(found: Match) -> int:
    """Count the bars that are matched with the one of their own number, and with no other."""
    return sum(bars == (bar,) for bar, bars in found.originals_of.items())


def shares(pair: RealPair, found: Match) -> tuple[float, float]:
    """Return which share of the tones of the original is carried, and of the entry's carries."""
    pitched = sum(not tone.unpitched for tone in pair.playing.tones)
    return 1 - len(found.left_out) / len(found.source), 1 - len(found.added) / pitched


def silent(pair: RealPair, found: Match) -> int:
    """Count the tones left out whose pitch class nobody sounds at their time."""
    times = pair.entry.ticks_per_quarter / pair.original.ticks_per_quarter
    count = 0
    for source in (found.source[at] for at in found.left_out):
        moved = pair.entry.bars[source.bar].start - pair.original.bars[source.bar].start * times
        start, stop = source.start * times + moved, source.stop * times + moved
        count += not any(
            tone.start < max(stop, start + 1) and start < tone.stop
            for tone in pair.playing.tones
            if not tone.unpitched and (round(tone.midi) - source.midi) % 12 == 0
        )
    return count


@cache
def _movement(name: str) -> Score:
    return read(SHARED / "orchestra" / f"{name}.mxl")


def _originals() -> Iterator[tuple[str, Sequence[Score]]]:
    yield "invented pieces", invented()
    yield "piano parts", [pair.original for pair in real_pairs()]
    yield "reductions", [reduced(name, _movement(name)).original for name in MOVEMENTS[:2]]


def _cells(found: Found) -> str:
    return " | ".join(
        (
            f"{found.bars.recall:.3f}",
            f"{found.links.f1:.3f}",
            _both(found.left_out),
            _both(found.added),
        )
    )


def _both(count: Count) -> str:
    return f"{count.precision:.2f}, {count.recall:.2f} ({count.true})" if count.true else ""


def table() -> str:
    """Return all tables; FileNotFoundError where the scores are not there."""
    tables = made_table, differing_table, reduced_table, real_table, cost_table
    return "\n\n".join(one() for one in tables)
