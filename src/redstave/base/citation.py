"""A number from outside carries unit, uncertainty and source, or it does not load.

A *leaf* of a data file looks like this::

    fall = { value = 23.6, unit = "dB/oct", uncertainty = 3, source = "meyer", flag = "read" }

`value` is a number, a pitch name, or a list of either; `uncertainty` is one number for all of them
or a list of the same length, in the unit of the value (semitones for pitches).
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from redstave.base.errors import DataError

Scalar: TypeAlias = float | int | str
Value: TypeAlias = "Scalar | tuple[Value, ...]"

FLAGS = frozenset({"read", "second-hand", "measured", "from memory", "interpolated"})
UNITS = frozenset(
    {
        "1",
        "1/min",
        "1/s",
        "Cam",
        "Hz",
        "cent",
        "dB",
        "dB SPL",
        "dB re 1 pW",
        "dB re E0",
        "dB/oct",
        "m",
        "m3",
        "mm",
        "ms",
        "octave",
        "phon",
        "pitch",
        "players",
        "s",
        "semitone",
        "sone",
        "sone/Cam",
    }
)
LEAF_KEYS = frozenset({"value", "unit", "uncertainty", "source", "flag"})
STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
PITCH = re.compile(r"([A-G])(b|#)?(-?\d)")


@dataclass(frozen=True, slots=True)
class Source:
    """One entry of a bibliography: what it is and what of it was really read."""

    key: str
    title: str
    read: str


Bibliography: TypeAlias = Mapping[str, Source]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A cited value: number(s) or pitch name(s), unit, uncertainty (1 sd), source key and flag."""

    value: Value
    unit: str
    uncertainty: float | tuple[float, ...]
    source: str
    flag: str

    @property
    def number(self) -> float:
        """The value as one number; a pitch name gives its MIDI number."""
        if isinstance(self.value, tuple):
            raise DataError(f"one number was expected, not a list: {self.value}")
        return as_number(self.value)

    @property
    def numbers(self) -> tuple[float, ...]:
        """The value as a row of numbers; a single number is a row of one."""
        row = self.value if isinstance(self.value, tuple) else (self.value,)
        return tuple(as_number(item) for item in row)

    @property
    def rows(self) -> tuple[tuple[float, ...], ...]:
        """The value as rows of numbers (points of a curve)."""
        row = self.value if isinstance(self.value, tuple) else (self.value,)
        return tuple(
            tuple(as_number(item) for item in points) if isinstance(points, tuple) else ()
            for points in row
        )

    @property
    def uncertainties(self) -> tuple[float, ...]:
        """One uncertainty per item of `numbers`."""
        if isinstance(self.uncertainty, tuple):
            return self.uncertainty
        count = len(self.value) if isinstance(self.value, tuple) else 1
        return (self.uncertainty,) * count


Cited: TypeAlias = "Quantity | str | bool | tuple[str, ...] | Mapping[str, Cited]"


def as_number(item: Value) -> float:
    """Return a number as it is and a pitch name such as "F#3" as its MIDI number (C4 = 60)."""
    if isinstance(item, str):
        return float(midi_of(item))
    if isinstance(item, tuple):
        raise DataError(f"a number was expected, not a list: {item}")
    return float(item)


def midi_of(name: str) -> int:
    """Return the MIDI number of a scientific pitch name: "C4" gives 60, "Bb3" 58."""
    found = PITCH.fullmatch(name)
    if found is None:
        raise DataError(f"{name!r} is not a pitch name such as C4, Bb3 or F#2")
    step, accidental, octave = found.groups()
    return 12 * (int(octave) + 1) + STEPS[step] + {None: 0, "b": -1, "#": 1}[accidental]


def read_bibliography(text: str) -> dict[str, Source]:
    """Read a bibliography from TOML text: one table per key with `title` and `read`."""
    return {key: _source(key, entry) for key, entry in tomllib.loads(text).items()}


def _source(key: str, entry: Any) -> Source:
    if not isinstance(entry, dict) or set(entry) != {"title", "read"}:
        raise DataError(f"source {key!r}: a title and what was read are needed, nothing else")
    return Source(key, str(entry["title"]), str(entry["read"]))


def read_cited(text: str, where: str, bibliography: Bibliography) -> dict[str, Cited]:
    """Read TOML text whose every number is a cited leaf; `where` names the file in errors."""
    return {
        key: _cited(item, f"{where}: {key}", bibliography)
        for key, item in tomllib.loads(text).items()
    }


def _cited(item: Any, where: str, bibliography: Bibliography) -> Cited:
    if isinstance(item, dict):
        if item.keys() & LEAF_KEYS:
            return quantity(item, where, bibliography)
        return {key: _cited(sub, f"{where}.{key}", bibliography) for key, sub in item.items()}
    if isinstance(item, (str, bool)):
        return item
    if isinstance(item, list) and all(isinstance(word, str) for word in item):
        return tuple(item)
    raise DataError(f"{where}: a bare number has no unit, uncertainty or source")


def quantity(leaf: Mapping[str, Any], where: str, bibliography: Bibliography) -> Quantity:
    """Return the Quantity of one leaf; raise DataError where the leaf breaks the rule above."""
    for complaint in _complaints(leaf, bibliography):
        raise DataError(f"{where}: {complaint}")
    uncertainty = _frozen(leaf["uncertainty"])
    return Quantity(
        _frozen(leaf["value"]),
        leaf["unit"],
        uncertainty if isinstance(uncertainty, tuple) else float(uncertainty),  # type: ignore[arg-type]
        leaf["source"],
        leaf["flag"],
    )


def _complaints(leaf: Mapping[str, Any], bibliography: Bibliography) -> Iterator[str]:
    missing = LEAF_KEYS - leaf.keys()
    if missing:
        yield f"lacks {', '.join(sorted(missing))}"
        return
    if leaf.keys() - LEAF_KEYS:
        yield f"has unknown keys {', '.join(sorted(leaf.keys() - LEAF_KEYS))}"
    if leaf["unit"] not in UNITS:
        yield f"unit {leaf['unit']!r} is not known"
    if leaf["source"] not in bibliography:
        yield f"source {leaf['source']!r} is not in the bibliography"
    if leaf["flag"] not in FLAGS:
        yield f"flag {leaf['flag']!r} is none of {', '.join(sorted(FLAGS))}"
    if not _fits(leaf["uncertainty"], leaf["value"]):
        yield "uncertainty must be a number that is not negative, or one for each value"


def _fits(uncertainty: Any, value: Any) -> bool:
    if isinstance(uncertainty, list):
        same_length = isinstance(value, list) and len(value) == len(uncertainty)
        return same_length and all(_fits(one, 0) for one in uncertainty)
    is_number = isinstance(uncertainty, (int, float)) and not isinstance(uncertainty, bool)
    return is_number and uncertainty >= 0.0


def _frozen(item: Any) -> Value:
    if isinstance(item, list):
        return tuple(_frozen(one) for one in item)
    if isinstance(item, (int, float, str)) and not isinstance(item, bool):
        return item
    raise DataError(f"a value must be a number, a pitch name or a list of them, not {item!r}")
