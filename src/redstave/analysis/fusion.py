"""How far one line melts into another: heard as its colour rather than as a line of its own.

Four measures that the literature names as favouring fusion: partials that coincide, onsets
together, parallel motion, and likeness of timbre. They are put into one index,

    F = c · o · (0.5 + 0.5 m),   a fifth less where the attacks or the timbres differ

*The index is a rule of thumb without any empirical fit* (hearing notes, 5.2): above 0.6 the line is
likely to be heard as colour, below 0.3 as a line; between them nobody can say.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics import batch
from redstave.acoustics.erb import cam
from redstave.acoustics.transfer import cochlear_powers
from redstave.analysis.melody import Melody, melodies
from redstave.instruments import at_ear

if TYPE_CHECKING:
    from redstave.analysis.analysis import Analysis

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

WARNING = "a rule of thumb: these signs favour fusion, but the index was never fitted to listeners"

MISTUNED = 0.01  # partials mistuned by 1 to 3 % are heard out: Moore, Glasberg and Peters 1986
TOGETHER_S, APART_S = 0.0, 0.1  # notated onsets: 0 ms together, 100 ms apart (Rasch, Vos)
PARALLEL_SEMITONES = 1.0  # thirds and sixths within a scale differ by one
FAR_CAM = 4.0  # centroids farther apart are unlike timbres (hearing notes 5.2, a proposal)
UNLIKE = 0.8  # what unlike attacks or timbres leave of the index (same)
FUSED_FROM, SEPARATE_BELOW = 0.6, 0.3


class Blend(StrEnum):
    """What the index says, as far as it says anything."""

    FUSED = "fused"
    AMBIGUOUS = "ambiguous"
    SEPARATE = "separate"


@dataclass(frozen=True)
class Fusion:
    """How far a line melts into another over some bars.

    `coincidence` is the share (0 to 1) of its power at the cochlea in partials that lie on partials
    of the other; `synchrony` of its onsets that fall together with the other's; `parallel` of its
    moves that the other makes too; `timbre_cam` the distance of the spectral centroids in Cam;
    `attacks_alike` whether both are sustained or both die away.
    """

    coincidence: float
    synchrony: float
    parallel: float
    timbre_cam: float
    attacks_alike: bool

    @property
    def index(self) -> float:
        """The index F, 0 to 1: a rule of thumb, see WARNING."""
        unlike = not self.attacks_alike or self.timbre_cam > FAR_CAM
        together = self.coincidence * self.synchrony * (0.5 + 0.5 * self.parallel)
        return together * (UNLIKE if unlike else 1.0)

    @property
    def blend(self) -> Blend:
        """The index in a word."""
        if self.index > FUSED_FROM:
            return Blend.FUSED
        return Blend.SEPARATE if self.index < SEPARATE_BELOW else Blend.AMBIGUOUS


def coincidence(own_hz: Floats, own_power: Floats, other_hz: Floats) -> float:
    """Return the share of a tone's power in partials within 1 % of a partial of another tone.

    Powers are linear (at the cochlea); 0 for a tone without power or another without partials.
    """
    total = float(own_power.sum())
    if total <= 0.0 or other_hz.size == 0:
        return 0.0
    others = np.sort(other_hz)
    place = np.clip(np.searchsorted(others, own_hz), 1, max(1, others.size - 1))
    near = np.minimum(
        np.abs(own_hz - others[np.minimum(place, others.size - 1)]),
        np.abs(own_hz - others[place - 1]),
    )
    return float(own_power[near <= MISTUNED * own_hz].sum()) / total


def synchrony(own_s: Floats, other_s: Floats) -> float:
    """Return how far a line's onsets (seconds) fall on another's: 1 together, 0 from 100 ms on."""
    if own_s.size == 0 or other_s.size == 0:
        return 0.0
    distance = np.abs(own_s[:, None] - other_s[None, :]).min(axis=1)
    return float(np.clip((APART_S - distance) / (APART_S - TOGETHER_S), 0.0, 1.0).mean())


def parallel_motion(own: Melody, other: Melody) -> float:
    """Return the share of a line's moves that another line makes too, within a semitone.

    A move leads from one note to the next and changes the pitch in either line. Where there is
    none, nothing shows that the lines move together, and the share is 0.
    """
    if own.start.size < 2 or other.start.size == 0:
        return 0.0
    note = np.searchsorted(other.start, own.start, side="right") - 1
    sounding = (note >= 0) & (other.stop[np.maximum(note, 0)] > own.start)
    pitch = np.where(sounding, other.midi[np.maximum(note, 0)], np.nan)
    step, other_step = np.diff(own.midi), np.diff(pitch)
    known = np.isfinite(other_step) & ((step != 0.0) | (np.nan_to_num(other_step) != 0.0))
    if not known.any():
        return 0.0
    alike = np.abs(step - other_step) <= PARALLEL_SEMITONES
    alike &= np.sign(step) == np.sign(other_step)
    return float(alike[known].mean())


def fusion(analysis: "Analysis", line: int, other: int, first: int, last: int) -> Fusion | None:
    """Return how far a line (index) melts into another in the bars `first` to `last` (indices).

    None where they never sound together.
    """
    own, theirs = _top_rows(analysis, line, first, last), _top_rows(analysis, other, first, last)
    shared = sorted(own.keys() & theirs.keys())
    if not shared:
        return None
    seconds = analysis.slices.seconds[shared]
    rows = np.array([own[at] for at in shared])
    other_rows = np.array([theirs[at] for at in shared])
    melody, other_melody = (
        _within(melodies(analysis.playing)[at], analysis, first, last) for at in (line, other)
    )
    held = analysis.sound.sustained
    return Fusion(
        coincidence=_coincidence(analysis, rows, other_rows, seconds),
        synchrony=synchrony(_onsets(analysis, melody), _onsets(analysis, other_melody)),
        parallel=parallel_motion(melody, other_melody),
        timbre_cam=abs(
            _centroid(analysis, rows, seconds) - _centroid(analysis, other_rows, seconds)
        ),
        attacks_alike=bool(
            (held[rows].mean() >= 0.5) == (held[other_rows].mean() >= 0.5)  # most of either
        ),
    )


def _top_rows(analysis: "Analysis", line: int, first: int, last: int) -> Mapping[int, int]:
    """Return the row of a line's highest tone in each slice of some bars in which it sounds."""
    slices, hearing = analysis.slices, analysis.hearing
    bar = slices.bar[slices.row_slice]
    rows = np.flatnonzero((hearing.line == line) & (bar >= first) & (bar <= last))
    tones = analysis.playing.tones
    found: dict[int, int] = {}
    for row in rows.tolist():
        at = int(slices.row_slice[row])
        tone = tones[slices.row_tone[row]]
        if tone.unpitched:
            continue
        if at not in found or tones[slices.row_tone[found[at]]].midi < tone.midi:
            found[at] = row
    return found


