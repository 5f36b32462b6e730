"""The account of a file: every element is in the Score, or is reported, or is told as lost."""

from collections import Counter
from typing import NamedTuple, cast

from lxml import etree

from redstave.model.score import Score
from redstave.reading.claims import HOLDERS, Claims
from redstave.reading.element import Element, drop_namespace, line_of
from redstave.reading.parser import PARSER_OPTIONS, find_root

STRUCTURE = frozenset(["score-partwise", "score-timewise", "part-list", "part", "measure"])
UNREAD = frozenset(["misplaced-element", "unknown-element"])  # problems that begin with a "<name>"


class Row(NamedTuple):
    """The elements of one name inside elements of another: how many, and what became of them.

    `kept` are in the Score; of the others, `reported` stand where the Score has a problem, and
    `lost` nowhere.
    """

    inside: str
    element: str
    number: int
    kept: int
    reported: int

    @property
    def lost(self) -> int:
        """How many are neither kept nor reported."""
        return self.number - self.kept - self.reported


def account_of(score: Score, xml: bytes) -> tuple[Row, ...]:
    """Return what became of every element of the MusicXML that a score was read from.

    Rows stand in the order in which their elements first appear. InputError if the XML is damaged.
    """
    find_root(xml, score.origin.name)
    root = etree.fromstring(xml, etree.XMLParser(**PARSER_OPTIONS))
    drop_namespace(cast(Element, root))
    kept = Claims(score, root).kept
    told = _reported(score, root, kept)
    numbers: Counter[tuple[str, str]] = Counter()
    found: Counter[tuple[str, str]] = Counter()
    reported: Counter[tuple[str, str]] = Counter()
    for element in root.iterdescendants(etree.Element):
        parent = element.getparent()
        key = (str(parent.tag) if parent is not None else "", str(element.tag))
        numbers[key] += 1
        if element in kept:
            found[key] += 1
        elif element in told:
            reported[key] += 1
    return tuple(Row(*key, number, found[key], reported[key]) for key, number in numbers.items())


def _reported(score: Score, root: etree._Element, kept: set[etree._Element]) -> set[etree._Element]:
    """Return the elements that are not kept but reported.

    What only holds others is reported with them, so this goes from the inside out.
    """
    lines = {problem.line for problem in score.problems}
    unread = {
        (problem.line, problem.text[1:].partition(">")[0])
        for problem in score.problems
        if problem.code in UNREAD
    }
    told: set[etree._Element] = set()
    for element in reversed(list(root.iterdescendants(etree.Element))):
        if element not in kept and (
            _is_reported(element, lines, unread) or _only_holds(element, kept, told)
        ):
            told.add(element)
    return told


def _only_holds(
    element: etree._Element, kept: set[etree._Element], told: set[etree._Element]
) -> bool:
    children = list(element.iterchildren(etree.Element))
    return (
        element.tag in HOLDERS
        and bool(children)
        and all(child in kept or child in told for child in children)
    )


def _is_reported(element: etree._Element, lines: set[int], unread: set[tuple[int, str]]) -> bool:
    """Tell whether a problem points at an element, or at what it stands in within its bar.

    A problem of a whole bar or part is none of what stands in it, unless it was not read.
    """
    around: etree._Element | None = element
    inside = True
    while around is not None:
        line = line_of(cast(Element, around))
        inside = inside and (around is element or around.tag not in STRUCTURE)
        if (inside and line in lines) or (line, around.tag) in unread:
            return True
        around = around.getparent()
    return False
