"""An entry laid open on the desk: its analysis, its review, its page, and look-ups by place."""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from hashlib import sha256
from threading import RLock
from typing import Any, TypeVar

from redstave.analysis import Analysis
from redstave.analysis.barwise import LineInBar, by_line_and_bar
from redstave.model.review import Review
from redstave.render.level_plan import FAMILIES
from redstave.render.page_xml import Page, page
from redstave.render.systems import Layout, System, plan
from redstave.render.wording import bar_name

OTHER = "unknown"

Made = TypeVar("Made")
StaveInBar = tuple[str, int, int]  # part id, stave from 1, bar index


@dataclass(frozen=True, eq=False)
class Opened:
    """One entry on the desk, under its code name. `xml` is its uncompressed MusicXML.

    Everything in it is computed once and shared by all who read; the lock lets one thread at a time
    build what is not there yet.
    """

    code: str
    analysis: Analysis
    review: Review
    xml: bytes
    _lock: RLock = field(default_factory=RLock, repr=False)
    _plans: dict[str, tuple[System, ...]] = field(default_factory=dict, repr=False)
    _made: dict[Callable[..., Any], Any] = field(default_factory=dict, repr=False)

    @property
    def title(self) -> str:
        """What the score is called on its page."""
        return self.analysis.score.title

    @cached_property
    def sha256(self) -> str:
        """The hash of what is shown."""
        return sha256(self.xml).hexdigest()

    @cached_property
    def page(self) -> Page:
        """The printed page as XML with our ids, to cut systems from."""
        with self._lock:
            return page(self.xml)

    @cached_property
    def family(self) -> dict[str, str]:
        """The family of every part (id), by the first line that plays from it."""
        found: dict[str, str] = {}
        for line in self.analysis.playing.lines:
            found.setdefault(line.part, line.family)
        return {part.id: found.get(part.id, OTHER) for part in self.analysis.score.parts}

    @cached_property
    def families(self) -> tuple[tuple[str, str], ...]:
        """The families of the score in the order of the page, with what the page calls them."""
        names = dict.fromkeys(self.family.values())
        return tuple((name, FAMILIES.get(name, name.capitalize())) for name in names)

    @cached_property
    def records(self) -> dict[tuple[int, int], LineInBar]:
        """What is heard of every line (index) in every bar (index) in which it sounds."""
        with self._lock:
            hearing = self.analysis.hearing
        return {(one.line, one.bar): one for one in by_line_and_bar(hearing)}

    @cached_property
    def lines_at(self) -> dict[StaveInBar, tuple[int, ...]]:
        """The lines (indices) that play from each stave in each bar."""
        notes = self.analysis.score.notes_by_id
        found: dict[StaveInBar, set[int]] = defaultdict(set)
        for tone in self.analysis.playing.tones:
            for name in tone.notes:
                note = notes[name]
                found[name.rpartition(f".{note.bar}.")[0], note.stave, note.bar].add(tone.line)
        return {place: tuple(sorted(lines)) for place, lines in found.items()}

    @cached_property
    def part_names(self) -> dict[str, str]:
        """The printed name of every part, its id where none is printed."""
        return {part.id: part.name or part.id for part in self.analysis.score.parts}

    def bar_name(self, bar: int) -> str:
        """Return a bar's number as printed, by index."""
        return bar_name(bar, self.analysis.score)

    def once(self, work: "Callable[[Opened], Made]") -> Made:
        """Return what a function makes of this entry, made when it is first asked for."""
        with self._lock:
            if work not in self._made:
                self._made[work] = work(self)
            made: Made = self._made[work]
            return made

    def systems(self, layout: Layout) -> tuple[System, ...]:
        """Return the systems of a layout, planned once."""
        with self._lock:
            if layout.key not in self._plans:
                self._plans[layout.key] = plan(self.analysis.score, layout, self.family)
            return self._plans[layout.key]
