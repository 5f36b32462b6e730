"""From levels, words and hairpins to instructions: set, step, swell, accent."""

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from redstave.model.line import LEVEL_NUMBERS
from redstave.model.score import Part, Score, Span
from redstave.players.page import Aim, Place, shared_between_staves, tick_of
from redstave.players.words import senses, tokens

_ACCENT = re.compile(r"^(?:[sr]f+z?|f+z)$")
_ACCENT_THEN = re.compile(r"^s?(f+|mf)z?(p+)$")
_PLAIN = re.compile(r"^(?:p+|f+|m[pf])$")
_TO = frozenset({"al", "a", "to", "until", "till", "bis", "zum", "zu", "jusqu", "au", "verso"})
SUDDEN = frozenset({"subito", "sub", "plotzlich", "soudain", "suddenly"})
NAMED, MANNER = "named.", "manner."  # of what kind a word is that means a level
NOTHING = 1.0  # niente: the softest level there is
OPEN = -1  # a swell whose end is not printed


class Instruction(NamedTuple):
    """What players are told at one tick.

    `kind`: "set" (value is a level), "bound" (value is the level that a soft one is not to pass, or
    a loud one to reach: "sotto voce"), "step" (value levels up or down), "swell" (value levels up
    or down until `stop`, OPEN when no end is printed), "accent", or "played" (value is a level that
    no page says, estimated from how a played file strikes its tones). `attack` is the level of the
    attack where it differs (fp: 6 before 3); `sudden` is true when nothing may lead up to it;
    `aim` are the lines of the part it is for, None for all; `to` is the level that a swell itself
    names ("cresc. al ff"), 0 where it names none.
    """

    tick: int
    bar: int
    kind: str
    value: float
    cause: str
    stop: int = OPEN
    attack: float = 0.0
    sudden: bool = False
    aim: Aim = None
    to: float = 0.0

    @property
    def goal(self) -> float:
        """The level a swell before this instruction leads to."""
        return self.attack or self.value


def instructions(
    score: Score, part: Part, read: Sequence[Place], aims: Mapping[str, Aim]
) -> dict[int, tuple[Instruction, ...]]:
    """Return the instructions of a part by stave, sorted by time; staves count from 1.

    `read` are the part's levels and words by place; `aims` gives the lines that a mark or hairpin
    (id) is for where it is not for all.
    """
    found: dict[int, list[Instruction]] = defaultdict(list)
    dashes = _dash_ends(score, part)
    for place in read:
        for instruction in _of_place(place, dashes, score.ticks_per_quarter):
            found[place.stave].append(instruction)
    for stave, instruction in _hairpins(score, part, aims):
        found[stave].append(instruction)
    return _for_all_staves(part, found)


def _for_all_staves(
    part: Part, found: dict[int, list[Instruction]]
) -> dict[int, tuple[Instruction, ...]]:
    own = {stave: {one.bar for one in ones} for stave, ones in found.items()}
    spread: dict[int, list[Instruction]] = {stave: [] for stave in range(1, part.staves + 1)}
    for stave, ones in found.items():
        for one in ones:
            for target in shared_between_staves(part.staves, own, stave, one.bar):
                spread.setdefault(target, []).append(one)
    return {stave: tuple(sorted(ones, key=_order)) for stave, ones in spread.items()}


def for_line(
    told: Mapping[int, tuple[Instruction, ...]], line: int
) -> dict[int, tuple[Instruction, ...]]:
    """Return the instructions by stave that are for one line of the part (its index)."""
    return {
        stave: tuple(one for one in ones if one.aim is None or line in one.aim)
        for stave, ones in told.items()
    }


def _order(instruction: Instruction) -> tuple[int, int, str]:
    """At one tick a level comes before the swell that starts from it."""
    return instruction.tick, instruction.kind == "swell", instruction.cause


def _of_place(
    place: Place, dashes: dict[int, list[tuple[int, int]]], quarter: int
) -> Iterator[Instruction]:
    sudden = _is_sudden(place.text)
    for kind, value, level in read_levels(place.text):
        told = Instruction(
            place.tick, place.bar, kind, value, place.cause, sudden=sudden, aim=place.aim
        )
        if kind == "swell":
            stop = _dash_end(dashes.get(place.stave, []), place.tick, quarter)
            yield told._replace(stop=stop, to=level)
        else:
            yield told._replace(attack=level)


@lru_cache(maxsize=20_000)
def _is_sudden(text: str) -> bool:
    return any(word.lower() in SUDDEN for word in tokens(text))


