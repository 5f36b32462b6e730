"""Finding the players: lines and tones.

The CPU time to find who plays what, against the time to read the same file in the same run. `alone`
has one player a stave, `shared` two wind players a stave and divided strings. Medians of five runs.
"""

import statistics
import time
from collections.abc import Callable, Iterable
from functools import partial

from redstave.model.line import WORKING_ORCHESTRA
from redstave.players import play
from redstave.reading import read_bytes
from redstave.reading.tiny import to_musicxml

RUNS = 5
PARTS = 25
BARS = 250  # with eight notes each: 50,000 notes
ALONE = "p < C5/8( D5 E5) F5 = f G5:accent A5 B5 C6 |"
CROWDED = "p < [C5 E5]/8 [D5 F5] = f [E5 G5]/4 G5/2 & R | G5/2 B4/2 & C5/2 D5/2 |"
SHARED = f'{CROWDED} "a 2" C5/8 D5 E5 F5 G5 A5 B5 C6 |'
DIVIDED = f'"div." {CROWDED} "unis." C5/8 D5 E5 F5 G5 A5 B5 C6 |'
EACH = 19  # notes in the three bars


def table() -> str:
    """Measure the two kinds of page."""
    rows = [
        "| page | notes | tones | reading, s | players, s | ratio |",
        "|---|---:|---:|---:|---:|---:|",
    ]
    for name, music in (("alone", _alone()), ("shared", _shared())):
        data = to_musicxml(music)
        score = read_bytes(data, "bench.musicxml")
        notes = sum(note.kind != "rest" for part in score.parts for note in part.notes)
        reading = _seconds(partial(read_bytes, data, "bench.musicxml"))
        playing = _seconds(partial(play, score, WORKING_ORCHESTRA))
        tones = len(play(score, WORKING_ORCHESTRA).tones)
        rows.append(
            f"| {name} | {notes:,} | {tones:,} | {reading:.2f} | {playing:.2f} "
            f"| {playing / reading:.2f} |"
        )
    return "\n".join(rows)


def _alone() -> str:
    music = "\n".join([ALONE] * BARS)
    return _score((f"Flute {number}", music) for number in range(1, PARTS + 1))


def _shared() -> str:
    """Return a page with about as many notes."""
    pairs, divided = ("\n".join([music] * (BARS * 8 // EACH)) for music in (SHARED, DIVIDED))
    winds = [(f"Horn {2 * n + 1}. {2 * n + 2}", pairs) for n in range(PARTS - 5)]
    names = ("Violin I", "Violin II", "Viola", "Violoncello", "Contrabass")
    return _score([*winds, *((name, divided) for name in names)])


def _score(parts: Iterable[tuple[str, str]]) -> str:
    return "title: Measure\nmeter: 4/4\n" + "".join(
        f"part {name}\n{music}\n" for name, music in parts
    )


def _seconds(work: Callable[[], object]) -> float:
    times = []
    for _ in range(RUNS):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return statistics.median(times)
