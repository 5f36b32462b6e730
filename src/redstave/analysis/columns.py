"""Tones as columns: one array for each thing that is known of them."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from redstave.model.line import Tone

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

SCORES_KEPT = 2  # a score and what is tried on it


@dataclass(frozen=True)
class Columns:
    """The fields of `Tone`, an entry a tone.

    `technique` numbers `techniques`, `note` the first printed note of each tone. `attack` is the
    tone (index) in which a tone was struck: the parts of one held tone have one attack, every other
    tone has its own.
    """

    line: Ints
    start: Ints
    stop: Ints
    start_s: Floats
    stop_s: Floats
    midi: Floats
    players: Floats
    level: Floats
    level_stop: Floats
    accent_db: Floats
    unpitched: Flags
    technique: Ints
    techniques: tuple[str, ...]
    note: Ints
    attack: Ints


def columns(tones: Sequence[Tone]) -> Columns:
    """Return tones as columns; those of the last scores asked for are kept."""
    return _columns(_Same(tones))


class _Same:
    """Tones known by identity: two scores with equal tones are still two."""

    def __init__(self, tones: Sequence[Tone]) -> None:
        self.tones = tones

    def __hash__(self) -> int:
        return id(self.tones)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.tones is self.tones


@lru_cache(maxsize=SCORES_KEPT)
def _columns(of: _Same) -> Columns:
    by_name: dict[str, tuple[Any, ...]] = dict.fromkeys(Tone._fields, ())
    by_name.update(zip(Tone._fields, zip(*of.tones, strict=True), strict=False))
    techniques = tuple(dict.fromkeys(by_name["technique"]))
    number = {name: at for at, name in enumerate(techniques)}

    def whole(name: str) -> Ints:
        return np.array(by_name[name], dtype=np.int64)

    def real(name: str) -> Floats:
        return np.array(by_name[name], dtype=np.float64)

    return Columns(
        line=whole("line"),
        start=whole("start"),
        stop=whole("stop"),
        start_s=real("start_s"),
        stop_s=real("stop_s"),
        midi=real("midi"),
        players=real("players"),
        level=real("level"),
        level_stop=real("level_stop"),
        accent_db=real("accent_db"),
        unpitched=np.array(by_name["unpitched"], dtype=np.bool_),
        technique=np.array([number[name] for name in by_name["technique"]], dtype=np.int64),
        techniques=techniques,
        note=_notes(by_name["notes"]),
        attack=_attacks(of.tones, np.array(by_name["continued"], dtype=np.bool_)),
    )


def _notes(printed: Sequence[tuple[str, ...]]) -> Ints:
    """Give a number to each tone's first printed note, and one of its own to a tone without."""
    firsts: list[str | int] = [notes[0] if notes else at for at, notes in enumerate(printed)]
    number = {one: at for at, one in enumerate(dict.fromkeys(firsts))}
    return np.fromiter(map(number.__getitem__, firsts), dtype=np.int64, count=len(firsts))


def _attacks(tones: Sequence[Tone], continued: Flags) -> Ints:
    """Return the tone in which each tone was struck: the one that ends where a part goes on."""
    found = np.arange(len(tones))
    held: dict[tuple[int, float, int], list[int]] = defaultdict(list)
    places = {
        (one.line, one.start) for one in (tones[at] for at in np.flatnonzero(continued).tolist())
    }
    if not places:
        return found
    for at, tone in enumerate(tones):
        if continued[at] and (before := held[tone.line, tone.midi, tone.start]):
            found[at] = before.pop(0)
        if (tone.line, tone.stop) in places:
            held[tone.line, tone.midi, tone.stop].append(int(found[at]))
    return found


def counted(fresh: Flags) -> Ints:
    """Return 0, 1, 2 … from each true flag on; the first flag must be true."""
    at = np.arange(fresh.size)
    counting: Ints = at - np.maximum.accumulate(np.where(fresh, at, 0))
    return counting
