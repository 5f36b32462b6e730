"""Percussion parts named only "Percussion": the words over the notes name their instruments."""

from collections.abc import Iterator
from dataclasses import replace

from redstave.instruments.lexicon import family_of, phrase
from redstave.instruments.names import Naming
from redstave.instruments.wording import read_name
from redstave.model.score import Part

_NAMES = frozenset(
    {"percussion", "perc", "percussions", "percussioni", "percussione", "batteria", "batterie"}
    | {"schlagzeug", "schlagwerk", "schlgz", "schlagz", "drums"}
)


def is_percussion(part: Part, naming: Naming) -> bool:
    """Tell whether a part is one for percussion: by its instrument, its name, notes or clef."""
    if naming.instruments:
        return family_of(naming.instrument) == "percussion"
    words = set(phrase(part.name)) | set(phrase(part.abbreviation))
    return (
        not words.isdisjoint(_NAMES)
        or any(mark.name == "percussion" for mark in part.marks_of("clef"))
        or any(note.kind == "unpitched" for note in part.notes)
    )


def with_kit(part: Part, naming: Naming) -> Naming:
    """Give a percussion part without instruments those that its words name, in their order."""
    if naming.instruments or not is_percussion(part, naming):
        return naming
    kit = tuple(dict.fromkeys(_named(part)))
    return replace(naming, instruments=kit, leftover=()) if kit else naming


def _named(part: Part) -> Iterator[str]:
    for mark in part.marks_of("word"):
        reading = read_name(mark.text)
        if not reading.leftover:
            yield from (one for one in reading.instruments if family_of(one) == "percussion")
