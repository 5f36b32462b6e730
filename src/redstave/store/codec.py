"""Frozen values as JSON and back, read off their types: what is kept is what was given.

Dataclasses become objects, named tuples and tuples lists, enumerations their values. A field that a
stored text lacks takes its default, so that a type may gain fields.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, fields, is_dataclass
from enum import Enum
from functools import cache
from types import NoneType, UnionType
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

Value = TypeVar("Value")


def to_text(value: Any) -> str:
    """Return a frozen dataclass as one line of JSON, the same for the same value."""
    return json.dumps(asdict(value), ensure_ascii=False, separators=(",", ":"), default=_plain)


def from_text(kind: type[Value], text: str) -> Value:
    """Return the value that `to_text` was given; `kind` is its dataclass."""
    value: Value = _value(kind, json.loads(text))
    return value


def _plain(value: Any) -> Any:
    """Make a number of numpy's an ordinary one; anything else is an error of ours."""
    if hasattr(value, "item"):
        return value.item()
    raise TypeError(f"{value!r} cannot be kept")


def _value(kind: Any, found: Any) -> Any:
    origin = get_origin(kind)
    if origin in (Union, UnionType):
        return _one_of(get_args(kind), found)
    if origin is tuple:
        return _tuple(get_args(kind), found)
    if found is None or not isinstance(kind, type):
        return found
    if issubclass(kind, Enum):
        return kind(found)
    if is_dataclass(kind):
        return _dataclass(kind, found)
    return _named_tuple(kind, found) if hasattr(kind, "_fields") else found


def _one_of(kinds: Sequence[Any], found: Any) -> Any:
    """Read an optional value; among plain kinds JSON tells them apart itself."""
    wanted = [kind for kind in kinds if kind is not NoneType]
    return _value(wanted[0], found) if len(wanted) == 1 and found is not None else found


def _tuple(kinds: Sequence[Any], found: Sequence[Any]) -> tuple[Any, ...]:
    if len(kinds) == 2 and kinds[1] is Ellipsis:
        return tuple(_value(kinds[0], one) for one in found)
    return tuple(map(_value, kinds, found))


def _named_tuple(kind: Any, found: Sequence[Any]) -> Any:
    """Read a named tuple; values it has gained since at its end take their defaults."""
    return kind(*map(_value, list(_hints(kind).values())[: len(found)], found))


def _dataclass(kind: Any, found: Mapping[str, Any]) -> Any:
    hints = _hints(kind)
    names = [field.name for field in fields(kind) if field.name in found]
    return kind(**{name: _value(hints[name], found[name]) for name in names})


@cache
def _hints(kind: Any) -> dict[str, Any]:
    return get_type_hints(kind)
