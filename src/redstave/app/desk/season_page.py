"""What the page of a season shows: its entries, what waits, and how the checks have fared."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from redstave.app.compute import is_up_to_date
from redstave.app.desk.computing import Progress
from redstave.app.intake import add_bytes
from redstave.app.season import season_json
from redstave.app.season_settings import checks_json, settings_of
from redstave.base.errors import InputError
from redstave.checks import catalogue
from redstave.model.season import Stage
from redstave.store import Season

Json = dict[str, Any]

#: What a family of checks is called on the desk where it is not called by its own name.
FAMILIES = {
    "harp": "harp and keyboards",
    "intake": "what came in",
    "origin": "from the piano",
    "range": "ranges",
}
HOW = ("accepted", "reworded", "merged", "dismissed")  # what can be done with a finding
MOST_FAMILIES = 4  # told of one entry before the rest is counted


def season_page(season: Season) -> Json:
    """Return the season with its entries, which of them wait, and findings by family of all."""
    page: Json = season_json(season)
    settings = settings_of(season)
    entries: list[Json] = page["entries"]
    for entry in entries:
        entry["fresh"] = is_up_to_date(season, entry["code"], settings)
        entry["told"] = families_told(entry["families"])
        entry["open"] = entry["findings"] - entry["decided"]
    stages = [str(stage) for stage in Stage]
    counts = Counter(entry["state"] for entry in entries)
    found: Counter[str] = Counter()
    for entry in entries:
        found.update(entry["families"])
    return page | {
        "stages": stages,
        "counted": [(state, counts[state]) for state in reversed(stages) if counts[state]],
        "waiting": [entry["code"] for entry in entries if not entry["fresh"]],
        "found": [(family_name(name), many) for name, many in found.most_common()],
        "minutes": round(sum(entry["minutes"] for entry in entries)),
    }


def family_name(family: str) -> str:
    """Return what the desk calls a family of checks."""
    return FAMILIES.get(family, family)


def families_told(families: Mapping[str, int]) -> str:
    """Return "notation 4, strings 1 and 2 more" of the findings by family, most first."""
    most = sorted(families.items(), key=lambda one: (-one[1], one[0]))
    told = [f"{family_name(name)} {many}" for name, many in most[:MOST_FAMILIES]]
    rest = sum(many for _, many in most[MOST_FAMILIES:])
    return ", ".join(told) + (f" and {rest} more" if rest else "")


def checks_page(season: Season) -> list[Json]:
    """Return the checks that were decided on or changed, those seldom of use first.

    Every threshold has its meaning; `advice` is there where most findings were dismissed.
    """
    rows: Sequence[Json] = checks_json(season)
    return sorted(
        map(_check_row, rows), key=lambda row: (not row["advice"], -row["dismissed"], row["slug"])
    )


def _check_row(row: Json) -> Json:
    check = catalogue()[row["slug"]]
    meanings = {one.name: one.meaning for one in check.settings}
    judged = sum(row[how] for how in HOW)
    return row | {
        "name": check.slug.replace("-", " "),
        "family": family_name(check.family),
        "judged": judged,
        "settings": [one | {"meaning": meanings[one["name"]]} for one in row["settings"]],
        "advice": advice(judged, row["dismissed"]) if row["suggestion"] else "",
    }


def advice(judged: int, dismissed: int) -> str:
    """Return what to think about where a check was seldom of use."""
    return (
        f"You have used {judged - dismissed} of its {judged} findings. You could move a threshold, "
        "or leave the check out of this season; entries are then to be computed anew."
    )


def progress_json(progress: Progress) -> Json:
    """Return how far computing is, as data."""
    finished = len(progress.done) + len(progress.failed)
    return {
        "running": progress.running,
        "ended": progress.ended,
        "code": progress.code,
        "step": progress.step,
        "finished": finished,
        "of": len(progress.wanted),
        "done": list(progress.done),
        "failed": [{"code": code, "words": words} for code, words in progress.failed],
    }


def add_unseen(season: Season, data: bytes, name: str, again: str = "") -> str:
    """Add a file to a season and return its code; what goes wrong is told without the file's name.

    The page may be open while somebody reads blind.
    """
    try:
        return add_bytes(season, data, name, again)
    except InputError as error:
        raise InputError(str(error).replace(name, "this file")) from None