def _within(melody: Melody, analysis: "Analysis", first: int, last: int) -> Melody:
    """Return the notes of a melody that begin in some bars."""
    bars = analysis.score.bars
    begin, end = bars[first].start, bars[last].start + bars[last].length
    chosen = (melody.start >= begin) & (melody.start < end)
    return Melody(
        melody.start[chosen], melody.stop[chosen], melody.midi[chosen], melody.tone[chosen]
    )


def _onsets(analysis: "Analysis", melody: Melody) -> Floats:
    tones = analysis.playing.tones
    return np.array([tones[at].start_s for at in melody.tone], dtype=np.float64)


def _coincidence(analysis: "Analysis", rows: Ints, other_rows: Ints, seconds: Floats) -> float:
    """Return the mean coincidence over time; each pair of voices is compared once."""
    voice = analysis.sound.voice
    pairs, place = np.unique(
        np.stack([voice[rows], voice[other_rows]]), axis=1, return_inverse=True
    )
    voices = analysis.sound.palette.voices

    @cache
    def partials(number: int) -> tuple[Floats, Floats]:
        one = voices[number]
        hz, level = at_ear(analysis.book[one.instrument], *one[1:], hall=analysis.hall)
        return cochlear_powers(hz, level, "diffuse")

    found = np.array(
        [
            coincidence(*partials(own), partials(other)[0])
            for own, other in zip(*pairs.tolist(), strict=True)
        ]
    )
    return float(np.average(found[place.reshape(-1)], weights=seconds))


def _centroid(analysis: "Analysis", rows: Ints, seconds: Floats) -> float:
    """Return the mean centroid in Cam of a line's own excitation, weighted as E^0.2."""
    pattern = batch.excitations(analysis.sound.rows(rows), np.arange(rows.size), rows.size)
    weight = np.maximum(pattern.astype(np.float64), 0.0) ** 0.2
    place = cam(batch.bank().centres_hz)
    return float(np.average((weight @ place) / weight.sum(axis=1), weights=seconds))
