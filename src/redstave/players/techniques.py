"""Techniques in force: what the words and the signs on the notes tell a player to do.

Words last until another word cancels them, through rests of any length; signs hold for their note.
One tone has one technique, the first that applies of: stopped, pizz, col-legno, harmonic, mute,
flutter, tremolo. Everything in force is kept in the TechniquePoints.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import zip_longest
from typing import Any, NamedTuple

from redstave.model.line import TechniquePoint
from redstave.model.score import Part
from redstave.players.page import Place, shared_between_staves
from redstave.players.words import senses, tokens

STRINGS_NAMED = {
    "string-g": "G", "string-d": "D", "string-a": "A", "string-e": "E", "string-c": "C",
    "string-1": "1", "string-2": "2", "string-3": "3", "string-4": "4",
}  # fmt: skip
MUTES = frozenset({"straight", "cup", "harmon", "plunger", "bucket", "practice"})
_MUTED = MUTES | {"mute"}
# Before or behind the bare name of a mute these take it off: "via le sord.", "cup mute off".
_OFF_BEFORE = frozenset({
    "senza", "ohne", "sans", "without", "via", "otez", "oter", "enlevez", "enlever", "togliere",
    "levare", "levate", "leva", "remove",
})  # fmt: skip
_OFF_BEHIND = frozenset({"off", "out", "away", "otees"})
_ON = frozenset({"con", "mit", "avec", "with", "muted", "gedampft", "mettez", "mettre", "mettere"})
# Words that only some families read: copied into another stave they are a slip of the pen and
# change nothing.
_READERS = {
    "strings": {"pizz", "arco", "col-legno", "sul-ponticello", "sul-tasto", *STRINGS_NAMED},
    "brass": {"stopped", "unstopped", "open", *(MUTES - {"practice"})},
    "harp": {"near-the-table"},
    "percussion": {"snares", "no-snares"},
}
_ONLY = {meaning: family for family, meanings in _READERS.items() for meaning in meanings}
_SHARED = {
    "mute": {"strings", "brass"},
    "unmute": {"strings", "brass"},
    "practice": {"strings", "brass"},
    "let-ring": {"harp", "percussion", "keyboard", "strings"},
    "damped": {"harp", "percussion", "keyboard"},
    "flutter": {"woodwind", "brass"},
}
_ALWAYS = frozenset({"sempre", "immer", "toujours", "always", "sons"})


class Said(NamedTuple):
    """The techniques named at one place."""

    place: Place
    meanings: tuple[str, ...]


def said(part: Part, family: str, read: Sequence[Place]) -> dict[int, tuple[Said, ...]]:
    """Return the words of technique that hold for each stave of a part, by time.

    `read` are the part's levels and words by place.
    """
    told: dict[int, list[Said]] = defaultdict(list)
    own: dict[int, set[int]] = defaultdict(set)
    for place in read:
        meanings = tuple(one for one in read_techniques(place.text) if _concerns(one, family))
        if meanings:
            told[place.stave].append(Said(place, meanings))
            own[place.stave].add(place.bar)
    spread: dict[int, list[Said]] = {stave: [] for stave in range(1, part.staves + 1)}
    for stave, ones in told.items():
        for one in ones:
            for target in shared_between_staves(part.staves, own, stave, one.place.bar):
                spread.setdefault(target, []).append(one)
    return {stave: tuple(sorted(ones, key=_when)) for stave, ones in spread.items()}


def _when(one: Said) -> tuple[int, int]:
    return one.place.tick, one.place.stave


@lru_cache(maxsize=20_000)
def read_techniques(text: str) -> tuple[str, ...]:
    """Return the techniques named in a text, in its order."""
    words = [word.lower() for word in tokens(text)]
    found = senses(text, "technique")
    read, end = [], 0
    for sense, after in zip_longest(found, found[1:]):
        stop = sense.position + sense.words
        behind = words[stop : after.position if after else None]
        off = not (
            _OFF_BEFORE.isdisjoint(words[end : sense.position]) and _OFF_BEHIND.isdisjoint(behind)
        )
        bare = sense.meaning in _MUTED and words[sense.position] not in _ON
        read.append("unmute" if off and bare else sense.meaning)
        end = stop
    return tuple(read)


def _concerns(meaning: str, family: str) -> bool:
    if family == "unknown":
        return True
    if meaning in _SHARED:
        return family in _SHARED[meaning]
    return _ONLY.get(meaning, family) == family


def technique_points(
    told: Mapping[int, Sequence[Said]], line: int
) -> dict[int, tuple[TechniquePoint, ...]]:
    """Return what is in force by words for one line of a part (its index), by stave and time."""
    return {
        stave: _points([one for one in ones if one.place.aim is None or line in one.place.aim])
        for stave, ones in told.items()
    }


def _points(told: Sequence[Said]) -> tuple[TechniquePoint, ...]:
    points = [TechniquePoint(0)]
    for place, meanings in told:
        before = points[-1]
        point = before._replace(tick=place.tick, cause=place.cause)
        for meaning in meanings:
            point = changed(point, meaning)
        points.append(point)
        if point.ringing != before.ringing and _ALWAYS.isdisjoint(_lowered(place.text)):
            points.append(point._replace(tick=place.tick + 1, ringing=before.ringing))
    return tuple(points)


def _lowered(text: str) -> set[str]:
    return {word.lower() for word in tokens(text)}


def changed(point: TechniquePoint, meaning: str) -> TechniquePoint:
    """Return what is in force after a word: "l.v." without "sempre" is for one note only."""
    if meaning in MUTES:
        return point._replace(mute=True, mute_kind=meaning)
    if meaning in STRINGS_NAMED:
        return point._replace(string=STRINGS_NAMED[meaning])
    return point._replace(**_CHANGES.get(meaning, {}))


_CHANGES: dict[str, dict[str, Any]] = {
    "pizz": {"bow": "pizz", "tremolo": False, "measured": False},
    "col-legno": {"bow": "col-legno", "tremolo": False, "measured": False},
    "arco": {"bow": ""},
    "mute": {"mute": True},
    "unmute": {"mute": False, "mute_kind": ""},
    "open": {"mute": False, "mute_kind": "", "stopped": False},
    "sul-ponticello": {"place": "sul-ponticello"},
    "sul-tasto": {"place": "sul-tasto"},
    "near-the-table": {"place": "near-the-table"},
    "ordinary": {
        "bow": "", "place": "", "tremolo": False, "measured": False, "stopped": False,
        "flutter": False, "string": "", "ringing": "",
    },
    "tremolo": {"tremolo": True, "measured": False},
    "untremolo": {"tremolo": False, "measured": False},
    "measured": {"tremolo": False, "measured": True},
    "stopped": {"stopped": True},
    "unstopped": {"stopped": False},
    "flutter": {"flutter": True},
    "snares": {"snares": True},
    "no-snares": {"snares": False},
    "let-ring": {"ringing": "let-ring"},
    "damped": {"ringing": "damped"},
}  # fmt: skip


def technique_at(points: Sequence[TechniquePoint], tick: int) -> TechniquePoint:
    """Return what is in force by words at a tick."""
    return points[bisect_right(points, tick, key=_tick) - 1]


def _tick(point: TechniquePoint) -> int:
    return point.tick


def one_technique(point: TechniquePoint, sign: str, tremolo: bool = False) -> str:
    """Return the one technique of a tone; "" is ordinary playing.

    `sign` is what a sign on the note says ("stopped", "open", "pizz", "harmonic", "mute" or ""),
    `tremolo` whether it bears tremolo strokes.
    """
    if sign in {"stopped", "pizz"}:
        return sign
    if point.stopped and sign != "open":
        return "stopped"
    if point.bow:
        return point.bow
    if sign == "harmonic":
        return sign
    if point.mute or sign == "mute":
        return "mute"
    if point.flutter:
        return "flutter"
    return "tremolo" if tremolo or point.tremolo else ""
