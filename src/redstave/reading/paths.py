"""The way back: from a note, mark or span of a Score to the element of the file it was read from.

Paths are XPath 1.0. The bar is named by name and number, what is inside it by its position:
"/score-partwise/part[2]/measure[12]/*[7]/*[2]/*[1]".
"""

from collections.abc import Iterator

from redstave.model.score import Anchor, Mark, Note, Part, Score, Span
from redstave.reading.parser import Root


def element_paths(score: Score, thing_id: str) -> tuple[str, ...]:
    """Return the paths of the elements behind the id of a note, a mark or a span.

    A span has one for each end that the file gives, the start first. KeyError if the score holds
    nothing of that id.
    """
    part = score.parts_by_id[thing_id.partition(".")[0]]
    things: tuple[Note | Mark | Span, ...] = (*part.notes, *part.marks, *part.spans)
    for thing in things:
        if thing.id == thing_id:
            return paths_of(part, thing)
    raise KeyError(thing_id)


def paths_of(part: Part, thing: Note | Mark | Span) -> tuple[str, ...]:
    """Return the paths of the elements that a note, a mark or a span of the part was read from."""
    if isinstance(thing, Note):
        number = int(thing.id.rpartition(".")[2]) + 1
        name = _step("note", number, spaced="local-name()" in part.bar_path)
        return (f"{bar_path(part, thing.bar)}/{name}",)
    if isinstance(thing, Mark):
        return (_inside(part, thing.bar, thing.path),)
    return tuple(_inside(part, end.bar, end.path) for end in _ends(thing))


def bar_path(part: Part, bar: int) -> str:
    """Return the path of the element that holds the part's bar of this index."""
    return part.bar_path.replace("{bar}", str(bar + 1), 1)


def bar_of_part(root: Root, number: int) -> str:
    """Return the path of the bars of the part of this number (from 1) in a file part by part."""
    spaced = bool(root.namespace)
    return f"/*/{_step('part', number, spaced)}/{_step('measure', '{bar}', spaced)}"


def part_of_bar(root: Root, part: str | None, number: int) -> str:
    """Return the path of a part's bars in a file bar by bar: the part of its id in each bar.

    `number` tells parts of the same id in one bar apart, from 1.
    """
    spaced = bool(root.namespace)
    name = "*[local-name()='part']" if spaced else "part"
    which = "[not(@id)]" if part is None else f"[@id={_quoted(part)}]"
    return f"/*/{_step('measure', '{bar}', spaced)}/{name}{which}[{number}]"


def _step(name: str, number: int | str, spaced: bool) -> str:
    return f"*[local-name()='{name}'][{number}]" if spaced else f"{name}[{number}]"


def _quoted(text: str) -> str:
    """Return a text as XPath writes it; XPath 1.0 has no escape for quotation marks."""
    if "'" not in text:
        return f"'{text}'"
    pieces = ', "\'", '.join(f"'{piece}'" for piece in text.split("'"))
    return f"concat({pieces})"


def _inside(part: Part, bar: int, path: str) -> str:
    steps = "/".join(f"*[{number}]" for number in path.split("."))
    return f"{bar_path(part, bar)}/{steps}"


def _ends(span: Span) -> Iterator[Anchor]:
    return (end for end in (span.start, span.stop) if end is not None)
