"""The account of a file: every element is in the Score, or is reported, or is told as lost."""

from collections import Counter
from typing import NamedTuple, cast

from lxml import etree

from redstave.model.score import Score
from redstave.reading.claims import Claims
from redstave.reading.element import Element, drop_namespace, line_of
from redstave.reading.parser import PARSER_OPTIONS, find_root

STRUCTURE = frozenset(["score-partwise", "score-timewise", "part-list", "part", "measure"])


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
    lines = {problem.line for problem in score.problems}
    numbers: Counter[tuple[str, str]] = Counter()
    found: Counter[tuple[str, str]] = Counter()
    reported: Counter[tuple[str, str]] = Counter()
    for element in root.iterdescendants(etree.Element):
        parent = element.getparent()
        key = (str(parent.tag) if parent is not None else "", str(element.tag))
        numbers[key] += 1
        if element in kept:
            found[key] += 1
        elif _is_reported(element, lines):
            reported[key] += 1
    return tuple(Row(*key, number, found[key], reported[key]) for key, number in numbers.items())


def _is_reported(element: etree._Element, lines: set[int]) -> bool:
    """Tell whether a problem points at an element, or at what it stands in within its bar."""
    around: etree._Element | None = element
    while around is not None and (around is element or around.tag not in STRUCTURE):
        if line_of(cast(Element, around)) in lines:
            return True
        around = around.getparent()
    return False
