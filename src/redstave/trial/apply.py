"""Apply changes to a Playing: other lines and tones, everything else as it was."""

from collections.abc import Sequence
from dataclasses import replace
from operator import itemgetter

from redstave.base.errors import InputError
from redstave.instruments import InstrumentBook
from redstave.model.change import Change, Level, Step, TakenOver, Technique
from redstave.model.line import LevelPoint, Playing, TechniquePoint, Tone
from redstave.model.score import Bar
from redstave.trial.altering import altering, stepped, with_successors
from redstave.trial.parting import Stretch, altered
from redstave.trial.told import levels_within, techniques_within

ORDER = itemgetter(*map(Tone._fields.index, ("start", "line", "midi", "start_s")))


def apply(
    playing: Playing, changes: Sequence[Change], bars: Sequence[Bar], book: InstrumentBook
) -> Playing:
    """Return what is played when some changes are made, one after the other.

    InputError where a change names a line that is not there, or alters nothing.
    """
    for change in changes:
        playing = _applied(playing, change, bars, book)
    return playing


def _applied(
    playing: Playing, change: Change, bars: Sequence[Bar], book: InstrumentBook
) -> Playing:
    chosen = _indices(playing, change.lines)
    last = bars[change.last]
    stretch = Stretch(
        bars[change.first].start, last.start + last.length, change.first, change.last + 1
    )
    before = playing
    successor: dict[int, int] = {}
    if isinstance(change.what, TakenOver):
        before, successor = with_successors(playing, chosen, change.what)
    alter = altering(change.what, before, successor)
    tones: list[Tone] = []
    for tone in before.tones:
        if tone.line in chosen:
            tones.extend(altered(tone, stretch, alter, before, book))
        else:
            tones.append(tone)
    if tuple(tones) == before.tones:
        raise InputError(_nothing_altered(playing, change, bars))
    tones.sort(key=ORDER)
    return replace(
        before,
        tones=tuple(tones),
        levels=_levels(before, change, stretch),
        techniques=_techniques(before, change, stretch),
    )


def _indices(playing: Playing, ids: Sequence[str]) -> frozenset[int]:
    known = {line.id: index for index, line in enumerate(playing.lines)}
    for one in ids:
        if one not in known:
            raise InputError(f'there is no line "{one}"; the lines are {", ".join(known)}')
    return frozenset(known[one] for one in ids)


def _nothing_altered(playing: Playing, change: Change, bars: Sequence[Bar]) -> str:
    names = ", ".join(line.name for line in playing.lines if line.id in change.lines)
    first, last = bars[change.first].number, bars[change.last].number
    where = f"bar {first}" if change.first == change.last else f"bars {first}-{last}"
    return f"this change alters nothing: in {where} there is nothing of {names} that it could alter"


def _levels(
    playing: Playing, change: Change, stretch: Stretch
) -> dict[str, tuple[LevelPoint, ...]]:
    match change.what:
        case Level(level):
            told = {
                line: levels_within(playing.levels[line], stretch, lambda _: level, True)
                for line in change.lines
            }
        case Step() as step:
            told = {
                line: levels_within(
                    playing.levels[line], stretch, lambda before: stepped(before, step), False
                )
                for line in change.lines
            }
        case _:
            return playing.levels
    return playing.levels | told


def _techniques(
    playing: Playing, change: Change, stretch: Stretch
) -> dict[str, tuple[TechniquePoint, ...]]:
    if not isinstance(change.what, Technique):
        return playing.techniques
    name = change.what.technique
    return playing.techniques | {
        line: techniques_within(playing.techniques.get(line, ()), stretch, name)
        for line in change.lines
    }
