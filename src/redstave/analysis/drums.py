"""Which of the timpani plays which note, and how long it has to be tuned."""

from collections.abc import Sequence
from typing import NamedTuple

from redstave.analysis.tables import row


class Stroke(NamedTuple):
    """A note of the timpani: from and until when in seconds, and its sounding MIDI pitch."""

    start: float
    stop: float
    midi: float


def compasses() -> tuple[tuple[float, float], ...]:
    """Return the lowest and highest pitch of each drum of the set, largest drum first."""
    found = (drum.numbers for drum in row("timpani", "drum").values())
    return tuple((low, high) for low, high in found)


def assign(strokes: Sequence[Stroke]) -> list[float | None]:
    """Return for each stroke the seconds its drum had to be retuned; None where none was needed.

    A drum that is tuned to the pitch already is taken. Else, of the drums that have the pitch, the
    one whose present pitch is wanted again latest, and among those the one longest free. A first
    tuning needs no time. A pitch that no drum has gives None: it is another fault.
    """
    drums = compasses()
    tuned: dict[int, float] = {}
    free_since = dict.fromkeys(range(len(drums)), float("-inf"))
    gaps: list[float | None] = []
    for at, stroke in enumerate(strokes):
        able = [drum for drum, (low, high) in enumerate(drums) if low <= stroke.midi <= high]
        ready = [drum for drum in able if tuned.get(drum) == stroke.midi]
        fresh = [drum for drum in able if drum not in tuned]
        if not able:
            gaps.append(None)
            continue
        choice = (
            ready or fresh or sorted(able, key=lambda d: _rank(d, tuned, free_since, strokes, at))
        )[0]
        needs = not ready and choice in tuned
        gaps.append(stroke.start - free_since[choice] if needs else None)
        tuned[choice] = stroke.midi
        free_since[choice] = max(free_since[choice], stroke.stop)
    return gaps


def _rank(
    drum: int,
    tuned: dict[int, float],
    free_since: dict[int, float],
    strokes: Sequence[Stroke],
    at: int,
) -> tuple[float, float]:
    """Return how unwilling one is to retune a drum: soon wanted again, or only just struck."""
    again = next((one.start for one in strokes[at:] if one.midi == tuned[drum]), float("inf"))
    return -again, free_since[drum]
