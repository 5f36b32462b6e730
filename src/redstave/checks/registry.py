"""What a check is, how one is declared, and the catalogue of them all."""

import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from redstave.analysis import Analysis
from redstave.base.errors import DataError
from redstave.model.finding import Claim, Finding

HEADINGS = (
    "What it reports",
    "Why it matters",
    "How it is computed",
    "Limits",
    "Sources",
)

Limits = Mapping[str, float]
Judge = Callable[[Analysis, Limits], Iterator[Finding]]


class Status(StrEnum):
    """How far a check has been tried: a trial check may still change what it reports."""

    TRIAL = "trial"
    STABLE = "stable"


class CannotJudge(Exception):  # noqa: N818 - an outcome, not an error
    """Raised by a check that lacks what it needs; the message is the reason shown."""


@dataclass(frozen=True, slots=True)
class Setting:
    """A threshold the teacher can move: default, unit, meaning, and where the default is from."""

    name: str
    default: float
    unit: str
    meaning: str
    source: str


@dataclass(frozen=True, slots=True)
class Check:
    """One entry of the catalogue. `judge` is a pure function from an Analysis to Findings."""

    slug: str
    family: str
    claim: Claim
    status: Status
    on: bool
    sources: tuple[str, ...]
    settings: tuple[Setting, ...]
    judge: Judge
    text: str

    def limits(self, changed: Limits) -> dict[str, float]:
        """Return the thresholds in force: the defaults, with the teacher's changes over them."""
        return {
            setting.name: changed.get(setting.name, setting.default) for setting in self.settings
        }


def check(
    slug: str,
    claim: Claim,
    *,
    sources: tuple[str, ...],
    settings: tuple[Setting, ...] = (),
    status: Status = Status.TRIAL,
    on: bool = True,
) -> Callable[[Judge], Check]:
    """Declare a check; its family is the name of the folder it stands in."""

    def declare(judge: Judge) -> Check:
        family = judge.__module__.split(".")[-2]
        text = inspect.cleandoc(judge.__doc__ or "")
        return Check(slug, family, claim, status, on, sources, settings, judge, text)

    return declare


@cache
def catalogue() -> dict[str, Check]:
    """Import every module below `redstave.checks` and return its checks by slug, sorted.

    An import error is an error, never a skip; a slug claimed twice raises DataError.
    """
    package = importlib.import_module("redstave.checks")
    found: dict[str, Check] = {}
    for module_info in pkgutil.walk_packages(package.__path__, "redstave.checks."):
        module = importlib.import_module(module_info.name)
        for value in vars(module).values():
            if not isinstance(value, Check) or value.judge.__module__ != module.__name__:
                continue
            if value.slug in found:
                raise DataError(f"two checks claim the slug {value.slug}")
            found[value.slug] = value
    return dict(sorted(found.items()))
