"""Some bars with every excitation at hand: what a change would do, without hearing it all again.

Excitations of different rows add up once the filters are fixed, and a change swaps the excitations
of the rows it touches. So the margin of a line under any set of changes is a sum and the closed
form of the margin: good to 1.5 dB (the filters stay those of the page as it stands), and
fast enough to try hundreds of sets. What is chosen that way is heard again in full.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics import batch
from redstave.analysis import Analysis
from redstave.analysis.groups import weighted_median
from redstave.analysis.slices import Slices
from redstave.analysis.spectra import Palette, Sound, Voice, extended

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Swap = Callable[[Voice], Voice | None]


@dataclass(frozen=True)
class Window:
    """Some bars: their slices and rows, the filters' shapes and every row's excitation [rows, 75].

    `rows` numbers the rows in the whole hearing; `line` and `strand` are as there. A row is `free`
    if its players can still be told something: not where what was struck before only rings on.
    """

    slices: Slices
    rows: Ints
    sound: Sound
    line: Ints
    strand: Ints
    shapes: batch.Indices
    excitation: batch.Float32
    free: Flags

    @property
    def lines(self) -> list[int]:
        """The lines (indices) that can be told something in the bars."""
        return [int(line) for line in np.unique(self.line[self.free])]

    def rows_of(self, lines: Iterable[int]) -> Ints:
        """Return the rows of some lines that are free."""
        return np.flatnonzero(np.isin(self.line, list(lines)) & self.free)


class Effect(NamedTuple):
    """What a change adds to the excitation of some rows of the window [rows, 75]."""

    rows: Ints
    added: batch.Float32


def window(analysis: Analysis, first: int, last: int) -> Window:
    """Return the bars `first` to `last` (indices, both inside) with their excitations."""
    hearing = analysis.hearing
    inside = (hearing.slices.bar >= first) & (hearing.slices.bar <= last)
    slices, rows = hearing.slices.only(np.flatnonzero(inside))
    sound, count = hearing.sound.only(rows), slices.start.size
    spectra = sound.rows(np.arange(rows.size))
    shapes = batch.filter_shapes(spectra, slices.row_slice, count)
    excitation = batch.excitations(spectra, slices.row_slice, count, shapes)
    begin, tones = analysis.score.bars[first].start, analysis.playing.tones
    begun = np.array([tones[at].start >= begin for at in slices.row_tone.tolist()], dtype=np.bool_)
    free = sound.sustained | begun
    return Window(
        slices, rows, sound, hearing.line[rows], hearing.strand[rows], shapes, excitation, free
    )


def effects(
    view: Window, swaps: Sequence[tuple[frozenset[int], Swap]], analysis: Analysis
) -> list[Effect]:
    """Return what each swap of voices adds, made in some lines (indices); None falls silent."""
    voices, of_row = view.sound.palette.voices, view.sound.voice
    chosen = [view.rows_of(lines) for lines, _ in swaps]
    swapped = [
        {at: swap(voices[at]) for at in np.unique(of_row[rows]).tolist()}
        for rows, (_, swap) in zip(chosen, swaps, strict=True)
    ]
    wanted = list(dict.fromkeys(v for one in swapped for v in one.values() if v is not None))
    palette, place = extended(wanted, analysis.book, analysis.hall, view.sound.palette)
    places: dict[Voice | None, int] = {None: -1}
    places.update(zip(wanted, place.tolist(), strict=True))
    return [
        _effect(view, palette, rows, np.array([places[now[at]] for at in of_row[rows].tolist()]))
        for rows, now in zip(chosen, swapped, strict=True)
    ]


def _effect(view: Window, palette: Palette, rows: Ints, voice: Ints) -> Effect:
    """Return the effect of giving rows other voices; -1 is silence."""
    sounding = voice >= 0
    kept = rows[sounding]
    sound = replace(view.sound.only(kept), palette=palette, voice=voice[sounding])
    added = -view.excitation[rows]
    added[sounding] += batch.excitations(
        sound.rows(np.arange(kept.size)),
        view.slices.row_slice[kept],
        view.slices.start.size,
        view.shapes,
    )
    return Effect(rows, added)


@dataclass(frozen=True)
class Listener:
    """Somebody who follows some rows: their strands slice by slice, and all else that sounds.

    A *unit* is a strand in its slice. `unit` [rows of the window] is -1 for all that masks; `at`
    is the slice of each unit, `weight` its share of the time, `own` and `background` its
    excitations [units, 75]. `sd_db` is the uncertainty of the margin as the page stands.
    """

    view: Window
    unit: Ints
    at: Ints
    weight: Floats
    own: batch.Float32
    background: batch.Float32
    sd_db: float

    def pull(self, effect: Effect) -> "Pull":
        """Return what an effect adds to the units and to what masks them."""
        slices = self.view.slices
        unit = self.unit[effect.rows]
        members = unit >= 0
        own = batch.group_sums(effect.added[members], unit[members], self.at.size)
        total = batch.group_sums(effect.added, slices.row_slice[effect.rows], slices.start.size)
        return Pull(own, total[self.at] - own)

    def margin_db(self, pull: "Pull") -> float:
        """Return the median margin in dB over time when something is added."""
        own = np.maximum(self.own + pull.own, 0)
        background = self.background + pull.background
        background[background < batch.ROUNDING * own] = 0
        return weighted_median(batch.margins(own, background), self.weight)


@dataclass(frozen=True)
class Pull:
    """What one or more changes add to a listener's units and to what masks them [units, 75]."""

    own: batch.Float32
    background: batch.Float32

    def __add__(self, other: "Pull") -> "Pull":
        return Pull(self.own + other.own, self.background + other.background)


def listener(view: Window, analysis: Analysis, followed: Flags) -> Listener:
    """Return a listener who follows some rows (flags over the window); at least one must be."""
    rows = np.flatnonzero(followed)
    judged = view.sound.judged[rows]
    rows = rows[judged] if judged.any() else rows
    units, of_row = np.unique(view.strand[rows], return_inverse=True)
    seconds = view.slices.row_seconds[rows]
    at = np.empty(units.size, dtype=np.int64)
    at[of_row] = view.slices.row_slice[rows]
    member = np.searchsorted(units, view.strand)
    unit = np.where(units[np.minimum(member, units.size - 1)] == view.strand, member, -1)
    own = batch.group_sums(view.excitation[unit >= 0], unit[unit >= 0], units.size)
    total = batch.group_sums(view.excitation, view.slices.row_slice, view.slices.start.size)
    return Listener(
        view,
        unit,
        at,
        np.bincount(of_row, seconds, minlength=units.size).astype(np.float64),
        own,
        total[at] - own,
        float(np.average(analysis.hearing.rows.sd_db[view.rows[rows]], weights=seconds)),
    )
