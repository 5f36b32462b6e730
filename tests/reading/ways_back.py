"""Follows the paths of a Score into the tree of its file, with lxml alone."""

from lxml import etree

from redstave.model.score import Score
from redstave.reading.element import line_of
from redstave.reading.paths import paths_of

# The element behind a span of a kind, where it is not called the same.
ELEMENTS = {"hairpin": ("wedge",), "tie": ("tie", "tied")}
# Marks whose name is not that of their element, by kind.
NAMED_OTHERWISE = {
    "clef": "clef",
    "key": "key",
    "meter": "time",
    "barline": "barline",
    "repeat": "repeat",
    "ending": "ending",
    "lyric": "lyric",
    "tremolo": "tremolo",
}


def astray(score: Score, root: etree._Element) -> list[str]:
    """Return the ids whose paths do not lead to one element of the right name and line."""
    tree = Tree(root)
    wrong = []
    for part in score.parts:
        for note in part.notes:
            (path,) = paths_of(part, note)
            wrong += [note.id] if not tree.holds(path, ("note",), note.line) else []
        for mark in part.marks:
            (path,) = paths_of(part, mark)
            names = _names(mark.kind, mark.name, dict(mark.attributes))
            wrong += [mark.id] if not tree.holds(path, names, mark.line) else []
        for span in part.spans:
            ends = [end for end in (span.start, span.stop) if end is not None]
            names = ELEMENTS.get(span.kind, (span.kind,))
            for path, end in zip(paths_of(part, span), ends, strict=True):
                line = 0 if span.kind == "tie" else end.line  # a tie's line is its note's
                wrong += [span.id] if not tree.holds(path, names, line) else []
    return wrong


def _names(kind: str, name: str, attributes: dict[str, str]) -> tuple[str, ...]:
    if kind == "level" and {"from", "within"} & attributes.keys():
        return ("words",)
    if "element" in attributes:
        return (attributes["element"],)
    return (NAMED_OTHERWISE.get(kind, name),)


class Tree:
    """A tree in which paths are looked up; what was found is remembered."""

    def __init__(self, root: etree._Element) -> None:
        self._root = root
        self._bars: dict[str, list[etree._Element]] = {}
        self._children: dict[etree._Element, list[etree._Element]] = {}

    def holds(self, path: str, names: tuple[str, ...], line: int) -> bool:
        """Tell whether a path leads to one element of one of these names at that line (0: any)."""
        bar, *steps = path.split("/*[") if "local-name" not in path else [path]
        found = self._bars.get(bar)
        if found is None:
            found = self._bars[bar] = self._root.xpath(bar)
        for step in steps:
            number = int(step.removesuffix("]"))
            found = [child for parent in found for child in self._inside(parent)][number - 1 :][:1]
        return (
            len(found) == 1
            and etree.QName(found[0]).localname in names
            and line in (0, line_of(found[0]))
        )

    def _inside(self, element: etree._Element) -> list[etree._Element]:
        if element not in self._children:
            self._children[element] = list(element.iterchildren(etree.Element))
        return self._children[element]
