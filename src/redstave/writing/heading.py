"""What stands before the music: titles and makers, the list of parts and their brackets."""

from collections.abc import Iterator, Sequence

import redstave
from redstave.model.score import Inner, Part, PartGroup, Score, ScoreInstrument

PROGRAM = "Redstave"


def head(score: Score) -> Iterator[Inner]:
    """Yield what stands before the list of parts, with the program that wrote the file."""
    given = list(score.head) or list(_titles(score))
    if not any(element.name == "identification" for element in given):
        before = [one for one in given if one.name in ("work", "movement-number", "movement-title")]
        given.insert(len(before), Inner("identification"))
    for element in given:
        yield _signed(element) if element.name == "identification" else element


def _titles(score: Score) -> Iterator[Inner]:
    if score.title:
        yield Inner("work", "", (), (Inner("work-title", score.title),))


def _signed(identification: Inner) -> Inner:
    """Return the makers with Redstave first among the programs; it stands there only once."""
    children = list(identification.inside)
    at = next((i for i, one in enumerate(children) if one.name == "encoding"), None)
    if at is None:
        behind = ("source", "relation", "miscellaneous")
        at = next((i for i, one in enumerate(children) if one.name in behind), len(children))
        children.insert(at, Inner("encoding"))
    others = [one for one in children[at].inside if not _is_signature(one)]
    bare = [others.pop(0)] if others and not others[0].name else []
    signature = Inner("software", f"{PROGRAM} {redstave.__version__}")
    children[at] = children[at]._replace(inside=(*bare, signature, *others))
    return identification._replace(inside=tuple(children))


def _is_signature(element: Inner) -> bool:
    plain = element.name == "software" and not element.attributes
    return plain and element.text.split(" ")[0] == PROGRAM


def part_list(score: Score) -> Inner:
    """Return the list of parts with the brackets around them."""
    children: list[Inner] = []
    for part in score.parts:
        # Of brackets that begin together the outer one, which ends last, stands first.
        children += [_begin(one) for one in reversed(score.groups) if one.first == part.id]
        children.append(Inner("score-part", "", (("id", part.id),), part.heading or _heading(part)))
        children += [_end(one) for one in score.groups if one.last == part.id]
    return Inner("part-list", "", (), tuple(children))


def _begin(group: PartGroup) -> Inner:
    made = (
        *((Inner("group-name", group.name),) if group.name else ()),
        *((Inner("group-symbol", group.symbol),) if group.symbol else ()),
    )
    attributes = (("type", "start"), ("number", group.number))
    return Inner("part-group", "", attributes, group.inside or made)


def _end(group: PartGroup) -> Inner:
    return Inner("part-group", "", (("type", "stop"), ("number", group.number)))


def _heading(part: Part) -> tuple[Inner, ...]:
    return (
        Inner("part-name", part.name),
        *((Inner("part-abbreviation", part.abbreviation),) if part.abbreviation else ()),
        *(_instrument(one) for one in part.instruments),
        *_midi(part.instruments),
    )


def _instrument(one: ScoreInstrument) -> Inner:
    sound = (Inner("instrument-sound", one.sound),) if one.sound else ()
    return Inner(
        "score-instrument", "", (("id", one.id),), (Inner("instrument-name", one.name), *sound)
    )


def _midi(instruments: Sequence[ScoreInstrument]) -> Iterator[Inner]:
    for one in instruments:
        numbers = {"midi-program": one.midi_program, "midi-unpitched": one.midi_unpitched}
        said = tuple(Inner(name, str(number)) for name, number in numbers.items() if number)
        if said:
            yield Inner("midi-instrument", "", (("id", one.id),), said)
