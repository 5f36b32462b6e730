"""How evenly the teacher has judged, in words and as points for a small picture."""

from typing import Any

from redstave.app.evenness import LEAST, Drift, Evenness, Judged, evenness
from redstave.store import Season

Json = dict[str, Any]

WIDE, HIGH, EDGE = 980, 124, 16  # of the picture, in its own units


def evenness_view(season: Season) -> Json | None:
    """Return the picture's dots and what is told of them; None before two entries are graded."""
    found = evenness(season)
    if len(found.judged) < 2:
        return None
    return {
        "wide": WIDE,
        "high": HIGH,
        "dots": [_dot(at, one, len(found.judged)) for at, one in enumerate(found.judged)],
        "words": _words(found),
        "drifts": bool(found.points and found.points.told),
    }


def _dot(at: int, one: Judged, of: int) -> Json:
    x = EDGE + (WIDE - 2 * EDGE) * (at + 0.5) / of
    y = EDGE + (HIGH - 2 * EDGE) * (1 - one.total / 100)
    return {"code": one.code, "total": f"{one.total:.1f}", "x": round(x, 1), "y": round(y, 1)}


def _words(found: Evenness) -> list[str]:
    if len(found.judged) < LEAST:
        return [
            f"{len(found.judged)} entries are graded in full. From {LEAST} on it is told here "
            "whether points go up or down from the first to the last."
        ]
    points = [_points(found.points)] if found.points else ["All have the same total."]
    return points + ([_minutes(found.minutes)] if found.minutes else [])


def _points(drift: Drift) -> str:
    halves = (
        f"The half that was graded first has {drift.first:.0f} of 100 in the median, the other "
        f"half {drift.second:.0f}"
    )
    if not drift.told:
        return (
            f"{halves}. Orders drawn by lot drift as strongly in {_percent(drift)} of cases: "
            "nothing is to be seen in that."
        )
    return (
        f"{halves}. Orders drawn by lot drift as strongly in {_percent(drift)} of cases. It "
        "may lie in the entries; read one or two of the first again and see."
    )


def _minutes(drift: Drift) -> str:
    halves = (
        f"You read {drift.first:.0f} minutes in the first half, {drift.second:.0f} in the other"
    )
    return f"{halves}; by lot so much in {_percent(drift)} of cases."


def _percent(drift: Drift) -> str:
    return "fewer than 1 %" if drift.chance < 0.01 else f"{100 * drift.chance:.0f} %"