@lru_cache(maxsize=20_000)
def read_levels(text: str) -> tuple[tuple[str, float, float], ...]:
    """Return the instructions in a text such as "sempre pp" or "sfp": (kind, value, level).

    `level` is that of the attack where it differs, of a swell the one it names as its goal, else 0.
    """
    read: list[_Read] = []
    taken: set[int] = set()
    strong = any(sense.meaning == "strong" for sense in senses(text, "level"))
    for sense in senses(text, "level"):
        taken.update(range(sense.position, sense.position + sense.words))
        if meaning := _meaning(sense.meaning, 2.0 if strong else 1.0):
            read.append(_Read(sense.position, *meaning))
    words = [word.lower() for word in tokens(text)]
    for position, word in enumerate(tokens(text)):
        if position not in taken:
            read.extend(_Read(position, *one) for one in _of_letters(word))
    return tuple(one[1:] for one in _with_goals(sorted(_by_letters(read)), words))


class _Read(NamedTuple):
    """One instruction read from the word at a position of a text."""

    position: int
    kind: str
    value: float
    level: float


def _by_letters(read: Sequence[_Read]) -> Sequence[_Read]:
    """Leave out what words say of the strength ("sotto voce") where letters say how loud."""
    if any(one.kind == "set" for one in read):
        return [one for one in read if one.kind != "bound"]
    return read


def _with_goals(read: Sequence[_Read], words: Sequence[str]) -> list[_Read]:
    """Join a swell and the level it leads to: "cresc. al ff", "dim. al niente"."""
    joined: list[_Read] = []
    for one in read:
        before = joined[-1] if joined else None
        leads = not _TO.isdisjoint(words[max(0, one.position - 1) : one.position + 1])
        if before is not None and before.kind == "swell" and one.kind == "set" and leads:
            joined[-1] = before._replace(level=one.value)
        else:
            joined.append(one)
    return joined


def _meaning(sense: str, steps: float) -> tuple[str, float, float] | None:
    if sense.startswith((NAMED, MANNER)):
        kind = "set" if sense.startswith(NAMED) else "bound"
        return kind, float(LEVEL_NUMBERS[sense.partition(".")[2]]), 0.0
    return {
        "louder": ("step", 1.0, 0.0),
        "softer": ("step", -1.0, 0.0),
        "growing": ("swell", steps, 0.0),
        "fading": ("swell", -steps, 0.0),
        "accent": ("accent", 0.0, 0.0),
    }.get(sense)


def _of_letters(word: str) -> tuple[tuple[str, float, float], ...]:
    """Read letters that are no whole word of the vocabulary: sf, fz, rfz, fp, sfp, pppp, ffff."""
    if _ACCENT.match(word):
        return (("accent", 0.0, 0.0),)
    if match := _ACCENT_THEN.match(word):
        attack = _number(match[1])
        return ("accent", 0.0, 0.0), ("set", _number(match[2]), attack)
    if _PLAIN.match(word):
        return (("set", _number(word), 0.0),)
    if word == "pf":  # poco forte
        return (("set", 5.0, 0.0),)
    if word == "n":  # niente
        return (("set", NOTHING, 0.0),)
    return ()


def _number(letters: str) -> float:
    if letters in LEVEL_NUMBERS:
        return float(LEVEL_NUMBERS[letters])
    return 1.0 if letters.startswith("p") else 8.0


def _hairpins(
    score: Score, part: Part, aims: Mapping[str, Aim]
) -> Iterator[tuple[int, Instruction]]:
    for span in part.spans_of("hairpin"):
        if span.start is None:
            continue
        direction = -1.0 if span.name.startswith("dim") else 1.0
        stop = OPEN if span.stop is None else tick_of(score, span.stop)
        start = tick_of(score, span.start)
        if stop != OPEN and stop <= start:
            continue
        bar, stave = span.start.bar, span.start.stave or 1
        told = Instruction(start, bar, "swell", direction, span.id, stop, aim=aims.get(span.id))
        if from_nothing(span):
            yield stave, told._replace(kind="set", value=NOTHING, stop=OPEN)
        yield stave, told._replace(to=NOTHING) if to_nothing(span) else told


def from_nothing(span: Span) -> bool:
    """Whether a circle stands at the point of a crescendo (MusicXML 4.0, `niente`)."""
    return span.name == "crescendo" and ("niente", "yes") in span.attributes


def to_nothing(span: Span) -> bool:
    """Whether a circle stands at the point of a diminuendo."""
    return span.name == "diminuendo" and ("stop-niente", "yes") in span.attributes


def _dash_ends(score: Score, part: Part) -> dict[int, list[tuple[int, int]]]:
    """Return the dashes of each stave as (start, stop) in ticks."""
    found: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for span in part.spans_of("dashes"):
        if span.start is not None and span.stop is not None:
            ends = tick_of(score, span.start), tick_of(score, span.stop)
            found[span.start.stave or 1].append(ends)
    return found


def _dash_end(dashes: list[tuple[int, int]], tick: int, quarter: int) -> int:
    """Return where the dashes after a word end; they begin within two quarters of it."""
    ends = [stop for start, stop in dashes if tick <= start <= tick + 2 * quarter and stop > tick]
    return min(ends, default=OPEN)
