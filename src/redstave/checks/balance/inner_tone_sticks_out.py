"""The check `inner-tone-sticks-out`."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from redstave.analysis import Analysis
from redstave.analysis.inner import inner_voices
from redstave.analysis.passages import Passage, by_strand
from redstave.analysis.prominence import standing
from redstave.analysis.spots import spot_of
from redstave.analysis.tables import cited
from redstave.analysis.tune import marked_rows
from redstave.analysis.words import line_names, listed
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding

RANGE = cited("prominence", "inner", "lead")


@check(
    "inner-tone-sticks-out",
    Claim.QUESTION,
    sources=("listeners", "rk", "common-practice"),
    settings=(
        Setting(
            "most_lead",
            RANGE.numbers[4],
            "log2 of a loudness ratio",
            "the 95th percentile of inner voices in masters' soft chords",
            "listeners",
        ),
        Setting(
            "least_confidence",
            0.6,
            "share",
            "how sure it must be that another line is the tune",
            "common-practice",
        ),
        Setting(
            "least_quarters",
            3.0,
            "quarter notes",
            "shorter passages are left alone",
            "common-practice",
        ),
    ),
)
def inner_tone_sticks_out(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about inner voices of soft chords that are heard before all others.

    What it reports
        A voice in the middle of soft chords that is louder than every other voice, the tune
        included, by more than inner voices are in masters' scores.

    Why it matters
        In a soft chord whose voices move together the ear has nothing but loudness to go by. One
        inner tone that comes forward, because it is doubled, marked louder or given to a stronger
        instrument, is heard as the tune, and the tune as its accompaniment.

    How it is computed
        Passages are taken in which the voices strike together, at mf or softer on the mean, with
        at least three strands. The loudness of the inner strand in the company of all else is set
        against that of the strongest other strand.

    Limits
        An inner voice may be meant to come forward: where the page says so (solo, espressivo …)
        it is left alone, elsewhere this is a question. Whether a voice is an inner one is taken
        from its place and movement.

    Sources
        The range: measured on movements whose main line listeners named; which voices are inner
        ones Redstave found itself. That one note given two players stands out, above all the horn:
        Rimsky-Korsakov's weights; common practice.
    """
    if len(analysis.unheard) == len(analysis.playing.lines):
        raise CannotJudge("no instrument in this score is known")
    marked = marked_rows(analysis.slices, analysis.hearing.line, analysis.leads)
    out = [
        passage
        for passage in inner_voices(analysis)
        if passage.quarters >= limits["least_quarters"]
        and not marked[passage.rows].any()
        and _stands_out(analysis, passage.rows, limits)
    ]
    for doubled in by_strand(analysis.hearing, out):
        yield _finding(analysis, doubled, limits)


def _stands_out(analysis: Analysis, rows: NDArray[np.int64], limits: Limits) -> bool:
    lead = standing(analysis.hearing, analysis.prominence, rows).lead
    sure = analysis.tune.confidence[analysis.slices.row_slice[rows]].mean()
    return bool(lead > limits["most_lead"] and sure >= limits["least_confidence"])


def _finding(analysis: Analysis, doubled: list[Passage], limits: Limits) -> Finding:
    rows = np.concatenate([passage.rows for passage in doubled])
    here = standing(analysis.hearing, analysis.prominence, rows)
    lines = analysis.playing.lines
    players = sum({line: lines[line].players for line in {one.line for one in doubled}}.values())
    return Finding(
        "inner-tone-sticks-out",
        tuple(spot_of(analysis, passage) for passage in doubled),
        (
            Evidence(
                "loudness over the strongest other strand",
                round(here.lead, 1),
                "log2 of the ratio",
                round(limits["most_lead"], 1),
            ),
            Evidence("share in all that is heard", round(here.share, 2), "share"),
            Evidence("players on this tone", players, "players"),
        ),
        (
            ("instrument", listed(line_names(lines, (passage.line for passage in doubled)))),
            ("tune", _tune(analysis, rows)),
        ),
    )


def _tune(analysis: Analysis, rows: NDArray[np.int64]) -> str:
    """Return the name of the line that has the tune for most of the time of some rows."""
    at = np.unique(analysis.slices.row_slice[rows])
    followed = analysis.tune.line[at]
    time = np.bincount(followed[followed >= 0], analysis.slices.seconds[at][followed >= 0])
    return analysis.playing.lines[int(time.argmax())].name if time.size else "the tune"
