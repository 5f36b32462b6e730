"""From parts to lines: which instruments play a part, how many players, and when they change.

A part has one line for each of its instruments: usually one; two for a flute that changes to the
piccolo, or for a stave that two instruments share ("Trombone basso e Tuba"). Players of one
instrument on a shared stave ("2 Oboi") are one line of several players in this version, and a harp
on two staves is one line.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace

from redstave.instruments.lexicon import family_of
from redstave.instruments.names import Naming
from redstave.model.line import Forces, Line
from redstave.model.score import Part, Score
from redstave.players.company import namings_of
from redstave.players.sections import (
    SectionKey,
    bars_with_notes,
    numbered_violins,
    section_key,
    section_players,
    shared_heads,
)
from redstave.players.turns import Turn, extra_instruments, turns_of


@dataclass(frozen=True)
class Cast:
    """One part with its lines and the times at which its players change instrument.

    The lines are played by the same players in turn, except `companions`, the indices of lines with
    players of their own. `heads` are, for each line, the players behind it
    in each bar. `sounds` gives the line of each instrument that the file declares for the part.
    """

    part: Part
    naming: Naming
    lines: tuple[Line, ...]
    companions: tuple[int, ...]
    heads: tuple[tuple[float, ...], ...]
    turns: tuple[Turn, ...]
    sounds: Mapping[str, int]

    @property
    def line(self) -> Line:
        """The line of the instrument the part begins with."""
        return self.lines[0]

    @property
    def everyone(self) -> Line:
        """The first line as if it were all players of the stave, companions included."""
        if not self.companions:
            return self.line
        return replace(self.line, players=sum(line.players for line in self.lines))

    @property
    def low(self) -> int:
        """The line that has the lower of two notes: the bass drum's, else the companion's."""
        drums = [i for i, line in enumerate(self.lines) if line.instrument == "bass-drum"]
        return (drums or [self.companions[0] if self.companions else 0])[0]


@dataclass(frozen=True)
class _Page:
    """What is known of the whole page while parts are cast."""

    score: Score
    forces: Forces
    sections: Mapping[SectionKey, tuple[Part, ...]]
    playing: Mapping[str, list[bool]]
    violins: set[int]


def cast(score: Score, forces: Forces) -> tuple[Cast, ...]:
    """Return who plays each part, in the order of the score."""
    namings = namings_of(score)
    violins = numbered_violins(namings)
    sections: dict[SectionKey, list[Part]] = defaultdict(list)
    for part, naming in zip(score.parts, namings, strict=True):
        for instrument in (naming.instrument, *naming.companions):
            if key := section_key(naming, instrument, violins):
                sections[key].append(part)
    page = _Page(
        score,
        forces,
        {key: tuple(parts) for key, parts in sections.items()},
        {part.id: bars_with_notes(part, len(score.bars)) for part in score.parts},
        violins,
    )
    return tuple(_cast(page, p, n) for p, n in zip(score.parts, namings, strict=True))


def _cast(page: _Page, part: Part, naming: Naming) -> Cast:
    sounds, declared = extra_instruments(part, naming)
    in_turn = tuple(dict.fromkeys((*naming.instruments, *declared))) or ("",)
    instruments = (*in_turn, *naming.companions)
    lines, heads = [], []
    for index, instrument in enumerate(instruments):
        companion = index >= len(in_turn)
        line, players = _line(page, part, naming, instrument, index, companion)
        lines.append(line)
        heads.append(players)
    return Cast(
        part,
        naming,
        tuple(lines),
        tuple(range(len(in_turn), len(instruments))),
        tuple(heads),
        turns_of(page.score, part, instruments),
        {id_: in_turn.index(instrument) for id_, instrument in sounds.items()},
    )


def _line(
    page: _Page, part: Part, naming: Naming, instrument: str, index: int, companion: bool
) -> tuple[Line, tuple[float, ...]]:
    """Return one line of a part and its players bar by bar."""
    bars = len(page.score.bars)
    key = section_key(naming, instrument, page.violins)
    if key is None:
        players = 1 if companion else max(1, naming.players - len(naming.companions))
        heads = [float(players)] * bars
    else:
        parts, total = page.sections[key], section_players(key, page.forces)
        players = max(1, round(total / len(parts)))
        heads = shared_heads(parts, total, page.playing, bars)
    name = " ".join((part.name or part.abbreviation or part.id).split())
    line = Line(
        id=f"{part.id}.{instrument}" if index else part.id,
        name=f"{name} ({instrument.replace('-', ' ')})" if index else name,
        part=part.id,
        instrument=instrument,
        family=family_of(instrument),
        numbers=() if companion else naming.numbers,
        players=1 if naming.role == "solo" else players,
        section=key is not None,
    )
    return line, tuple(heads)
