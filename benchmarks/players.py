"""Finding the players: lines and tones.

The CPU time to find who plays what, against the time to read the same file in the same run. `alone`
has one player a stave, `shared` two wind players a stave and divided strings: pages of our own, on
which the same bars come again and again, and the reader reads no text twice. Then real scores, from
`../shared/scores`: some with a player a stave, and those with shared staves. Medians of five runs.
"""

import statistics
import time
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path

from redstave.model.line import WORKING_ORCHESTRA
from redstave.players import play
from redstave.reading import read_bytes, xml_of
from redstave.reading.tiny import to_musicxml

SCORES = Path(__file__).resolve().parents[2] / "shared" / "scores"
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
    made = {"alone": [to_musicxml(_alone())], "shared": [to_musicxml(_shared())]}
    for name, pages in {**made, **_real()}.items():
        each = [_measured(data) for data in pages]
        notes, tones, reading, playing = (sum(column) for column in zip(*each, strict=True))
        rows.append(
            f"| {name} | {notes:,} | {tones:,} | {reading:.2f} | {playing:.2f} "
            f"| {playing / reading:.2f} |"
        )
    return "\n".join(rows)


def _real() -> dict[str, list[bytes]]:
    """Return the real pages of both kinds; none without the scores."""
    found = {
        "real, alone": sorted((SCORES / "orchestra").glob("B*.mxl"))[:4],
        "real, shared": [
            *sorted((SCORES / "shared-staves").glob("*.musicxml")),
            *sorted((SCORES / "pairs").glob("*_orchestra.musicxml")),
        ],
    }
    return {
        name: [xml_of(path.read_bytes(), path.name)[0] for path in paths]
        for name, paths in found.items()
        if paths
    }


def _measured(data: bytes) -> tuple[int, int, float, float]:
    """Return notes and tones of a page, and the seconds to read it and to find its players."""
    score = read_bytes(data, "bench.musicxml")
    notes = sum(note.kind != "rest" for part in score.parts for note in part.notes)
    reading = _seconds(partial(read_bytes, data, "bench.musicxml"))
    playing = _seconds(partial(play, score, WORKING_ORCHESTRA))
    return notes, len(play(score, WORKING_ORCHESTRA).tones), reading, playing


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
