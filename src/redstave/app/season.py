"""A season: made, opened, shown. Nothing here shows a name before the seal is broken."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from redstave import store
from redstave.app.criteria_file import criteria_named
from redstave.app.entry import parse_forces, parse_hall, parse_players
from redstave.app.phrase_text import starter_phrases
from redstave.base.errors import InputError
from redstave.checks import catalogue
from redstave.model.remark import Decision
from redstave.model.season import EntryFacts, SeasonFacts
from redstave.reading import read_bytes
from redstave.store import Season

Json = dict[str, object]


def new_season(
    folder: Path,
    original: Path | None = None,
    criteria: str = "full",
    facts: SeasonFacts | None = None,
    database: str = "",
) -> Season:
    """Make a season in a folder and return it open.

    `original` is the set piano piece; `criteria` a starter set or a file of criteria; `database`
    an SQLAlchemy address where the tables are to live elsewhere. InputError where anything of it
    cannot be used: then nothing is made.
    """
    facts = facts or SeasonFacts(folder.resolve().name)
    parse_forces(facts.forces)
    parse_hall(facts.hall, facts.seat)
    parse_players(facts.players)
    chosen = criteria_named(criteria)
    data = _bytes(original) if original else b""
    if original:
        read_bytes(data, original.name)
    season = store.make_season_folder(folder, database)
    try:
        kept = store.keep_bytes(season, data) if original else ""
        with season.writing():
            store.write_facts(season, _with_original(facts, kept, original), chosen)
            store.write_phrases(season, starter_phrases())
    except BaseException:
        season.close()
        raise
    return season


def open_season(folder: Path) -> Season:
    """Open a season; InputError where there is none."""
    return store.open_season_folder(folder)


def copy_season(season: Season, folder: Path) -> None:
    """Copy a season into a new folder, whole even while it is written to."""
    store.copy_to(season, folder)


def is_blind(season: Season) -> bool:
    """Tell whether names are still under seal."""
    return not store.read_facts(season).opened


def open_names(season: Season) -> list[Json]:
    """Break the seal and return whose entry is whose: code, version and file name."""
    store.open_names(season)
    return [one._asdict() for one in store.sealed_names(season)]


def season_json(season: Season) -> Json:
    """Return the season with the state of each entry; the shape is documented in docs/json.md."""
    facts = store.read_facts(season)
    entries = store.read_entries(season)
    found = store.newest_findings(season)
    names = {}
    if facts.opened:
        names = {(one.code, one.number): one.name for one in store.sealed_names(season)}
    return {
        "name": facts.name,
        "teacher": facts.teacher,
        "blind": not facts.opened,
        "original": bool(facts.original),
        "forces": facts.forces,
        "hall": facts.hall,
        "players": facts.players,
        "criteria": store.read_criteria(season).name,
        "entries": [_entry(season, one, names, found.get(one.code, {})) for one in entries],
    }


def _entry(
    season: Season,
    entry: EntryFacts,
    names: Mapping[tuple[str, int], str],
    findings: Mapping[str, str],
) -> Json:
    judged = store.decisions(season, entry.code)
    sheet = store.read_sheet(season, entry.code)
    known = catalogue()
    families = Counter(known[slug].family for slug in findings.values() if slug in known)
    decided = [one for key, one in judged.items() if key in findings]
    standing = store.read_remarks(season, entry.code)
    return {
        "code": entry.code,
        "versions": len(entry.versions),
        "state": str(entry.stage),
        "findings": len(findings),
        "families": dict(sorted(families.items())),
        "decided": len(decided),
        "dismissed": sum(one.decision is Decision.DISMISSED for one in decided),
        "remarks": sum(one.remark.version == entry.newest.number for one in standing),
        "grades": len(sheet.grades),
        "total": None if sheet.total is None else round(sheet.total, 1),
        "locked": sheet.locked,
        "minutes": round(entry.seconds / 60, 1),
        "file": names.get((entry.code, entry.newest.number)),
    }


def _with_original(facts: SeasonFacts, kept: str, original: Path | None) -> SeasonFacts:
    return replace(
        facts, original=kept, original_ending=original.suffix.lower() if original else ""
    )


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise InputError(f"{path} cannot be read ({error.strerror}); check the name") from error
