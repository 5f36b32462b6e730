"""What each kind of change does to one tone inside its bars."""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from redstave.model.change import (
    Alteration,
    LeftOut,
    Level,
    Octave,
    Players,
    Step,
    TakenOver,
    Technique,
)
from redstave.model.line import Line, Playing, TechniquePoint, Tone
from redstave.trial.parting import Alter


def altering(what: Alteration, playing: Playing, successor: Mapping[int, int]) -> Alter:
    """Return the function that alters a tone; it returns None for a tone that is left out.

    `successor` gives the line (index) that takes over from each line.
    """
    match what:
        case Level(level):
            return lambda tone: tone._replace(level=level, level_stop=level, level_known=True)
        case Step():
            return lambda tone: tone._replace(
                level=stepped(tone.level, what), level_stop=stepped(tone.level_stop, what)
            )
        case Players(players):
            share, together = division(playing.lines), sounding_together(playing.tones)
            return lambda tone: tone._replace(
                players=max(1.0, players * share[tone.line] / together(tone))
            )
        case LeftOut():
            return lambda _: None
        case Octave(octaves):
            return lambda tone: tone._replace(midi=_moved(tone, octaves))
        case Technique(technique):
            return lambda tone: tone._replace(technique=technique)
        case TakenOver():
            return lambda tone: _taken_over(tone, what, playing, successor)


def division(lines: Sequence[Line]) -> tuple[float, ...]:
    """Return for each line which share of its section's players it has: 1 where it is whole."""
    whole = {line.id: line for line in lines}
    return tuple(
        line.players / whole[line.of].players if line.of and line.section else 1.0 for line in lines
    )


def sounding_together(tones: Sequence[Tone]) -> Callable[[Tone], int]:
    """Return the function that counts the notes of a tone's line that sound where it starts."""
    starts: dict[int, list[int]] = defaultdict(list)
    stops: dict[int, list[int]] = defaultdict(list)
    for tone in tones:
        if tone.stop > tone.start:
            starts[tone.line].append(tone.start)
            stops[tone.line].append(tone.stop)
    for ends in (*starts.values(), *stops.values()):
        ends.sort()

    def count(tone: Tone) -> int:
        begun = bisect_right(starts[tone.line], tone.start)
        return max(1, begun - bisect_right(stops[tone.line], tone.start))

    return count


def stepped(level: float, step: Step) -> float:
    """Return a level after a step, within the bounds of the step."""
    if step.steps < 0.0:
        return max(level + step.steps, min(level, step.softest))
    return min(level + step.steps, max(level, step.loudest))


def _moved(tone: Tone, octaves: int) -> float:
    return tone.midi if tone.unpitched else tone.midi + 12.0 * octaves


def _taken_over(
    tone: Tone, what: TakenOver, playing: Playing, successor: Mapping[int, int]
) -> Tone:
    same_family = playing.lines[tone.line].family == what.family
    return tone._replace(
        line=successor[tone.line],
        midi=_moved(tone, what.octaves),
        players=float(what.players),
        technique=tone.technique if same_family else "",
    )


def with_successors(
    playing: Playing, chosen: frozenset[int], what: TakenOver
) -> tuple[Playing, dict[int, int]]:
    """Add a line of the new instrument for each chosen line; return which takes over from which."""
    lines, levels, techniques = list(playing.lines), dict(playing.levels), dict(playing.techniques)
    successor = {}
    for index in sorted(chosen):
        line = _successor(playing.lines[index], what, set(levels))
        successor[index] = len(lines)
        lines.append(line)
        levels[line.id] = levels[playing.lines[index].id]
        techniques[line.id] = (TechniquePoint(0),)
    return replace(playing, lines=tuple(lines), levels=levels, techniques=techniques), successor


def _successor(old: Line, what: TakenOver, taken: set[str]) -> Line:
    id_ = f"{old.id}.{what.instrument}"
    while id_ in taken:
        id_ += "+"
    return Line(
        id=id_,
        name=f"{what.name} for {old.name}",
        part=old.part,
        instrument=what.instrument,
        family=what.family,
        numbers=(),
        players=what.players,
        section=what.section,
    )
