"""Small pieces of Markdown, and cited numbers as rows of a table."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from redstave.base.citation import Cited, Quantity, Value

NOTICE = "<!-- Made by `make pages` from the program itself: change that, not this page. -->\n"
NUMBERS_HEAD = ("what", "value", "unit", "±", "source", "how known")


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a table; bars within cells are escaped."""
    lines = [_row(head), "|" + "---|" * len(head), *(_row(row) for row in rows)]
    return "\n".join(lines) + "\n"


def _row(cells: Sequence[str]) -> str:
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def leaves(tree: Mapping[str, Cited], above: str = "") -> Iterator[tuple[str, Cited]]:
    """Yield every value of a cited file with its path, such as "techniques.mute.filter"."""
    for key, item in tree.items():
        path = f"{above}.{key}" if above else key
        if isinstance(item, Mapping):
            yield from leaves(item, path)
        else:
            yield path, item


def number_rows(
    tree: Mapping[str, Cited], labels: Mapping[str, str], sources: str
) -> list[tuple[str, ...]]:
    """Return a row for every value; `sources` is the page of the bibliography, seen from here."""
    return [number_row(label(path, labels), item, sources) for path, item in leaves(tree)]


def number_row(what: str, item: Cited, sources: str) -> tuple[str, ...]:
    """Return value, unit, uncertainty, source and flag of one value; plain words stand alone."""
    if not isinstance(item, Quantity):
        return (what, plain(item), "", "", "", "")
    source = f"[{item.source}]({sources}#{item.source})"
    unit = "" if item.unit in {"pitch", "1"} else item.unit
    shown = value(item.value)
    if item.unit == "pitch" and isinstance(item.value, tuple) and len(item.value) == 2:
        shown = shown.replace(", ", " to ")
    return (what, shown, unit, _doubt(item), source, item.flag)


def label(path: str, labels: Mapping[str, str]) -> str:
    """Return the words for a path: those given for it or for its last part, else the path."""
    last = path.split(".")[-1]
    if path in labels:
        return labels[path]
    before = " ".join(path.split(".")[:-1]).replace("_", " ").replace("-", " ")
    words = labels.get(last, last.replace("_", " ").replace("-", " "))
    return f"{before}: {words}" if before else words


def plain(item: Cited) -> str:
    """Return a word, a yes or no, or a list of words."""
    if isinstance(item, bool):
        return "yes" if item else "no"
    return ", ".join(item) if isinstance(item, tuple) else str(item)


def value(item: Value) -> str:
    """Return a number, a pitch, a row of them, or points as "G3: 0.5, D4: 0.9"."""
    if not isinstance(item, tuple):
        return f"{item:g}".replace("-", "−") if isinstance(item, (int, float)) else item
    if all(isinstance(point, tuple) and len(point) == 2 for point in item):
        return ", ".join(
            f"{value(point[0])}: {value(point[1])}" for point in item if isinstance(point, tuple)
        )
    return ", ".join(value(one) for one in item)


def _doubt(item: Quantity) -> str:
    row = item.uncertainty if isinstance(item.uncertainty, tuple) else (item.uncertainty,)
    text = ", ".join(f"{one:g}" for one in row)
    if item.unit != "pitch" or not any(row):
        return text
    return f"{text} semitone" if row == (1,) else f"{text} semitones"
