"""What the hall hears of each stave in each bar: as states for the ribbons, and in words."""

from collections.abc import Iterator

from redstave.analysis.barwise import LineInBar
from redstave.app.desk.opened import Opened, StaveInBar
from redstave.render.systems import Picture, ribbon_rows
from redstave.render.systems.heard import worst
from redstave.render.view import Audibility
from redstave.render.wording import listed, number

Json = dict[str, object]
MOST_COVERING = 3  # lines named as covering another


def ribbons_of(opened: Opened, picture: Picture) -> str:
    """Draw the hearing ribbons of a painted system."""
    return ribbon_rows(picture, states(opened, picture.first, picture.last))


def states(opened: Opened, first: int, last: int) -> dict[StaveInBar, Audibility]:
    """Return what is heard of every stave in the bars `first` to `last`, the worst of its lines."""
    return {
        place: worst([_state(opened, line, place[2]) for line in lines])
        for place, lines in opened.lines_at.items()
        if first <= place[2] <= last
    }


def heard_in_bars(opened: Opened, first: int, last: int) -> list[Json]:
    """Return, for each stave in each bar, every line that plays there with what is heard of it."""
    found = (
        (place, lines) for place, lines in opened.lines_at.items() if first <= place[2] <= last
    )
    order = {part.id: at for at, part in enumerate(opened.analysis.score.parts)}
    return [
        {
            "part": part,
            "stave": stave,
            "bar": bar,
            "number": opened.bar_name(bar),
            "name": opened.part_names[part],
            "lines": list(_lines(opened, lines, bar)),
        }
        for (part, stave, bar), lines in sorted(
            found, key=lambda one: (one[0][2], order[one[0][0]], one[0][1])
        )
    ]


def _lines(opened: Opened, lines: tuple[int, ...], bar: int) -> Iterator[Json]:
    for line in lines:
        record = opened.records.get((line, bar))
        name = opened.analysis.playing.lines[line].name
        yield {
            "line": name,
            "state": str(_state(opened, line, bar)),
            "margin_db": None if record is None else round(record.margin_db, 1),
            "sd_db": None if record is None else round(record.sd_db, 1),
            "words": _words(opened, name, record),
        }


def _state(opened: Opened, line: int, bar: int) -> Audibility:
    record = opened.records.get((line, bar))
    return Audibility.UNKNOWN if record is None else Audibility(str(record.state))


def _words(opened: Opened, name: str, record: LineInBar | None) -> str:
    if record is None:
        return f"{name}: not judged"
    margin = number(round(record.margin_db, 1))
    said = f"{name}: {record.state}, {margin} ± {number(round(record.sd_db, 1))} dB"
    over = [
        f"{opened.analysis.playing.lines[other].name} ({round(100 * share)} %)"
        for other, share in record.covered_by[:MOST_COVERING]
    ]
    if not over:
        return said
    beside = "mostly under" if str(record.state) != "heard" else "beside it above all"
    return f"{said}; {beside} {listed(over, MOST_COVERING)}"
