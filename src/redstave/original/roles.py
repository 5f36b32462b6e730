"""Roles as the original gives them: whoever plays the piano's tune has the tune."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from itertools import groupby

from redstave.analysis import Analysis
from redstave.model.match import Match
from redstave.model.role import Role, RoleOverride
from redstave.original.match import match_of
from redstave.original.strips import Strip, StripCarrier, carrier_strips

# Ours: a line has the piano's tune in a bar where it plays most of it and little else, and does so
# in the bars around as well. One long note that others happen to share is no tune.
MOST_OF_IT = 0.5
AROUND = 0.6

Likeness = Mapping[tuple[int, int], float]  # by line (index) and bar of the entry, 0 to 1


def roles_from_original(analysis: Analysis) -> tuple[RoleOverride, ...]:
    """Return who has the tune by the original, in stretches of bars; empty without an original.

    Where the piano has no tune, or nobody plays enough of it, nothing is said.
    """
    found = match_of(analysis)
    if found is None:
        return ()
    strips = [
        strip
        for strip in carrier_strips(analysis, heard=False)
        if found.voices[strip.voice].role is Role.TUNE
    ]
    return tuple(
        one for strip in strips for one in _stretches(analysis, strip, _likeness(analysis, found))
    )


def _likeness(analysis: Analysis, found: Match) -> Likeness:
    """Return the share of the tones of each line in each bar that come from a tune."""
    tones = analysis.playing.tones
    tuneful = {
        carrier.tone
        for carrier in found.carriers
        if found.voices[found.source[carrier.source].voice].role is Role.TUNE
    }
    places = [(tone.line, tone.bar) for tone in tones]
    all_, of_tune = Counter(places), Counter(places[tone] for tone in tuneful)
    return {place: of_tune[place] / count for place, count in all_.items()}


def _stretches(analysis: Analysis, strip: Strip, pure: Likeness) -> Iterator[RoleOverride]:
    """Yield the tune's lines, each over the bars in a row in which it has it."""
    lines: dict[int, list[int]] = defaultdict(list)
    bars = strip.bars
    for at, bar in enumerate(bars):
        around = [one.carriers for one in bars[max(0, at - 1) : at + 2]]
        entries = [one.entry for one in bars[max(0, at - 1) : at + 2]]
        for one in bar.carriers:
            if one.share < MOST_OF_IT:
                continue
            near = [
                _share(there, one.line) * pure.get((one.line, entry), 0.0)
                for there, entry in zip(around, entries, strict=True)
            ]
            if sum(near) / len(near) >= AROUND:
                lines[one.line].append(bar.entry)
    for line, entries in sorted(lines.items()):
        for _, run in groupby(enumerate(entries), lambda pair: pair[1] - pair[0]):
            stretch = [bar for _, bar in run]
            yield RoleOverride(analysis.playing.lines[line].id, stretch[0], stretch[-1], Role.TUNE)


def _share(carriers: tuple[StripCarrier, ...], line: int) -> float:
    return next((one.share for one in carriers if one.line == line), 0.0)
