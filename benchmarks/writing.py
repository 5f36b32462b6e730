"""Writing a score, against reading it.

CPU seconds, medians of seven runs each, in one process: from a Score to the bytes of a MusicXML
file, and from those bytes back to the Score. MIDI is made from what the players are told. Sizes are
of what was written.
"""

import statistics
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from redstave.model.line import WORKING_ORCHESTRA
from redstave.players.play import play
from redstave.reading import read, read_bytes
from redstave.writing import to_midi, to_musicxml

ROOT = Path(__file__).resolve().parents[2] / "shared" / "scores" / "orchestra"
SCORES = ("Mayer_Quartet_Op.14", "Boulanger_Dun_matin_de_printemps", "Beethoven_Op.67_1")
RUNS = 7


def table() -> str:
    """Measure each score; FileNotFoundError where the scores are not there."""
    rows = [
        "| score | notes | MB | reading, s | writing, s | ratio | MIDI, s | MIDI, MB |",
        "|---|---:|---:|---:|---:|---:|---:|---:|",
    ]
    for name in SCORES:
        score = read(ROOT / f"{name}.mxl")
        playing = play(score, WORKING_ORCHESTRA)
        xml, midi = to_musicxml(score), to_midi(playing)
        reading = _seconds(partial(read_bytes, xml, "written.musicxml"))
        writing = _seconds(partial(to_musicxml, score))
        sounding = _seconds(partial(to_midi, playing))
        notes = sum(len(part.notes) for part in score.parts)
        rows.append(
            f"| {name} | {notes} | {len(xml) / 1e6:.1f} | {reading:.2f} | {writing:.2f} "
            f"| {writing / reading:.2f} | {sounding:.2f} | {len(midi) / 1e6:.2f} |"
        )
    return "\n".join(rows)


def _seconds(work: Callable[[], object]) -> float:
    times = []
    for _ in range(RUNS):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return statistics.median(times)
