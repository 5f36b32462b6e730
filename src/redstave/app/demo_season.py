"""The demonstration's season: four invented entries, computed, two of them begun to be reviewed."""

import tomllib
from collections.abc import Mapping
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any

from redstave import store
from redstave.app import judging
from redstave.app.compute import compute
from redstave.app.demo_entry import FOLDER, submissions
from redstave.app.grading import give, lock
from redstave.app.kept_entry import review_of, score_of
from redstave.app.letter_of import CLOSING, NEXT_STEP, OPENING
from redstave.app.remarks import own_remark
from redstave.app.season import new_season, open_season
from redstave.app.steps import Tell, quiet
from redstave.base.errors import DataError
from redstave.model.finding import Finding
from redstave.model.remark import RemarkKind, Weight, finding_key
from redstave.model.review import Review
from redstave.model.score import Score
from redstave.model.season import SeasonFacts, Stage
from redstave.store import Season

TEXTS = (OPENING, NEXT_STEP, CLOSING)

Table = Mapping[str, Any]


def lay_out(folder: Path, tell: Tell = quiet) -> Path:
    """Make the demonstration's season in a folder unless there is one; return the folder.

    One that is there keeps what was typed in it.
    """
    there = folder.is_dir() and any(folder.iterdir())
    with open_season(folder) if there else demo_season(folder, tell) as season:
        compute(season, tell=tell)  # another Redstave may have made the one that is there
    return folder


def demo_season(folder: Path, tell: Tell = quiet) -> Season:
    """Make the demonstration's season in a new or empty folder and return it open."""
    data = files("redstave.app").joinpath(FOLDER)
    plan = tomllib.loads(data.joinpath("season.toml").read_text("utf-8"))
    with (
        as_file(data.joinpath(plan["original"])) as original,
        as_file(data.joinpath("criteria.toml")) as criteria,
    ):
        facts = SeasonFacts(plan["name"], plan["teacher"])
        season = new_season(folder, original, str(criteria), facts)
    try:
        for code, name, score in submissions():
            store.add_version(season, code, store.keep_bytes(season, score), ".musicxml", name)
        compute(season, tell=tell)
        for entry in plan["entry"]:
            _review(season, entry)
    except BaseException:
        season.close()
        raise
    return season


def _review(season: Season, entry: Table) -> None:
    """Do to an entry what the invented teacher has done."""
    code = entry["code"]
    review, score = review_of(season, code), score_of(season, code)
    for table in entry.get("remark", ()):
        _remark(season, code, review, score, table)
    _dismiss(season, code, review, score, entry)
    for field in TEXTS:
        if field in entry:
            store.save_draft(season, code, field, entry[field], 0)
    for table in entry.get("grade", ()):
        give(season, code, table["criterion"], float(table["points"]), table.get("note", ""))
    if "minutes" in entry:
        store.add_seconds(season, code, 60.0 * entry["minutes"])
        store.set_stage(season, code, Stage(entry.get("stage", Stage.READING)))
    if store.read_entry(season, code).stage is Stage.WRITTEN:
        lock(season, code)


def _dismiss(season: Season, code: str, review: Review, score: Score, entry: Table) -> None:
    for table in entry.get("dismissed", ()):
        key = finding_key(_finding(review, score, table))
        judging.dismiss(season, code, key, review, table["reason"])
    decided = store.decisions(season, code)
    rest = [key for one in review.findings if (key := finding_key(one)) not in decided]
    for key in rest if "rest" in entry else ():
        judging.dismiss(season, code, key, review, entry["rest"])


def _remark(season: Season, code: str, review: Review, score: Score, table: Table) -> None:
    weight = Weight(table.get("weight", Weight.SMALL))
    if "check" in table:
        key = finding_key(_finding(review, score, table))
        wish = judging.Wish(text=table.get("text", ""), weight=weight)
        judging.accept(season, code, key, review, score, wish)
    else:
        kind = RemarkKind(table["kind"])
        words = {name: table[name] for name in ("bars", "staves", "way_out") if name in table}
        own_remark(season, code, score, table["text"], kind, **words, weight=weight)


def _finding(review: Review, score: Score, table: Table) -> Finding:
    """Return the finding of a check that stands in a bar, as printed."""
    for one in review.findings:
        if one.slug == table["check"]:
            for spot in one.spots:
                bars = score.bars[spot.bar : max(spot.bar, spot.last_bar) + 1]
                if table["bar"] in [bar.number for bar in bars]:
                    return one
    raise DataError(
        f"season.toml of the demonstration: in {review.entry} {table['check']} finds nothing in "
        f"bar {table['bar']}"
    )
