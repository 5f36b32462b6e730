"""Carrier strips: who carries each voice of the original, bar by bar."""

from collections import defaultdict
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.barwise import by_line_and_bar
from redstave.analysis.state import State
from redstave.model.match import Carrier
from redstave.original.match import match_of


class StripCarrier(NamedTuple):
    """What one line (index of Playing.lines) does for a voice of the original in a bar.

    `octave_shift` is that of most of its tones, `level` the mean level number, `share` (0 to 1) how
    many of the voice's tones in the bar it sounds. `state`, `margin_db` and `sd_db` are those of
    the strand in which it is heard; None and 0 where the instrument is unknown or nobody asked.
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


def carrier_strips(analysis: Analysis, heard: bool = True) -> tuple[Strip, ...]:
    """Return a strip for each voice of the original, in the order of `Match.voices`.

    Empty without an original. With `heard` the hall is asked whether each carrier is heard.
    """
    found = match_of(analysis)
    if found is None:
        return ()
    states = (
        {(one.line, one.bar): one for one in by_line_and_bar(analysis.hearing)} if heard else {}
    )
    tones = analysis.playing.tones
    here: dict[tuple[int, int, int], list[Carrier]] = defaultdict(list)
    for carrier in found.carriers:
        source = found.source[carrier.source]
        here[source.voice, source.bar, tones[carrier.tone].bar].append(carrier)
    strips = []
    for voice in range(len(found.voices)):
        bars = []
        for entry, original in sorted(found.original_of.items()):
            tones_there = [
                at
                for at, one in enumerate(found.source)
                if one.bar == original and one.voice == voice
            ]
            if not tones_there:
                continue
            carriers = here[voice, original, entry]
            by_line: dict[int, list[Carrier]] = defaultdict(list)
            for carrier in carriers:
                by_line[tones[carrier.tone].line].append(carrier)
            made = []
            for line, ones in by_line.items():
                shifts = [one.octave_shift for one in ones]
                told = states.get((line, entry))
                made.append(
                    StripCarrier(
                        line,
                        max(shifts, key=shifts.count),
                        sum(tones[one.tone].level for one in ones) / len(ones),
                        len({one.source for one in ones}) / len(tones_there),
                        told.state if told else None,
                        told.margin_db if told else 0.0,
                        told.sd_db if told else 0.0,
                    )
                )
            made.sort(key=lambda one: -one.share)
            carried = len({one.source for one in carriers}) / len(tones_there)
            bars.append(StripBar(entry, original, carried, tuple(made)))
        strips.append(Strip(voice, tuple(bars)))
    return tuple(strips)
