"""The teacher's own remarks: at any place, changed, put in order, with a trial beside them."""

from collections.abc import Iterable
from dataclasses import fields, replace
from typing import Any

from redstave import store
from redstave.analysis import Analysis
from redstave.app.hear import bar_range_of, printed
from redstave.app.requests import requests_of
from redstave.app.trials import try_changes
from redstave.app.wordings import place_of
from redstave.base.errors import InputError
from redstave.model.finding import Spot
from redstave.model.remark import Heard, LinkedTrial, Remark, RemarkKind
from redstave.model.score import Part, Score
from redstave.model.season import KeptRemark
from redstave.store import Season

Json = dict[str, Any]

SILENT, SILENT_DB = "silent", -99.0  # of a line that gives the ear nothing, as in `trials`
LOUDEST_CHANGE = 12  # rows of a trial that a remark keeps; the ones that change most come first


def own_remark(
    season: Season,
    code: str,
    score: Score,
    text: str,
    kind: RemarkKind,
    bars: str = "",
    staves: str = "",
    notes: tuple[str, ...] = (),
    by: str = "",
    **more: Any,
) -> Remark:
    """Add a remark of the teacher's own and return it.

    Its place are `bars` as printed ("14-16"), `staves` by the names of parts ("Oboe 1, Violas"; a
    part's second stave is "Harp/2"), or the ids of `notes`; nothing of these is the whole piece.
    `more` are further fields of a Remark, such as `criterion`, `why`, `way_out` and `weight`.
    """
    if not text.strip():
        raise InputError("a remark needs words; give them")
    spots = spots_at(score, bars, staves, notes)
    number = store.read_entry(season, code).newest.number
    draft = Remark("", kind, text, spots, place_of(spots, score), version=number, **more)
    _check_criterion(season, draft)
    return store.add_remark(season, code, draft, by)


def spots_at(
    score: Score, bars: str = "", staves: str = "", notes: tuple[str, ...] = ()
) -> tuple[Spot, ...]:
    """Return the spots of a place; bars without staves are one spot of no part (the whole page)."""
    if notes:
        return tuple(_spots_of_notes(score, notes))
    if not bars and not staves:
        return ()
    first, last = bar_range_of(score, bars)
    if not staves:
        return (Spot(first, 0, "", 0, last),)
    return tuple(Spot(first, 0, part, stave, last) for part, stave in _staves(score, staves))


def change_remark(season: Season, code: str, remark: Remark, by: str = "") -> Remark:
    """Keep a changed remark as its next revision; StaleError where it was changed meanwhile."""
    if not remark.text.strip():
        raise InputError("a remark needs words; withdraw it if it is to go")
    _check_criterion(season, remark)
    return store.revise_remark(season, code, remark, by)


def link_trial(
    season: Season, code: str, analysis: Analysis, remark: Remark, changes: str, by: str = ""
) -> Remark:
    """Try changes (the text of a file of them) and put before and after beside a remark.

    Nothing to try takes a trial away.
    """
    trial = trial_of(analysis, changes) if changes.strip() else None
    return store.revise_remark(season, code, replace(remark, trial=trial), by)


def trial_of(analysis: Analysis, changes: str) -> LinkedTrial:
    """Run changes and return them in words with what the hall hears before and after."""
    tried: Json = try_changes(analysis, requests_of(changes, "the changes"))
    words = tuple(one["text"] for one in tried["changes"]["each"])
    rows = sorted((_heard(line) for line in tried["lines"]), key=_quiet_change)
    return LinkedTrial(changes, words, tuple(rows[:LOUDEST_CHANGE]))


def remark_json(kept: KeptRemark, score: Score | None = None) -> Json:
    """Return a remark as plain data; see docs/json.md. Bars are printed ones where `score` is."""
    one = kept.remark
    data: Json = {
        field.name: getattr(one, field.name)
        for field in fields(one)
        if field.name not in ("spots", "trial")
    }
    data |= {"kind": str(one.kind), "weight": str(one.weight)}
    data["places"] = [_place(spot, score) for spot in one.spots]
    data["trial"] = one.trial and {
        "changes": one.trial.changes,
        "words": list(one.trial.words),
        "heard": [row._asdict() for row in one.trial.heard],
    }
    return data | {"withdrawn": kept.withdrawn, "at": kept.at, "by": kept.by}


def _place(spot: Spot, score: Score | None) -> Json:
    def bar(index: int) -> int | str:
        return printed(score.bars[index].number) if score else index

    return {
        "bar": bar(spot.bar),
        "last_bar": bar(spot.last_bar),
        "part": spot.part,
        "stave": spot.stave,
        "notes": list(spot.notes),
    }


def _heard(line: Json) -> Heard:
    before, after = (
        line[key] or {"margin_db": SILENT_DB, "sd_db": 0.0, "state": SILENT}
        for key in ("before", "after")
    )
    sigma = max(before["sd_db"], after["sd_db"])
    return Heard(
        line["line"], before["margin_db"], after["margin_db"], sigma,
        before["state"], after["state"],
    )  # fmt: skip


def _quiet_change(row: Heard) -> tuple[bool, float]:
    """Sort rows whose state changes first, then by how much their margin does."""
    return row.before == row.after, -abs(row.after_db - row.before_db)


def _spots_of_notes(score: Score, notes: Iterable[str]) -> Iterable[Spot]:
    parts = {note.id: part for part in score.parts for note in part.notes}
    for name in dict.fromkeys(notes):
        if name not in parts:
            raise InputError(f'there is no note "{name}" in this score; ids are as in "facts"')
        note = score.notes_by_id[name]
        yield Spot(note.bar, note.offset, parts[name].id, note.stave, note.bar, (name,))


def _staves(score: Score, text: str) -> list[tuple[str, int]]:
    found: list[tuple[str, int]] = []
    for word in filter(None, (one.strip() for one in text.split(","))):
        name, _, number = word.partition("/")
        parts = _called(score, name)
        if not parts:
            names = ", ".join(dict.fromkeys(part.name or part.id for part in score.parts))
            raise InputError(f'no stave here is called "{name}"; there are {names}')
        for part in parts:
            wanted = range(1, part.staves + 1)
            if number:
                if not number.isdecimal() or int(number) not in wanted:
                    raise InputError(f"{part.name} has {part.staves} stave(s), no number {number}")
                wanted = range(int(number), int(number) + 1)
            found += [(part.id, stave) for stave in wanted]
    return list(dict.fromkeys(found))


def _called(score: Score, name: str) -> list[Part]:
    """Return the parts of a name: exactly so called, else whose name begins with it ("Horns")."""
    wanted = _folded(name)
    for fits in (_is_called, _begins_with):
        for words in dict.fromkeys((wanted, wanted.removesuffix("s"))):
            found = [part for part in score.parts if words and fits(part, words)]
            if found:
                return found
    return []


def _is_called(part: Part, words: str) -> bool:
    return words in map(_folded, (part.id, part.name, part.abbreviation))


def _begins_with(part: Part, words: str) -> bool:
    return f"{_folded(part.name)} ".startswith(f"{words} ")


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())


def _check_criterion(season: Season, remark: Remark) -> None:
    known = [one.key for one in store.read_criteria(season).criteria]
    if remark.criterion and remark.criterion not in known:
        raise InputError(
            f'there is no criterion "{remark.criterion}" in this season; they are '
            f"{', '.join(known)}"
        )
