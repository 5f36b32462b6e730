"""Damages real scores in their structure: each element is then kept, or reported, or told as lost.

Elements of a file are deleted, doubled, copied, moved, renamed or written over. What the reader
makes of it is counted with `account_of`, and the elements themselves with a plain walk of lxml.
Seeds are the files in ../shared/scores; of large ones eight bars of five parts are taken at random.

    .venv/bin/python -m fuzz.damage [FILES]
"""

import copy
import random
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

from lxml import etree

from redstave.base.errors import InputError
from redstave.reading import account_of, read_bytes, xml_of

SCORES = Path(__file__).resolve().parents[2] / "shared" / "scores"
LARGE = 100_000  # bytes; a larger file is cut
PARTS, BARS = 5, 8  # that are left of it
TEXTS = ("", "0", "-1", "x", "1e400", "9" * 30, "start", "stop", "4", "0.5", "1/0", "\ue520", "NaN")
NAMES = ("type", "number", "id", "implicit", "direction", "location", "print-object", "default-x")


class Outcome(NamedTuple):
    """What became of one damaged file: its size in bytes, whether it was refused, what it lost."""

    size: int
    refused: bool
    lost: tuple[str, ...]


def outcome_of(data: bytes) -> Outcome:
    """Read a damaged file and account for it; AssertionError if the account counts wrongly."""
    try:
        score = read_bytes(data, "damaged.xml")
    except InputError:
        return Outcome(len(data), True, ())
    rows = account_of(score, data)
    elements = sum(1 for _ in etree.fromstring(data).iter(etree.Element))
    assert sum(row.number for row in rows) == elements - 1, "the root is not in the account"
    lost = tuple(f"{row.inside}/{row.element}" for row in rows if row.lost)
    return Outcome(len(data), False, lost)


def damaged_files(files: list[Path], count: int, seed: int) -> Iterator[bytes]:
    """Yield so many damaged files, made of each file in turn; the same for the same seed."""
    seeds: dict[Path, tuple[etree._Element, bool]] = {}
    for number in range(count):
        chance = random.Random(f"{seed} {number}")
        path = files[number % len(files)]
        if path not in seeds:
            data, _, _ = xml_of(path.read_bytes(), path.name)
            seeds[path] = etree.fromstring(data), len(data) > LARGE
        whole, is_large = seeds[path]
        root = _excerpt(whole, chance) if is_large else copy.deepcopy(whole)
        for _ in range(chance.randint(1, 6)):
            chance.choice(CHANGES)(root, chance)
        yield etree.tostring(root)


def _excerpt(whole: etree._Element, chance: random.Random) -> etree._Element:
    """Return some bars of some parts, with the whole head."""
    root = etree.Element(whole.tag, _attributes(whole))
    parts = whole.findall("part")
    kept = set(chance.sample(parts, min(PARTS, len(parts))))
    bars = len(parts[0]) if parts else 0
    first = chance.randrange(max(1, bars - BARS))
    for child in whole:
        if child.tag != "part":
            root.append(copy.deepcopy(child))
        elif child in kept:
            part = etree.SubElement(root, "part", _attributes(child))
            part.extend([copy.deepcopy(bar) for bar in list(child)[first : first + BARS]])
    return root


def _attributes(element: etree._Element) -> dict[str, str]:
    return {str(name): str(value) for name, value in element.items()}


Change = Callable[[etree._Element, random.Random], None]


def _any(root: etree._Element, chance: random.Random) -> etree._Element:
    return chance.choice(list(root.iter(etree.Element)))


def _delete(root: etree._Element, chance: random.Random) -> None:
    element = _any(root, chance)
    parent = element.getparent()
    if parent is not None:
        parent.remove(element)


def _double(root: etree._Element, chance: random.Random) -> None:
    element = _any(root, chance)
    parent = element.getparent()
    if parent is not None:
        parent.insert(parent.index(element), copy.deepcopy(element))


def _copy(root: etree._Element, chance: random.Random) -> None:
    element, goal = _any(root, chance), _any(root, chance)
    if element is not root:
        goal.append(copy.deepcopy(element))


def _move(root: etree._Element, chance: random.Random) -> None:
    element, goal = _any(root, chance), _any(root, chance)
    if element is not root and goal is not element and element not in goal.iterancestors():
        goal.insert(chance.randint(0, len(goal)), element)


def _reorder(root: etree._Element, chance: random.Random) -> None:
    element = _any(root, chance)
    parent = element.getparent()
    if parent is not None:
        parent.insert(chance.randrange(len(parent)), element)


def _rename(root: etree._Element, chance: random.Random) -> None:
    element = _any(root, chance)
    if element is not root:
        element.tag = _any(root, chance).tag


def _write_over(root: etree._Element, chance: random.Random) -> None:
    _any(root, chance).text = chance.choice(TEXTS)


def _set_attribute(root: etree._Element, chance: random.Random) -> None:
    _any(root, chance).set(chance.choice(NAMES), chance.choice(TEXTS))


def _drop_attribute(root: etree._Element, chance: random.Random) -> None:
    element = _any(root, chance)
    if element.attrib:
        del element.attrib[chance.choice(list(element.keys()))]


CHANGES: tuple[Change, ...] = (
    _delete,
    _double,
    _copy,
    _move,
    _reorder,
    _rename,
    _write_over,
    _set_attribute,
    _drop_attribute,
)


def real_scores() -> list[Path]:
    """Return the real scores: orchestra, pairs, shared staves."""
    folders = ("orchestra", "pairs", "shared-staves")
    return sorted(path for folder in folders for path in (SCORES / folder).iterdir())


def suite_files() -> list[Path]:
    """Return the files of the MusicXML test suite."""
    return sorted((SCORES / "suite").glob("*.xml"))


def main() -> None:
    """Damage so many files, 3,000 without a number: half real scores, half the suite's."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 3000
    outcomes = [
        outcome_of(data)
        for files in (real_scores(), suite_files())
        for data in damaged_files(files, count // 2, seed=1)
    ]
    large = sum(outcome.size > 30_000 for outcome in outcomes)
    refused = sum(outcome.refused for outcome in outcomes)
    losses = [outcome.lost for outcome in outcomes if outcome.lost]
    print(
        f"{len(outcomes)} damaged files, {large} of them above 30 kB; {refused} refused in a line"
    )
    print(f"{len(losses)} lost something without a word: {losses}")


if __name__ == "__main__":
    main()
