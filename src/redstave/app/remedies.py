"""Ways out that were tried: for what is covered, the smallest changes that bring it to the ear."""

from collections.abc import Sequence

from redstave.analysis import Analysis
from redstave.model.finding import Finding
from redstave.render.changes import way_text
from redstave.trial import ways_out

MENDED = ("tune-covered", "tune-submerged", "plucked-line-covered", "brass-at-par-overpowers")
MOST_FINDINGS = 2  # a way out costs up to half a second: only the first ones are tried
MOST_WAYS = 2

Ways = tuple[tuple[int, tuple[str, ...]], ...]


def tried_ways(analysis: Analysis, findings: Sequence[Finding]) -> Ways:
    """Return (index of finding, sentences) for the findings of covered lines, the worst first.

    Only the first few are tried; `redstave try --help-heard` does the same for any line.
    """
    found: list[tuple[int, tuple[str, ...]]] = []
    covered = [pair for pair in enumerate(findings) if pair[1].slug in MENDED]
    for index, finding in covered[:MOST_FINDINGS]:
        line = _line(analysis, finding)
        first = min(spot.bar for spot in finding.spots)
        last = max(spot.last_bar for spot in finding.spots)
        if line is not None:
            ways = ways_out(analysis, line, first, last)[:MOST_WAYS]
            if ways:
                found.append((index, tuple(way_text(way) for way in ways)))
    return tuple(found)


def _line(analysis: Analysis, finding: Finding) -> int | None:
    """Return the line (index) that plays the first note in question."""
    notes = finding.spots[0].notes
    tone = analysis.tone_of.get(notes[0]) if notes else None
    return tone.line if tone else None
