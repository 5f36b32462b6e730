"""The marks of one part in the order of time, gathered by stave and place.

Marks printed at one place of one stave are read together, because a direction is often split:
"sempre" and "pp", "più" and "f", "p" and "subito".
"""

from collections import defaultdict
from collections.abc import Mapping
from typing import NamedTuple

from redstave.model.score import Anchor, Mark, Note, Part, Score

Aim = frozenset[int] | None  # the lines of a part (indices) a mark is for, None for all of them
_NOBODY_ELSE: Mapping[str, Aim] = {}
_WITHIN = ("within", "words")  # a level drawn inside a word is read with the word
# Signs drawn over the stave that say what a word says. MusicXML 4.0 has an element of its own for
# mutes; <symbol> names a character of SMuFL.
_MUTES = {"on": "con sord.", "off": "senza sord."}
_SYMBOLS = {"stringsMuteOn": _MUTES["on"], "stringsMuteOff": _MUTES["off"]}


class Place(NamedTuple):
    """All levels and words printed at one place of one stave; `text` joins them as they stand."""

    tick: int
    bar: int
    stave: int
    text: str
    cause: str  # id of the first level mark, or of the first word
    words: tuple[str, ...]  # each printed word or phrase by itself
    aim: Aim = None


def places(score: Score, part: Part, aims: Mapping[str, Aim] = _NOBODY_ELSE) -> tuple[Place, ...]:
    """Return the levels and words of a part by place, sorted by time and stave.

    `aims` gives the lines that a mark (id) is for where it is not for all: "p" above the upper of
    two voices. Marks of one place that are for different players are read apart.
    """
    gathered: dict[tuple[int, int, Aim], list[Mark]] = defaultdict(list)
    for mark in part.marks_of("word", "level", "other"):
        if sign_word(mark) if mark.kind == "other" else _WITHIN not in mark.attributes:
            tick = score.bars[mark.bar].start + mark.offset
            gathered[tick, mark.stave or 1, aims.get(mark.id)].append(mark)
    return tuple(
        _place(tick, stave, marks, aim)
        for (tick, stave, aim), marks in sorted(gathered.items(), key=lambda item: item[0][:2])
    )


def _place(tick: int, stave: int, marks: list[Mark], aim: Aim) -> Place:
    levels = [mark for mark in marks if mark.kind == "level"]
    cause = (levels or marks)[0].id
    text = " ".join(spelled(mark) for mark in marks)
    words = tuple(spelled(mark) for mark in marks if mark.kind != "level")
    return Place(tick, marks[0].bar, stave, text, cause, words, aim)


def spelled(mark: Mark) -> str:
    """Return a level mark, a word or a sign as text."""
    if mark.kind == "level" and mark.name != "other-dynamics":
        return mark.name
    return mark.text if mark.kind != "other" else sign_word(mark)


def sign_word(mark: Mark) -> str:
    """Return the word that a sign over the stave stands for, "" where it stands for none."""
    if mark.name == "string-mute":
        return _MUTES.get(dict(mark.attributes).get("type", ""), "")
    return _SYMBOLS.get(mark.text.strip(), "") if mark.name == "symbol" else ""


def tick_of(score: Score, anchor: Anchor | Mark | Note) -> int:
    """Return the position of anything that has a place, in ticks from the start."""
    return score.bars[anchor.bar].start + anchor.offset


def is_played(note: Note) -> bool:
    """Whether someone is to play this note: neither rest, cue nor hidden.

    Hidden notes are left out because files use them for technical ends (to space a bar, to write
    out a tremolo for playback); a player sees nothing.
    """
    return note.kind != "rest" and not note.cue and not note.hidden


def shared_between_staves(staves: int, own: dict[int, set[int]], stave: int, bar: int) -> list[int]:
    """Return the staves for which an instruction on `stave` in `bar` holds.

    A part on several staves reads one instruction for all of them, unless another stave has an
    instruction of its own in the same bar. `own` holds the bars with instructions of each stave.
    """
    others = [other for other in range(1, staves + 1) if other != stave]
    return [stave, *(other for other in others if bar not in own.get(other, ()))]
