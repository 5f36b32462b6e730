"""Computing a season: a review for each entry, each kept as soon as it is made."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import NamedTuple

import redstave
from redstave import store
from redstave.app.kept_entry import analysis_of, version_of
from redstave.app.review import choose, review, told_key
from redstave.app.season_settings import settings_of
from redstave.app.settings import Settings
from redstave.app.steps import Tell, prepare, quiet
from redstave.base.errors import InputError
from redstave.checks.needs import ANOTHER_PIECE
from redstave.instruments import load
from redstave.model.review import Provenance, Review
from redstave.render.wording import can_be_told
from redstave.store import Season

Stop = Callable[[], bool]


class Computed(NamedTuple):
    """What came of computing: codes reviewed now, codes that were up to date, what failed.

    `notes` say what the teacher should look at before he reads.
    """

    reviewed: tuple[str, ...]
    up_to_date: tuple[str, ...]
    problems: tuple[str, ...]
    notes: tuple[str, ...] = ()


def compute(
    season: Season,
    codes: Sequence[str] = (),
    tell: Tell = quiet,
    stop: Stop = lambda: False,
) -> Computed:
    """Review entries (all, if none are named) that have no review under what holds now.

    Whatever stops it, the reviews made so far are kept and the next run goes on from there. `tell`
    is told each step with the entry's code; `stop` is asked before each entry.
    """
    wanted = codes or [one.code for one in store.read_entries(season)]
    for code in wanted:
        store.read_entry(season, code)
    settings = settings_of(season)
    reviewed, left, problems, notes = [], [], [], []
    for at, code in enumerate(wanted, 1):
        if stop():
            break
        if is_up_to_date(season, code, settings):
            left.append(code)
            continue
        try:
            done = _compute(season, code, settings, _numbered(tell, at, len(wanted), code))
        except InputError as error:
            problems.append(f"{code}: {error}")
            continue
        reviewed.append(code)
        if any(one.reason == ANOTHER_PIECE for one in done.not_assessed):
            notes.append(f"{code}: {ANOTHER_PIECE}; is it the right file?")
    return Computed(tuple(reviewed), tuple(left), tuple(problems), tuple(notes))


def is_up_to_date(season: Season, code: str, settings: Settings | None = None) -> bool:
    """Tell whether the newest review of an entry's newest version is what a new one would be."""
    kept = store.newest_review(season, code)
    if kept is None or not all(map(can_be_told, kept.review.findings)):
        return False
    if kept.review.beside is None and store.read_facts(season).original:
        return False  # made before the bars beside the piece were kept
    wanted = settings_of(season) if settings is None else settings
    return kept.review.provenance == _expected(season, code, kept.review.provenance, wanted)


def _compute(season: Season, code: str, settings: Settings, tell: Tell) -> Review:
    version = version_of(season, code)
    tell("reading")
    analysis = prepare(analysis_of(season, code, version.number), tell)
    done = review(analysis, code, choose(settings=settings), settings.changed, tell)
    store.add_review(season, code, version.number, done)
    return done


def _expected(season: Season, code: str, found: Provenance, settings: Settings) -> Provenance:
    """Return the provenance that a review made now would have, as far as it can be told before."""
    version = version_of(season, code)
    word = store.read_word(season, code, version.number).word
    return replace(
        found,
        sha256=version.sha256,
        redstave=redstave.__version__,
        data_edition=load().edition,
        settings=tuple(
            (slug, name, value)
            for slug, limits in sorted(settings.changed.items())
            for name, value in sorted(limits.items())
        ),
        checks=tuple(check.slug for check in choose(settings=settings)),
        original=store.read_facts(season).original,
        cuts=word.cuts,
        told=told_key(word.pins, word.voices, word.roles),
    )


def _numbered(tell: Tell, at: int, of: int, code: str) -> Tell:
    """Return a teller that says which entry each step belongs to."""
    return lambda step: tell(f"{code} ({at} of {of}): {step}")
