"""Entry and original side by side: from printed notes of the one to tones of the other."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from redstave.analysis import Analysis
from redstave.analysis.page import marks_by_note
from redstave.model.line import WORKING_ORCHESTRA, Playing
from redstave.model.match import Carrier, Match, SourceTone
from redstave.model.score import Score
from redstave.original.match import match_of
from redstave.players import play


@dataclass(frozen=True)
class Beside:
    """An entry, the piano piece, and what became of the one in the other.

    `told` is the piano piece as its player is told to play it.
    """

    entry: Score
    playing: Playing
    original: Score
    told: Playing
    match: Match

    @cached_property
    def tones_of(self) -> dict[str, tuple[int, ...]]:
        """The tones (indices) of each printed note of the entry, by note id."""
        found: dict[str, list[int]] = defaultdict(list)
        for at, tone in enumerate(self.playing.tones):
            for note in tone.notes:
                found[note].append(at)
        return {note: tuple(tones) for note, tones in found.items()}

    @cached_property
    def source_of(self) -> dict[str, int]:
        """The source tone (index) of each printed note of the original, by note id."""
        return {note: at for at, tone in enumerate(self.match.source) for note in tone.notes}

    @cached_property
    def levels(self) -> tuple[float, ...]:
        """The level at which each source tone begins, as the pianist is told."""
        level = {note: tone.level for tone in self.told.tones for note in tone.notes}
        return tuple(level[tone.notes[0]] for tone in self.match.source)

    @cached_property
    def by_bar(self) -> dict[int, tuple[int, ...]]:
        """The source tones (indices) that begin in each bar of the original, in order of time."""
        found: dict[int, list[int]] = defaultdict(list)
        order = sorted(range(len(self.match.source)), key=lambda at: self.match.source[at][2:5])
        for at in order:
            found[self.match.source[at].bar].append(at)
        return {bar: tuple(tones) for bar, tones in found.items()}

    @cached_property
    def pitch_classes(self) -> dict[int, frozenset[int]]:
        """The pitch classes that sound in each bar (index) of the entry."""
        found: dict[int, set[int]] = defaultdict(set)
        for tone in self.playing.tones:
            if not tone.unpitched:
                last = self.entry.bar_at(max(tone.start, tone.stop - 1))
                for bar in range(tone.bar, last + 1):
                    found[bar].add(round(tone.midi) % 12)
        return {bar: frozenset(classes) for bar, classes in found.items()}

    @cached_property
    def signs(self) -> dict[str, frozenset[str]]:
        """The names of the marks on each printed note of the entry that bears any, by note id."""
        return _signs(self.entry)

    @cached_property
    def original_signs(self) -> dict[str, frozenset[str]]:
        """The same of the original."""
        return _signs(self.original)

    def sounds(self, source: int, bar: int) -> bool:
        """Return whether the pitch class of a source tone (index) sounds in a bar of the entry."""
        wanted = (self.match.source[source].midi + self.match.transposition) % 12
        return wanted in self.pitch_classes.get(bar, frozenset())

    def sources(self, notes: Iterable[str]) -> tuple[SourceTone, ...]:
        """Return the tones of the original that some printed notes of the entry sound."""
        carried = (
            carrier
            for note in notes
            for tone in self.tones_of.get(note, ())
            for carrier in self.match.sources_of.get(tone, ())
        )
        return tuple(self.match.source[at] for at in dict.fromkeys(one.source for one in carried))

    def carriers_in(self, source: int, bar: int) -> tuple[Carrier, ...]:
        """Return who sounds a source tone (index) in a bar (index) of the entry."""
        begin = self.entry.bars[bar].start
        end = begin + self.entry.bars[bar].length
        return tuple(
            one
            for one in self.match.carriers_of.get(source, ())
            if self.playing.tones[one.tone].start < end
            and max(self.playing.tones[one.tone].stop, self.playing.tones[one.tone].start + 1)
            > begin
        )


def _signs(score: Score) -> dict[str, frozenset[str]]:
    return {
        note: frozenset(mark.name for mark in marks)
        for part in score.parts
        for note, marks in marks_by_note(part).items()
    }


def beside(analysis: Analysis) -> Beside | None:
    """Return entry and original side by side, made once; None without an original."""
    return analysis.remember(_beside)


def _beside(analysis: Analysis) -> Beside | None:
    found = match_of(analysis)
    if found is None or analysis.original is None:
        return None
    told = play(analysis.original, WORKING_ORCHESTRA)
    return Beside(analysis.score, analysis.playing, analysis.original, told, found)
