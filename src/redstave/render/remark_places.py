"""Where a remark stands on the page in hand, which need not be the one it was written for."""

from redstave.model.finding import Spot
from redstave.model.remark import Remark, RemarkKind
from redstave.model.score import Score
from redstave.render.typed import one_line
from redstave.render.wording import bar_list, part_list

WHOLE_PIECE = "The whole piece"
NEARLY_ALL = 0.9  # of the bars
WHOLE_PAGE = ""  # the part of a place that is the whole page
GONE = "A place that this version of the score does not have"


def spots_on(remark: Remark, score: Score) -> tuple[Spot, ...]:
    """Return those places of a remark that the score has; one that runs off its end is cut.

    A place of no part ("") is the whole page in these bars.
    """
    last = len(score.bars) - 1
    return tuple(
        spot._replace(last_bar=min(last, max(spot.bar, spot.last_bar)))
        for spot in remark.spots
        if spot.part in (*score.parts_by_id, WHOLE_PAGE) and 0 <= spot.bar <= last
    )


def place_of(remark: Remark, score: Score) -> str:
    """Return where a remark belongs, in words: the teacher's own, or bars and staves."""
    spots = spots_on(remark, score)
    words = _of_no_stave(remark, spots, score) or one_line(remark.place) or _placed(remark, score)
    return f"{words[:1].upper()}{words[1:]}"


def _placed(remark: Remark, score: Score) -> str:
    spots = spots_on(remark, score)
    if not spots:
        return GONE if remark.spots else WHOLE_PIECE
    return " · ".join(filter(None, [bar_list(spots, score), part_list(spots, score)]))


def _of_no_stave(remark: Remark, spots: tuple[Spot, ...], score: Score) -> str:
    """Return the place, without a stave, of what came from a finding that has no notes.

    Such a finding may stand on a stave because it must stand on one, not because it means it: where
    it holds nearly all bars, and where it praises. "" for all else.
    """
    if not remark.finding or not spots or any(spot.notes for spot in spots):
        return ""
    bars = {bar for spot in spots for bar in range(spot.bar, spot.last_bar + 1)}
    if len(bars) >= NEARLY_ALL * len(score.bars):
        return WHOLE_PIECE
    return bar_list(spots, score) if remark.kind is RemarkKind.PRAISE else ""


def spots_on_staves(remark: Remark, score: Score) -> tuple[Spot, ...]:
    """Return the places as `spots_on` does, those of the whole page on its uppermost stave."""
    top = score.parts[0].id if score.parts else ""
    return tuple(
        spot._replace(part=top, stave=1) if spot.part == WHOLE_PAGE else spot
        for spot in spots_on(remark, score)
    )
