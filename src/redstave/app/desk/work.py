"""What the teacher does at the desk: decides on findings, writes remarks, takes them back."""

from dataclasses import dataclass, replace
from typing import TypeVar

from redstave import store
from redstave.app import judging
from redstave.app.desk.opened import Opened
from redstave.app.wordings import place_of
from redstave.base.errors import InputError
from redstave.model.finding import Spot
from redstave.model.remark import Remark, RemarkKind, Weight
from redstave.model.season import Stage
from redstave.store import Season

Given = TypeVar("Given", str, RemarkKind, Weight)


@dataclass(frozen=True, slots=True)
class Place:
    """Where an own remark stands: bars (indices, both included), part (id) and stave, notes (ids).

    No part: the whole page in those bars.
    """

    first: int
    last: int
    part: str = ""
    stave: int = 1
    notes: tuple[str, ...] = ()


def accept(season: Season, opened: Opened, key: str, text: str = "") -> Remark:
    """Make a remark of a finding, in the teacher's words where he gives any."""
    wish = judging.Wish(text=text)
    made = judging.accept(season, opened.code, key, opened.review, opened.analysis.score, wish)
    reading_begun(season, opened.code)
    return made


def dismiss(season: Season, opened: Opened, key: str, reason: str) -> None:
    """Dismiss a finding with a reason."""
    judging.dismiss(season, opened.code, key, opened.review, reason)
    reading_begun(season, opened.code)


def join(season: Season, opened: Opened, key: str, remark: str) -> Remark:
    """Put a finding into a remark that stands already, with its places."""
    made = judging.merge(season, opened.code, [key], opened.review, opened.analysis.score, remark)
    reading_begun(season, opened.code)
    return made


def reopen(season: Season, opened: Opened, key: str) -> None:
    """Take the decision on a finding back."""
    judging.reopen(season, opened.code, key, opened.review)


def write_remark(
    season: Season, opened: Opened, kind: RemarkKind, text: str, place: Place | None
) -> Remark:
    """Write the teacher's own remark at a place; no place: on the whole piece."""
    if not text.strip():
        raise InputError("a remark needs at least a word")
    score = opened.analysis.score
    spots = _spots(opened, place) if place else ()
    version = store.read_entry(season, opened.code).newest.number
    remark = Remark("", kind, text.strip(), spots, place_of(spots, score), version=version)
    made = store.add_remark(season, opened.code, remark)
    reading_begun(season, opened.code)
    return made


@dataclass(frozen=True, slots=True)
class Rewording:
    """What is to change of a remark; what is None stays as it is."""

    text: str | None = None
    why: str | None = None
    way_out: str | None = None
    kind: RemarkKind | None = None
    weight: Weight | None = None
    criterion: str | None = None


def reword(season: Season, code: str, remark: str, revision: int, rewording: Rewording) -> Remark:
    """Change a remark that was read at `revision`; StaleError with both texts if it moved on."""
    if rewording.text is not None and not rewording.text.strip():
        raise InputError("a remark needs at least a word; take it back if it is to go")
    before = store.read_remark(season, code, remark).remark
    changed = replace(
        before,
        revision=revision,
        text=_given(rewording.text, before.text),
        why=_given(rewording.why, before.why),
        way_out=_given(rewording.way_out, before.way_out),
        kind=_given(rewording.kind, before.kind),
        weight=_given(rewording.weight, before.weight),
        criterion=_given(rewording.criterion, before.criterion),
    )
    return store.revise_remark(season, code, changed)


def _given(new: Given | None, old: Given) -> Given:
    return old if new is None else new


def take_back(season: Season, code: str, remark: str, revision: int) -> None:
    """Take a remark of the teacher's own out of the letter; it stays in the season."""
    store.withdraw_remark(season, code, remark, revision)


def spent(season: Season, code: str, seconds: float) -> None:
    """Count time that the teacher has spent on an entry."""
    store.add_seconds(season, code, seconds)


def being_read(season: Season) -> str:
    """Return the code of the first entry that is in reading, "" where none is."""
    entries = store.read_entries(season)
    return next((one.code for one in entries if one.stage is Stage.READING), "")


def _spots(opened: Opened, place: Place) -> tuple[Spot, ...]:
    score = opened.analysis.score
    if not 0 <= place.first <= place.last < len(score.bars):
        raise InputError(f"the score has {len(score.bars)} bars; there is no such place")
    if place.part and place.part not in score.parts_by_id:
        raise InputError("no such part stands in this score")
    strange = [name for name in place.notes if name not in score.notes_by_id]
    if strange:
        raise InputError("the remark is to stand at a note that is not in this score")
    if not place.part:
        return (Spot(place.first, 0, "", 0, place.last),)
    return (Spot(place.first, 0, place.part, place.stave, place.last, place.notes),)


def reading_begun(season: Season, code: str) -> None:
    """Note that the teacher has begun to read an entry."""
    if store.read_entry(season, code).stage in (Stage.NEW, Stage.COMPUTED):
        store.set_stage(season, code, Stage.READING)
