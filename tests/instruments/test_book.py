"""The book of instruments: complete, cited, and unwilling to load what is not."""

import itertools
import tomllib
from importlib import resources

import pytest

from redstave.base.citation import read_cited
from redstave.base.errors import DataError
from redstave.instruments import hall, halls, load, seats
from redstave.instruments.book import EDITION, bibliography, cited_file, read_instrument

NEEDED = frozenset(
    """
    piccolo flute alto-flute oboe cor-anglais clarinet e-flat-clarinet bass-clarinet bassoon
    contrabassoon alto-saxophone tenor-saxophone horn trumpet cornet trombone bass-trombone tuba
    ophicleide timpani bass-drum snare-drum cymbals tam-tam triangle tambourine glockenspiel
    xylophone tubular-bells celesta harp piano harpsichord organ violin viola cello double-bass
    voice
    """.split()  # noqa: SIM905
)
FAMILIES = {"woodwind", "brass", "percussion", "harp", "keyboard", "strings", "voice"}


def text_of(name: str) -> str:
    """The text of one data file of the room."""
    return (resources.files("redstave.instruments") / "data" / name).read_text("utf-8")


def leaves(table: dict, path: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    """Where the cited numbers of a data file stand."""
    found = []
    for key, item in table.items():
        if isinstance(item, dict):
            found += [(*path, key)] if "value" in item else leaves(item, (*path, key))
    return found


def test_every_instrument_of_the_orchestra_is_there() -> None:
    """The book has each instrument that the other rooms may name."""
    assert set(load()) >= NEEDED


def test_every_name_the_vocabulary_knows_has_a_record() -> None:
    """No name resolves to an instrument that the book does not have."""
    folder = resources.files("redstave.instruments") / "vocabulary"
    named = {
        id_
        for language in ("en", "it", "de", "fr")
        for id_ in tomllib.loads((folder / f"{language}.toml").read_text("utf-8"))["instruments"]
    }
    assert named <= set(load())


@pytest.mark.parametrize("id_", list(load()))
def test_records_make_sense(id_: str) -> None:
    """Louder markings are louder, bounds hold the table, ranges nest, seats and families exist."""
    one = load()[id_]
    assert one.family in FAMILIES
    assert one.seat in hall().layout
    power = one.level.power
    assert all(soft < loud for soft, loud in itertools.pairwise(power))
    assert one.level.softest <= power[0] + 2.0
    assert power[-1] <= one.level.loudest + 2.0
    assert (one.kind == "sustained") == (not one.t60)
    assert one.pitched == (one.practical is not None)
    if one.practical and one.extreme:
        assert one.extreme.low <= one.practical.low < one.practical.high <= one.extreme.high
        assert one.practical.holds(one.level.middle)


@pytest.mark.parametrize("part", ["unit", "uncertainty", "source", "flag"])
def test_no_leaf_loads_without_one_of_its_parts(part: str) -> None:
    """Law 5: take any part from any leaf of any of three records, and the record does not load."""
    conventions = cited_file("conventions.toml")
    for name in ("horn.toml", "violin.toml", "bass-drum.toml"):
        for path in leaves(tomllib.loads(text_of(name))):
            line = next(
                row for row in text_of(name).splitlines() if row.startswith(f"{path[-1]} = {{")
            )
            kept = [cell for cell in cells(line) if not cell.startswith(f"{part} =")]
            broken = text_of(name).replace(line, f"{path[-1]} = {{ {', '.join(kept)} }}", 1)
            with pytest.raises(DataError, match=part):
                read_instrument(broken, name, conventions)


def cells(line: str) -> list[str]:
    """The cells of a leaf on one line, value first."""
    inside = line.split("{", 1)[1].rsplit("}", 1)[0]
    head, *rest = inside.split(", unit = ")
    assert len(rest) == 1, line
    unit, uncertainty = rest[0].split(", uncertainty = ")
    uncertainty, source = uncertainty.split(", source = ")
    source, flag = source.split(", flag = ")
    return [
        head.strip(),
        f"unit = {unit}",
        f"uncertainty = {uncertainty}",
        f"source = {source}",
        f"flag = {flag.strip()}",
    ]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('kind = "sustained"', 'kind = "blown"'),
        ('form = "harmonics"', 'form = "sines"'),
        ("value = [80.5, 89.5, 93.5, 98, 102, 108]", "value = [80.5, 89.5, 93.5, 98, 102]"),
        ("value = [65, 117]", "value = 65"),
        ('family = "brass"\n', ""),
        ('marks = ["p", "mf", "ff"]', 'marks = ["p", "mf"]'),
        ("[[250, -10], [1000, -10]", "[[250, -10, 3], [1000, -10]"),
    ],
)
def test_a_record_that_is_not_whole_is_refused(old: str, new: str) -> None:
    """A wrong word, a short row, a missing word: DataError that names the file."""
    text = text_of("horn.toml")
    assert old in text
    with pytest.raises(DataError, match=r"horn\.toml"):
        read_instrument(text.replace(old, new, 1), "horn.toml", cited_file("conventions.toml"))


def test_there_is_one_edition() -> None:
    """The same book comes back each time, and another edition does not exist."""
    assert load().edition == load(EDITION).edition == EDITION
    with pytest.raises(DataError, match="edition"):
        load("1913-1")
    with pytest.raises(KeyError):
        load()["theremin"]


def test_every_source_is_used() -> None:
    """The bibliography lists nothing that no number names."""
    folder = resources.files("redstave.instruments") / "data"
    text = "".join(entry.read_text("utf-8") for entry in folder.iterdir())
    assert [key for key in bibliography() if f'source = "{key}"' not in text] == []


def test_halls_are_cited_and_the_default_is_named() -> None:
    """The default hall has 18 750 m3, 1.9 s and the listener 15 m from the stage front."""
    assert (hall().volume, hall().reverberation, hall().listener) == (18750.0, 1.9, 15.0)
    assert set(halls()) >= {"default", "vienna", "berlin", "boston", "amsterdam"}
    assert set(seats()) >= {"stalls", "conductor"}
    with pytest.raises(DataError, match="no hall"):
        hall("cellar")
    with pytest.raises(DataError, match="no seat"):
        hall(seat="balcony")
    with pytest.raises(DataError, match="bare number"):
        read_cited("[default]\nvolume = 18750\n", "halls.toml", bibliography())
