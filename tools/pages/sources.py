"""The bibliographies: every source, what of it was read, and what rests on it."""

import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping
from importlib import resources
from importlib.resources.abc import Traversable
from typing import Any, NamedTuple

from redstave.acoustics import tables as hearing
from redstave.analysis import tables as trade
from redstave.base.citation import (
    FLAGS,
    LEAF_KEYS,
    Bibliography,
    Cited,
    Quantity,
    Source,
    quantity,
    read_cited,
)
from redstave.checks import catalogue
from redstave.instruments import book
from tools.pages.checks import check_sources, source_page
from tools.pages.markdown import NOTICE, NUMBERS_HEAD, leaves, number_row, number_rows, table

Numbers = Mapping[str, Mapping[str, Cited]]


class Shelf(NamedTuple):
    """One bibliography: its page, title and first words, its sources, and the numbers by file.

    `shown` says whether the numbers stand on the same page; instruments have pages of their own.
    """

    page: str
    title: str
    about: str
    sources: Bibliography
    numbers: Numbers
    shown: bool = True


FLAG_WORDS = {
    "read": "read in the source named",
    "second-hand": "read in a text that quotes the source",
    "measured": "measured by us, from what the source describes",
    "from memory": "common knowledge of the trade, no source at hand; to be checked",
    "interpolated": "between or beyond the source's own values",
}

INDEX = f"""\
{NOTICE}
# Where the numbers come from

Every number about instruments, halls and hearing stands in a data file with its unit, its
uncertainty and the key of its source; a number without them is not loaded. The sources are listed
here with what of them was really read:

"""


def pages() -> dict[str, str]:
    """Return a page for each bibliography, and their index."""
    shelves = [_hearing(), _instruments(), _trade(), _tempo(), _checks()]
    found = {f"sources/{shelf.page}": _page(shelf) for shelf in shelves}
    return found | {"sources/index.md": _index(shelves)}


def _hearing() -> Shelf:
    sources = hearing.bibliography()
    about = "What the model of the ear is computed with; [why so](../decisions/index.md)."
    numbers = _files("redstave.acoustics", sources)
    return Shelf("hearing.md", "Hearing: sources and numbers", about, sources, numbers)


def _instruments() -> Shelf:
    sources = book.bibliography()
    about = "The numbers themselves are on the pages of the [instruments](../instruments/index.md)."
    numbers = _files("redstave.instruments", sources)
    title = "Instruments and halls: sources"
    return Shelf("instruments.md", title, about, sources, numbers, shown=False)


def _trade() -> Shelf:
    sources = trade.bibliography()
    about = "What players and instruments can do: the tables that checks count with."
    numbers = _files("redstave.analysis", sources)
    return Shelf("trade.md", "Tables of the trade: sources and numbers", about, sources, numbers)


def _tempo() -> Shelf:
    file = resources.files("redstave.players") / "tempo_words.toml"
    tree = tomllib.loads(file.read_text("utf-8"))
    sources = {key: Source(key, one["title"], one["read"]) for key, one in tree["sources"].items()}
    entries = {
        section: dict(_worded(section, found, sources))
        for section, found in tree.items()
        if section != "sources"
    }
    about = "The tempos assumed for words where a page has no metronome mark."
    return Shelf("tempo.md", "Tempo words: sources and numbers", about, sources, entries)


def _worded(words: str, item: Any, sources: Bibliography) -> Iterator[tuple[str, Quantity]]:
    """Yield every number below an item, each under the words that stand beside it."""
    if isinstance(item, list):
        for one in item:
            yield from _worded(words, one, sources)
    elif isinstance(item, dict) and item.keys() & LEAF_KEYS:
        yield words, quantity(item, words, sources)
    elif isinstance(item, dict):
        own = ", ".join(item.get("words", ()))
        for key, one in item.items():
            yield from _worded(f"{own} ({key})" if own else f"{words} {key}", one, sources)


def _checks() -> Shelf:
    about = "What the [checks](../checks/index.md) rest on."
    return Shelf("checks.md", "Checks: sources", about, check_sources(), {}, shown=False)


def _files(package: str, sources: Bibliography) -> Numbers:
    """Return the cited values of every data file of a package, by its name without ending."""
    folder = resources.files(package) / "data"
    return {
        file.name.removesuffix(".toml"): _file(file, sources)
        for file in sorted(folder.iterdir(), key=lambda one: one.name)
        if file.name.endswith(".toml") and file.name != "sources.toml"
    }


def _file(file: Traversable, sources: Bibliography) -> Mapping[str, Cited]:
    return read_cited(file.read_text("utf-8"), file.name, sources)


def _page(shelf: Shelf) -> str:
    text = f"{NOTICE}\n# {shelf.title}\n\n{shelf.about}\n\n"
    users = _users(shelf)
    for key, source in shelf.sources.items():
        text += f"## {key}\n\n{_sentence(source.title)}\n\n*What was read.* {source.read}\n\n"
        text += f"*Rests on it.* {users.get(key, 'Nothing any more.')}\n\n"
    if shelf.shown:
        text += "# The numbers\n\n" + "".join(
            f"## {name.replace('_', ' ')}\n\n{_numbers(tree)}\n"
            for name, tree in shelf.numbers.items()
        )
    return text.rstrip() + "\n"


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?", "!")) else f"{text}."


def _numbers(tree: Mapping[str, Cited]) -> str:
    if any(isinstance(item, Mapping) for item in tree.values()):
        return table(NUMBERS_HEAD, number_rows(tree, {}, ""))
    return table(NUMBERS_HEAD, [number_row(words, item, "") for words, item in tree.items()])


def _users(shelf: Shelf) -> dict[str, str]:
    """Return for each source in words what rests on it."""
    counts: dict[str, Counter[str]] = {}
    for name, tree in shelf.numbers.items():
        for _, item in leaves(tree):
            if isinstance(item, Quantity):
                counts.setdefault(item.source, Counter())[name] += 1
    found = {
        key: ", ".join(f"{name.replace('_', ' ')} ({count})" for name, count in files.items()) + "."
        for key, files in counts.items()
    }
    for slug, check in catalogue().items():
        for key in dict.fromkeys((*check.sources, *(one.source for one in check.settings))):
            if source_page(key) == shelf.page:
                link = f"[{slug}](../checks/{slug}.md)"
                found[key] = f"{found[key].rstrip('.')}, {link}." if key in found else f"{link}."
    return found


def _index(shelves: list[Shelf]) -> str:
    text = INDEX + "".join(f"- [{shelf.title}]({shelf.page})\n" for shelf in shelves)
    text += "\nEach number also says how it was come by:\n\n"
    counts: Counter[str] = Counter(
        item.flag
        for shelf in shelves
        for tree in shelf.numbers.values()
        for _, item in leaves(tree)
        if isinstance(item, Quantity)
    )
    rows = [(flag, words, str(counts[flag])) for flag, words in FLAG_WORDS.items() if flag in FLAGS]
    return text + table(("flag", "means", "numbers"), rows)
