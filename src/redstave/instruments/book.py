"""The book of instruments: every data file of this package, checked and frozen."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from types import MappingProxyType

from redstave.base.citation import (
    Bibliography,
    Cited,
    Quantity,
    Source,
    read_bibliography,
    read_cited,
)
from redstave.base.errors import DataError
from redstave.instruments.record import (
    FRONT_BANDS_HZ,
    MARK_NUMBERS,
    TABLE_MARKS,
    Compass,
    Instrument,
    LevelTable,
    Points,
    Section,
    SpectrumTable,
    Technique,
)

EDITION = "2026-2"
NOT_INSTRUMENTS = frozenset({"sources.toml", "halls.toml", "conventions.toml", "tuning.toml"})
KINDS = frozenset({"sustained", "plucked", "struck"})
FORMS = frozenset({"harmonics", "noise", "modes"})


@dataclass(frozen=True, eq=False)
class InstrumentBook:
    """All instruments of one edition by id, with the bibliography of their figures."""

    edition: str
    instruments: Mapping[str, Instrument]
    sources: Mapping[str, Source]

    def __getitem__(self, id_: str) -> Instrument:
        """Return an instrument; KeyError for an id the book does not have."""
        return self.instruments[id_]

    def __contains__(self, id_: object) -> bool:
        return id_ in self.instruments

    def __iter__(self) -> Iterator[str]:
        return iter(self.instruments)

    def __len__(self) -> int:
        return len(self.instruments)


@cache
def load(edition: str = EDITION) -> InstrumentBook:
    """Return the book of an edition; DataError for another edition or an uncited number."""
    if edition != EDITION:
        raise DataError(f"there is no edition {edition!r} of the instrument data, only {EDITION}")
    conventions = cited_file("conventions.toml")
    found = {}
    for entry in sorted(_folder().iterdir(), key=lambda item: item.name):
        if entry.name.endswith(".toml") and entry.name not in NOT_INSTRUMENTS:
            instrument = read_instrument(entry.read_text("utf-8"), entry.name, conventions)
            if f"{instrument.id}.toml" != entry.name:
                raise DataError(f"{entry.name}: id {instrument.id!r} does not match the file")
            found[instrument.id] = instrument
    return InstrumentBook(edition, MappingProxyType(found), bibliography())


@cache
def bibliography() -> Bibliography:
    """Return the sources of the instrument and hall data."""
    return read_bibliography((_folder() / "sources.toml").read_text("utf-8"))


def cited_file(name: str) -> dict[str, Cited]:
    """Return a data file of this room as cited values."""
    return read_cited((_folder() / name).read_text("utf-8"), name, bibliography())


def _folder() -> Traversable:
    return resources.files("redstave.instruments") / "data"


def read_instrument(text: str, where: str, conventions: Mapping[str, Cited]) -> Instrument:
    """Return the instrument of one data file; `where` names it in a DataError."""
    page = Page(where, read_cited(text, where, bibliography()))
    pitch = page.section("pitch")
    kind = page.word("kind")
    if kind not in KINDS:
        raise DataError(f"{where}: kind {kind!r} is none of {', '.join(sorted(KINDS))}")
    practical, extreme = pitch.compass("practical"), pitch.compass("extreme")
    registers = pitch.numbers("registers")
    decay = page.section("decay")
    shared = Page("conventions.toml", conventions)
    return Instrument(
        id=page.word("id"),
        name=page.word("name"),
        family=page.word("family"),
        kind=kind,
        seat=page.word("seat"),
        practical=practical,
        extreme=extreme,
        registers=(registers[0], registers[1]) if registers else None,
        transpositions=tuple(round(step) for step in pitch.numbers("transpositions")),
        level=_level(page.section("level"), shared, _middle(registers, practical)),
        spectrum=_spectrum(page.section("spectrum")),
        front_gain=page.section("radiation").numbers("front_gain") or (0.0,) * len(FRONT_BANDS_HZ),
        t60=decay.points("t60"),
        attack_ms=decay.number("attack") if decay.has("attack") else None,
        section=_section(page.section("section")),
        techniques=MappingProxyType(_techniques(page.section("techniques"))),
        technique_sigma=shared.section("technique").number("doubt"),
    )


def _middle(registers: tuple[float, ...], practical: Compass | None) -> float:
    """Return the middle of the middle register, or of the practical range, or 60 without pitch."""
    if registers:
        return 0.5 * (registers[0] + registers[1])
    return 0.5 * (practical.low + practical.high) if practical else 60.0


def _level(page: "Page", shared: "Page", middle: float) -> LevelTable:
    power = page.numbers("power", len(TABLE_MARKS))
    softest, loudest = page.numbers("bounds", 2)
    tilt = page.numbers("tilt") or (0.0,)
    outside = shared.section("outside")
    return LevelTable(
        power=power,
        sigma=page.leaf("power").uncertainties,
        softest=softest,
        loudest=loudest,
        ppp_below_pp=outside.number("ppp"),
        fff_above_ff=outside.number("fff"),
        middle=middle,
        tilt=tilt if len(tilt) == len(TABLE_MARKS) else tilt[:1] * len(TABLE_MARKS),
        by_pitch=page.points("by_pitch"),
    )


def _spectrum(page: "Page") -> SpectrumTable:
    form = page.word("form")
    if form not in FORMS:
        raise DataError(f"{page.where}: form {form!r} is none of {', '.join(sorted(FORMS))}")
    if form == "modes":
        ratios = page.numbers("ratios")
        levels = page.numbers("levels", len(ratios))
        return SpectrumTable(form, ratios=ratios, mode_levels=levels)
    marks = tuple(MARK_NUMBERS[word] for word in page.words("marks"))
    corner, rise, fall = (page.numbers(key, len(marks)) for key in ("corner", "rise", "fall"))
    if not page.has("even_drop"):
        return SpectrumTable(form, marks, corner, rise, fall)
    even_drop = page.numbers("even_drop", len(marks))
    return SpectrumTable(form, marks, corner, rise, fall, even_drop, page.number("even_below"))


def _section(page: "Page") -> Section | None:
    if not page.has("players"):
        return None
    return Section(round(page.number("players")), page.number("effort"), page.number("effort_from"))


def _techniques(page: "Page") -> dict[str, Technique]:
    return {name: _technique(page.section(name)) for name in page.keys}


def _technique(page: "Page") -> Technique:
    return Technique(
        power=page.numbers("power"),
        sigma=page.leaf("power").uncertainties if page.has("power") else (),
        t60=page.points("t60"),
        filter=page.points("filter"),
        steeper=page.number("fall") if page.has("fall") else 0.0,
    )


@dataclass(frozen=True)
class Page:
    """A section of a data file that knows its name, for clear errors."""

    where: str
    items: Mapping[str, Cited]

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of this section."""
        return tuple(self.items)

    def has(self, key: str) -> bool:
        """Tell whether the section gives a key."""
        return key in self.items

    def section(self, key: str) -> "Page":
        """Return a sub-section; one that is not there is empty."""
        item = self.items.get(key, {})
        if not isinstance(item, Mapping):
            raise DataError(f"{self.where}: {key} must be a section")
        return Page(f"{self.where}: {key}", item)

    def word(self, key: str) -> str:
        """Return a word."""
        item = self.items.get(key)
        if not isinstance(item, str):
            raise DataError(f"{self.where}: the word {key} is missing")
        return item

    def words(self, key: str) -> tuple[str, ...]:
        """Return a list of words."""
        item = self.items.get(key)
        if not isinstance(item, tuple):
            raise DataError(f"{self.where}: the list of words {key} is missing")
        return item

    def leaf(self, key: str) -> Quantity:
        """Return a cited value."""
        item = self.items.get(key)
        if not isinstance(item, Quantity):
            raise DataError(f"{self.where}: the cited number {key} is missing")
        return item

    def number(self, key: str) -> float:
        """Return a single cited number."""
        return self.leaf(key).number

    def numbers(self, key: str, count: int | None = None) -> tuple[float, ...]:
        """Return a row of cited numbers; without `count` a missing key gives an empty row."""
        if count is None and key not in self.items:
            return ()
        row = self.leaf(key).numbers
        if count is not None and len(row) != count:
            raise DataError(f"{self.where}: {key} needs {count} numbers, not {len(row)}")
        return row

    def points(self, key: str) -> Points:
        """Return (place, value) points; a single number holds everywhere; missing gives none."""
        if key not in self.items:
            return ()
        leaf = self.leaf(key)
        if not isinstance(leaf.value, tuple):
            return ((0.0, leaf.number),)
        if any(len(point) != 2 for point in leaf.rows):
            raise DataError(f"{self.where}: {key} must be pairs of place and value")
        return leaf.rows

    def compass(self, key: str) -> Compass | None:
        """Return a range of pitches, None when it is not given."""
        if key not in self.items:
            return None
        low, high = self.numbers(key, 2)
        return Compass(low, high, *self.leaf(key).uncertainties)
