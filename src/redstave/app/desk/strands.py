"""One bar as its strands: who moves together, what is heard of them and what lies over them."""

from collections.abc import Iterator, Sequence

import numpy as np

from redstave.analysis import Analysis
from redstave.analysis.passages import heard
from redstave.analysis.words import line_names
from redstave.app.desk.opened import Opened
from redstave.render.wording import listed, number
from redstave.trial.compare import rows_of

Json = dict[str, object]
MOST_OVER = 3  # lines named as covering a strand
LEAST_OVER = 0.05  # of what covers a strand: lesser shares are not named
MOST_OF_IT = 0.5  # lines that share a strand for more than this of their common time are one


def strands_of(opened: Opened, bar: int) -> list[Json]:
    """Return the strands of a bar (index), the tune's first, then those that are heard least.

    Each has the lines in it, its state, margin and uncertainty, and what covers it, in words.
    """
    analysis = opened.analysis
    leading = set(tune_lines(analysis, bar))
    found = [
        _strand(analysis, lines, bar, bool(leading & set(lines))) for lines in groups(analysis, bar)
    ]
    return sorted(found, key=_rank)


def _rank(one: Json) -> tuple[bool, float]:
    margin = one["margin_db"]
    return not one["tune"], margin if isinstance(margin, float) else np.inf


def tune_lines(analysis: Analysis, bar: int) -> tuple[int, ...]:
    """Return the lines (indices) that carry the tune for most of a bar, if any do."""
    place = analysis.score.bars[bar]
    best = max(
        analysis.tune_spans,
        key=lambda one: min(one.stop, place.start + place.length) - max(one.start, place.start),
        default=None,
    )
    if best is None or best.start >= place.start + place.length or best.stop <= place.start:
        return ()
    return best.lines


def groups(analysis: Analysis, bar: int) -> list[tuple[int, ...]]:
    """Return the lines (indices) that sound in a bar, those that move together as one group."""
    inside = np.flatnonzero(analysis.slices.bar == bar)
    of_line = analysis.line_strand[inside]
    seconds = analysis.slices.seconds[inside]
    found: list[list[int]] = []
    for line in np.flatnonzero((of_line >= 0).any(axis=0)).tolist():
        mine = of_line[:, line]
        for group in found:
            other = of_line[:, group[0]]
            both = (mine >= 0) & (other >= 0)
            if seconds[both & (mine == other)].sum() > MOST_OF_IT * max(
                seconds[mine >= 0].sum(), seconds[other >= 0].sum()
            ):
                group.append(line)
                break
        else:
            found.append([line])
    return [tuple(group) for group in found]


def _strand(analysis: Analysis, lines: Sequence[int], bar: int, is_tune: bool) -> Json:
    names = listed(line_names(analysis.playing.lines, lines), 6)
    rows = np.concatenate([rows_of(analysis.hearing, line, bar, bar) for line in lines])
    told: Json = {"lines": names, "tune": is_tune}
    if rows.size == 0 or all(line in analysis.unheard for line in lines):
        return told | {"state": "unknown", "margin_db": None, "sd_db": None, "over": ""}
    found = heard(analysis.hearing, rows)
    return told | {
        "state": str(found.state),
        "margin_db": round(found.margin_db, 1),
        "sd_db": round(found.sd_db, 1),
        "over": listed(list(covering(analysis, found.covered_by, lines)), MOST_OVER),
    }


def covering(
    analysis: Analysis, shares: Sequence[tuple[int, float]], but: Sequence[int] = ()
) -> Iterator[str]:
    """Yield "Horn 1 (34 %)" of the lines that cover something, largest share first."""
    for line, share in shares[: MOST_OVER + len(but)]:
        if line not in but and share >= LEAST_OVER:
            yield f"{analysis.playing.lines[line].name} ({number(round(100 * share))} %)"
