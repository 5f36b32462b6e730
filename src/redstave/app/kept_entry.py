"""A kept entry, opened as it is read: blind, under the forces and in the hall of its season."""

from dataclasses import replace

from redstave import store
from redstave.analysis import Analysis
from redstave.app.entry import parse_forces, parse_hall, parse_players
from redstave.app.marked_entry import unmarked, unmarked_page
from redstave.app.origin import following_original
from redstave.base.errors import InputError
from redstave.model.review import Review
from redstave.model.score import Problem, Score
from redstave.model.season import Version
from redstave.reading import blind, read_bytes, said_of_makers, xml_of
from redstave.store import Season


def version_of(season: Season, code: str, number: int | None = None) -> Version:
    """Return a version of an entry, the newest if no number is given; InputError if it has none."""
    entry = store.read_entry(season, code)
    if number is None:
        return entry.newest
    found = [one for one in entry.versions if one.number == number]
    if not found:
        raise InputError(f"entry {code} has {len(entry.versions)} version(s), no number {number}")
    return found[0]


def xml_of_entry(season: Season, code: str, number: int | None = None) -> bytes:
    """Return the MusicXML of an entry with nobody named in it and no remarks of ours on its page.

    The season's name stands where the piece's title stood; lines, paths and ids are as sent.
    """
    version = version_of(season, code, number)
    xml, _, _ = xml_of(store.kept_bytes(season, version.sha256), f"{code}{version.ending}")
    return unmarked_page(_blind(season, code, xml), code)


def score_of(season: Season, code: str, number: int | None = None) -> Score:
    """Return the page of an entry with nobody named in it; its origin is that of what was sent.

    Remarks of ours on it are taken off and told among its problems.
    """
    version = version_of(season, code, number)
    name = f"{code}{version.ending}"
    xml, kind, said = xml_of(store.kept_bytes(season, version.sha256), name)
    score = unmarked(read_bytes(_blind(season, code, xml), f"{code}.musicxml"))
    first = (Problem("container" if kind == "mxl" else "converted", said),) if said else ()
    return replace(
        score,
        problems=(*first, *score.problems),
        origin=replace(score.origin, name=name, sha256=version.sha256, format=kind),
    )


def original_of(season: Season) -> Score | None:
    """Return the set piano piece, None where the season has none."""
    facts = store.read_facts(season)
    if not facts.original:
        return None
    return read_bytes(store.kept_bytes(season, facts.original), f"original{facts.original_ending}")


def analysis_of(season: Season, code: str, number: int | None = None) -> Analysis:
    """Return the analysis of an entry under the season's forces, hall and players.

    The teacher's word on its bars, voices and roles is in it.
    """
    facts = store.read_facts(season)
    word = store.read_word(season, code, version_of(season, code, number).number).word
    return following_original(
        Analysis(
            score_of(season, code, number),
            parse_forces(facts.forces),
            parse_hall(facts.hall, facts.seat, facts.tail),
            players_level=parse_players(facts.players),
            original=original_of(season),
            pins=word.pins,
            voice_overrides=word.voices,
            overrides=word.roles,
            cuts=word.cuts,
        )
    )


def review_of(season: Season, code: str, number: int | None = None) -> Review:
    """Return the newest review of an entry; InputError where it was not computed yet."""
    kept = store.newest_review(season, code, number)
    if kept is None:
        raise InputError(
            f'entry {code} was not computed yet; run "redstave season compute {season.folder}"'
        )
    return kept.review


def _blind(season: Season, code: str, xml: bytes) -> bytes:
    facts = store.read_facts(season)
    keep: frozenset[str] = frozenset()
    if facts.original:
        name = f"original{facts.original_ending}"
        original, _, _ = xml_of(store.kept_bytes(season, facts.original), name)
        keep = said_of_makers(original, name)
    return blind(xml, code, facts.name, keep)
