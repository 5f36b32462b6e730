"""The shape of a note: the names of its children in order, and what those alone tell.

A score of thirty thousand notes knows a few hundred shapes, so each is looked into once.
"""

from functools import lru_cache
from typing import NamedTuple

from redstave.reading.draft import HANDLERS, Handler, keep_for_later

BY_ITSELF = frozenset(
    ["pitch", "unpitched", "duration", "voice", "type", "stem", "staff", "chord", "cue", "dot"]
)
MANY = frozenset(
    ["dot", "tie", "beam", "notations", "lyric", "instrument", "notehead-text", "listen"]
)
LAID_OUT = frozenset(["type", "dot", "stem"])
NONE = -1


class Shape(NamedTuple):
    """Indices of children (NONE where there is no such child), and what needs no reading.

    `plain` are those that may have attributes which no handler reads. `special` are the children
    that a handler reads: index, path from the note, handler.
    `repeated` are the names that stand more often than MusicXML allows.
    """

    names: tuple[str, ...]
    pitch: int
    unpitched: int
    duration: int
    voice: int
    type: int
    stem: int
    staff: int
    dots: int
    rest: bool
    chord: bool
    grace: bool
    cue: bool
    plain: tuple[int, ...]
    special: tuple[tuple[int, str, Handler], ...]
    repeated: tuple[str, ...]


@lru_cache(maxsize=4096)
def shape_of(tags: tuple[object, ...]) -> Shape:
    """Return the shape of a note whose children have these tags; comments have none that is text.

    Where a child stands twice, the last one counts.
    """
    last = {tag: index for index, tag in enumerate(tags) if isinstance(tag, str)}
    names = tuple(tag for tag in tags if isinstance(tag, str))
    special: list[tuple[int, str, Handler]] = []
    position = 0
    for index, tag in enumerate(tags):
        if isinstance(tag, str):
            position += 1
            counts = tag in MANY or last[tag] == index
            if tag not in BY_ITSELF and counts and not (tag == "rest" and "pitch" in last):
                special.append((index, f".{position}", HANDLERS.get(tag, keep_for_later)))
    return Shape(
        names,
        last.get("pitch", NONE),
        last.get("unpitched", NONE),
        last.get("duration", NONE),
        last.get("voice", NONE),
        last.get("type", NONE),
        last.get("stem", NONE),
        last.get("staff", NONE),
        names.count("dot"),
        "rest" in last,
        "chord" in last,
        "grace" in last,
        "cue" in last,
        tuple(index for index, tag in enumerate(tags) if tag in LAID_OUT),
        tuple(special),
        tuple(sorted({name for name in names if name not in MANY and names.count(name) > 1})),
    )
