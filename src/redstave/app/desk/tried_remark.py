"""A trial turned into a remark, or put beside one that is there."""

from collections.abc import Sequence

from redstave import store
from redstave.analysis import Analysis
from redstave.app.desk.opened import Opened
from redstave.app.desk.tryout import changes_file
from redstave.app.desk.work import reading_begun
from redstave.app.remarks import link_trial, trial_of
from redstave.app.requests import Request, changes_of
from redstave.app.wordings import place_of
from redstave.base.errors import InputError
from redstave.model.change import Change
from redstave.model.finding import Spot
from redstave.model.remark import Remark, RemarkKind
from redstave.store import Season


def remark_of_trial(
    season: Season, opened: Opened, wishes: Sequence[Request], kind: RemarkKind, text: str
) -> Remark:
    """Write a remark where the changes are, with what is heard before and after beside it."""
    if not text.strip():
        raise InputError("a remark needs at least a word")
    analysis = opened.analysis
    spots = _spots(analysis, [one for wish in wishes for one in changes_of(wish, analysis)])
    trial = trial_of(analysis, changes_file(wishes))
    draft = Remark(
        id="",
        kind=kind,
        text=text.strip(),
        spots=spots,
        place=place_of(spots, analysis.score),
        way_out=_sentence(trial.words) if kind is not RemarkKind.PRAISE else "",
        trial=trial,
        version=store.read_entry(season, opened.code).newest.number,
    )
    made = store.add_remark(season, opened.code, draft)
    reading_begun(season, opened.code)
    return made


def trial_beside(season: Season, opened: Opened, remark: str, wishes: Sequence[Request]) -> Remark:
    """Put what is heard before and after beside a remark that is there."""
    before = store.read_remark(season, opened.code, remark).remark
    return link_trial(season, opened.code, opened.analysis, before, changes_file(wishes))


def _spots(analysis: Analysis, changes: Sequence[Change]) -> tuple[Spot, ...]:
    """Return the places of changes: their bars on the staves of those who are told otherwise."""
    part_of = {line.id: line.part for line in analysis.playing.lines}
    places = {(one.first, part_of[line], one.last) for one in changes for line in one.lines}
    order = [part.id for part in analysis.score.parts]
    found = [Spot(first, 0, part, 1, last) for first, part, last in places]
    return tuple(sorted(found, key=lambda spot: (spot.bar, order.index(spot.part))))


def _sentence(words: Sequence[str]) -> str:
    """Return clauses of changes as one sentence."""
    later = [one[:1].lower() + one[1:] for one in words[1:]]
    return f"{', and '.join([*words[:1], *later])}."
