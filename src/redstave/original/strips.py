"""Carrier strips: who carries each voice of the original, bar by bar."""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from redstave.analysis import Analysis
from redstave.analysis.groups import flagged_or_all, weighted_means, weighted_medians
from redstave.analysis.state import State, state
from redstave.model.match import NO_BAR, Carrier, Match
from redstave.model.score import Score
from redstave.original.match import match_of


class StripCarrier(NamedTuple):
    """What one line (index of Playing.lines) does for a voice of the original in a bar.

    `octave_shift` is that of most of its tones, `level` the mean level number, `share` (0 to 1) how
    many of the voice's tones in the bar it sounds. `state`, `margin_db` and `sd_db` are those of
    the strand in which these tones are heard; None and 0 where nobody asked, or where nobody can
    say, because the instrument is unknown or nothing of it sounds in the bar itself.
    """

    line: int
    octave_shift: int
    level: float
    share: float
    state: State | None = None
    margin_db: float = 0.0
    sd_db: float = 0.0


class StripBar(NamedTuple):
    """A bar of the entry (index) beside one of the original, and who carries a voice in it.

    `carriers` are sorted by share, most first; `carried` (0 to 1) is how many of the voice's tones
    in that bar of the original sound at all.
    """

    entry: int
    original: int
    carried: float
    carriers: tuple[StripCarrier, ...]


class Strip(NamedTuple):
    """One voice of the original (index of Match.voices) through the entry, bar by bar.

    Bars in which the voice rests, and bars that come from nowhere, are left out.
    """

    voice: int
    bars: tuple[StripBar, ...]


class _Place(NamedTuple):
    """A voice in a bar of the entry that comes from a bar of the original, and one of its lines."""

    voice: int
    entry: int
    original: int
    line: int


class _Heard(NamedTuple):
    margin_db: float
    sd_db: float


def carrier_strips(analysis: Analysis, heard: bool = True) -> tuple[Strip, ...]:
    """Return a strip for each voice of the original, in the order of `Match.voices`.

    Empty without an original. With `heard` the hall is asked whether each carrier is heard.
    """
    found = match_of(analysis)
    if found is None:
        return ()
    places = _places(analysis, found)
    audible = _audible(analysis, places) if heard else {}
    made: dict[tuple[int, int, int], list[StripCarrier]] = defaultdict(list)
    carried: dict[tuple[int, int, int], set[int]] = defaultdict(set)
    there = Counter((tone.voice, tone.bar) for tone in found.source)
    for place, carriers in places.items():
        whole = there[place.voice, place.original]
        made[place[:3]].append(_carrier(analysis, place, carriers, whole, audible.get(place)))
        carried[place[:3]].update(one.source for one in carriers)
    pairs = sorted({one[:2] for one in found.bars if NO_BAR not in one[:2]})
    return tuple(
        Strip(
            voice,
            tuple(
                StripBar(
                    entry,
                    original,
                    len(carried[voice, entry, original]) / there[voice, original],
                    tuple(sorted(made[voice, entry, original], key=_first)),
                )
                for entry, original in pairs
                if there[voice, original]
            ),
        )
        for voice in range(len(found.voices))
    )


def _first(one: StripCarrier) -> tuple[float, int]:
    return -one.share, one.line


def _places(analysis: Analysis, found: Match) -> dict[_Place, list[Carrier]]:
    """Gather the carriers by voice, bars and line."""
    tones, score = analysis.playing.tones, analysis.score
    places: dict[_Place, list[Carrier]] = defaultdict(list)
    for carrier in found.carriers:
        source, tone = found.source[carrier.source], tones[carrier.tone]
        bars = found.entry_bars_of.get(source.bar, ())
        bar = _bar(score, bars, tone.bar, tone.stop)
        if bar is not None:
            places[_Place(source.voice, bar, source.bar, tone.line)].append(carrier)
    return places


def _bar(score: Score, bars: Sequence[int], first: int, stop: int) -> int | None:
    """Return which of the bars a tone that begins in bar `first` sounds in, or the nearest."""
    last = score.bar_at(max(0, stop - 1))
    inside = [bar for bar in bars if first <= bar <= last]
    if inside:
        return inside[0]
    return min(bars, key=lambda bar: abs(bar - first), default=None)


def _carrier(
    analysis: Analysis,
    place: _Place,
    carriers: Sequence[Carrier],
    whole: int,
    heard: _Heard | None,
) -> StripCarrier:
    tones = analysis.playing.tones
    octaves = Counter(one.octave_shift for one in carriers)
    level = sum(tones[one.tone].level for one in carriers) / len(carriers)
    share = len({one.source for one in carriers}) / whole
    octave = min(octaves, key=lambda by: (-octaves[by], abs(by)))
    if heard is None:
        return StripCarrier(place.line, octave, level, share)
    return StripCarrier(place.line, octave, level, share, state(*heard), *heard)


def _audible(
    analysis: Analysis, places: Mapping[_Place, Sequence[Carrier]]
) -> dict[_Place, _Heard]:
    """Return the middle margin over time, and its sd, of the carriers in their bars."""
    keys = list(places)
    pairs = [(one.tone, at) for at, key in enumerate(keys) for one in places[key]]
    tone, group = np.unique(np.array(pairs, dtype=np.int64).reshape(-1, 2), axis=0).T
    hearing = analysis.hearing
    slices = hearing.slices
    order = np.argsort(slices.row_tone, kind="stable")
    low = np.searchsorted(slices.row_tone[order], tone)
    count = np.searchsorted(slices.row_tone[order], tone, side="right") - low
    step = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    row, group = order[np.repeat(low, count) + step], np.repeat(group, count)
    bar = np.array([key.entry for key in keys], dtype=np.int64)
    there = slices.bar[slices.row_slice[row]] == bar[group]
    row, group = row[there], group[there]
    kept = flagged_or_all(hearing.sound.judged[row], group, len(keys))
    row, group = row[kept], group[kept]
    numbers, group = np.unique(group, return_inverse=True)
    seconds = slices.seconds_of(row)
    margins = weighted_medians(hearing.rows.margin_db[row], seconds, group, numbers.size)
    sds = weighted_means(hearing.rows.sd_db[row], seconds, group, numbers.size)
    return {
        keys[at]: _Heard(margin, sd)
        for at, margin, sd in zip(numbers.tolist(), margins.tolist(), sds.tolist(), strict=True)
    }
