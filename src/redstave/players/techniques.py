"""Techniques in force: what the words and the signs on the notes tell a player to do.

Words last until another word cancels them; signs hold for their note. One tone has one technique,
the first that applies of: stopped, pizz, col-legno, harmonic, mute, tremolo. Everything in force is
kept in the TechniquePoints.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Sequence

from redstave.model.line import TechniquePoint
from redstave.model.score import Note, Part, Score
from redstave.players.page import Place, places, shared_between_staves
from redstave.players.words import senses

# Words that only string players read, and words that only brass players read: copied into another
# stave they are a slip of the pen and change nothing.
_STRINGS_ONLY = frozenset({"pizz", "arco", "col-legno", "sul-ponticello", "sul-tasto"})
_BRASS_ONLY = frozenset({"stopped", "unstopped"})
_MUTED_FAMILIES = frozenset({"strings", "brass", "unknown"})
ChordKey = tuple[int, int, int, str, bool]
_SIGNS = {"stopped": "stopped", "harmonic": "harmonic", "snap-pizzicato": "pizz"}


def technique_points(
    score: Score, part: Part, family: str
) -> dict[int, tuple[TechniquePoint, ...]]:
    """Return what is in force by words on each stave of a part, by time."""
    told: dict[int, list[tuple[Place, tuple[str, ...]]]] = defaultdict(list)
    own: dict[int, set[int]] = defaultdict(set)
    for place in places(score, part):
        meanings = tuple(one for one in read_techniques(place.text) if _concerns(one, family))
        if meanings:
            told[place.stave].append((place, meanings))
            own[place.stave].add(place.bar)
    spread: dict[int, list[tuple[Place, tuple[str, ...]]]] = defaultdict(list)
    for stave, ones in told.items():
        for place, meanings in ones:
            for target in shared_between_staves(part.staves, own, stave, place.bar):
                spread[target].append((place, meanings))
    return {stave: _points(spread[stave]) for stave in range(1, part.staves + 1)}


def read_techniques(text: str) -> tuple[str, ...]:
    """Return the techniques named in a text, in its order."""
    return tuple(sense.meaning for sense in senses(text, "technique"))


def _concerns(meaning: str, family: str) -> bool:
    if meaning in _STRINGS_ONLY:
        return family in {"strings", "unknown"}
    if meaning in _BRASS_ONLY:
        return family in {"brass", "unknown"}
    if meaning in {"mute", "unmute"}:
        return family in _MUTED_FAMILIES
    return True


def _points(told: Sequence[tuple[Place, tuple[str, ...]]]) -> tuple[TechniquePoint, ...]:
    points = [TechniquePoint(0)]
    for place, meanings in sorted(told, key=lambda one: (one[0].tick, one[0].stave)):
        point = points[-1]._replace(tick=place.tick, cause=place.cause)
        for meaning in meanings:
            point = _changed(point, meaning)
        points.append(point)
    return tuple(points)


def _changed(point: TechniquePoint, meaning: str) -> TechniquePoint:
    match meaning:
        case "pizz" | "col-legno":
            return point._replace(bow=meaning, tremolo=False)
        case "arco":
            return point._replace(bow="")
        case "mute" | "unmute":
            return point._replace(mute=meaning == "mute")
        case "sul-ponticello" | "sul-tasto":
            return point._replace(place=meaning)
        case "ordinary":
            return point._replace(bow="", place="", tremolo=False, stopped=False, flutter=False)
        case "tremolo" | "untremolo":
            return point._replace(tremolo=meaning == "tremolo")
        case "stopped" | "unstopped":
            return point._replace(stopped=meaning == "stopped")
        case "flutter":
            return point._replace(flutter=True)
    return point


def technique_at(points: Sequence[TechniquePoint], tick: int) -> TechniquePoint:
    """Return what is in force by words at a tick."""
    return points[bisect_right(points, tick, key=lambda point: point.tick) - 1]


def note_signs(part: Part) -> dict[str, str]:
    """Return the technique that signs give to single notes, by note id."""
    signs: dict[str, str] = {}
    for mark in part.marks:
        if not mark.note:
            continue
        if mark.kind == "technical" and mark.name in _SIGNS:
            signs[mark.note] = _SIGNS[mark.name]
        elif mark.kind == "tremolo":
            signs.setdefault(mark.note, "tremolo")
    return signs


def chord_key(note: Note) -> ChordKey:
    """Return what the notes of one chord share; a sign on one of them is for all."""
    return note.bar, note.offset, note.stave, note.voice, note.grace


def one_technique(point: TechniquePoint, sign: str) -> str:
    """Return the one technique of a tone; "" is ordinary playing."""
    if sign in {"stopped", "pizz"}:
        return sign
    if point.stopped:
        return "stopped"
    if point.bow:
        return point.bow
    if sign == "harmonic":
        return sign
    if point.mute:
        return "mute"
    return "tremolo" if point.tremolo or sign == "tremolo" else ""
