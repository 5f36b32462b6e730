"""From parts to lines: which instruments play a part, who plays them, and when they change.

Each wind player of a shared stave has a line of his own ("Corni in F III. IV." are two), and one
more for each instrument he changes to. A string section is one line, with further lines for its
parts where the page divides it. A stave that two instruments share ("Vc. e Cb.") has a line for
each. Everybody else is one line: a harp on two staves, a choir's voice, a percussion player.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from redstave.instruments.lexicon import family_of
from redstave.instruments.names import Naming
from redstave.model.line import Forces, Line
from redstave.model.score import Part, Score
from redstave.players.calling import spoken, without_stop
from redstave.players.company import namings_of
from redstave.players.desks import Desk, desks_of, numbers_of
from redstave.players.dividing import Division, divisions
from redstave.players.grouping import GroupKey, group_lines
from redstave.players.harmonics import Harmonic, absorbed, harmonics_of
from redstave.players.kit import is_percussion, with_kit
from redstave.players.page import is_played
from redstave.players.sections import (
    SectionKey,
    bars_with_notes,
    numbered_violins,
    section_key,
    section_players,
    shared_heads,
)
from redstave.players.signs import Signs, signs_of
from redstave.players.texture import Patterns, Texture, texture
from redstave.players.turns import Turn, announced, extra_instruments, turns_of

WINDS = frozenset({"woodwind", "brass", "unknown"})
RARE = 0.01  # of the places with notes; our assumption, no source


@dataclass(frozen=True)
class Cast:
    """One part with its lines and the times at which its players change instrument.

    `lines` are those the part may need; one whose players another line has (`Line.of`) counts only
    if it gets a tone. `companions` are the indices of lines of other instruments on the same stave,
    `heads` for each line the players behind it in each bar. `sounds` gives the line of each
    instrument that the file declares for the part. `desks` are the players of a shared wind stave,
    `groups` the lines of the parts of a section, `states` how the page divides it.
    """

    part: Part
    naming: Naming
    counted: Texture
    lines: tuple[Line, ...]
    companions: tuple[int, ...]
    heads: tuple[tuple[float, ...], ...]
    turns: tuple[Turn, ...]
    sounds: Mapping[str, int]
    signs: Signs
    harmonics: Mapping[str, Harmonic]
    desks: tuple[Desk, ...] = ()
    groups: Mapping[GroupKey, int] = field(default_factory=dict)
    states: Mapping[int, tuple[Division, ...]] = field(default_factory=dict)

    @property
    def line(self) -> Line:
        """The line of the instrument the part begins with."""
        return self.lines[0]

    @property
    def name(self) -> str:
        """The name of the part as printed."""
        return printed_name(self.part)

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
    patterns: Patterns = field(default_factory=dict)


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
        {
            part.id: bars_with_notes(part, len(score.bars))
            for parts in sections.values()
            for part in parts
        },
        violins,
    )
    return tuple(_cast(page, p, n) for p, n in zip(score.parts, namings, strict=True))


def printed_name(part: Part) -> str:
    """Return the name of a part as printed, its abbreviation or id where it has none."""
    return without_stop(" ".join((part.name or part.abbreviation or part.id).split()))


def _cast(page: _Page, part: Part, naming: Naming) -> Cast:
    naming = with_kit(part, naming)
    percussion = is_percussion(part, naming)
    sounds, declared = extra_instruments(part, naming)
    known = (*naming.instruments, *declared, *announced(part, naming))
    in_turn = tuple(dict.fromkeys(known)) or ("",)
    instruments = (*in_turn, *naming.companions)
    families = {family_of(one) for one in instruments}
    signs = signs_of(part, family_of(instruments[0]))
    harmonics = harmonics_of(part, family_of(instruments[0]), signs.techniques)
    counted = texture(page.score, part, absorbed(harmonics), page.patterns)
    winds = part.staves == 1 and families <= WINDS and not percussion
    if winds:
        naming = counted_by_the_page(part, naming, counted)
    lines, heads = [], []
    for index, instrument in enumerate(instruments):
        line, players = _line(page, part, naming, instrument, index, index >= len(in_turn))
        lines.append(line)
        heads.append(players)
    bare = Cast(
        part,
        naming,
        counted,
        tuple(lines),
        tuple(range(len(in_turn), len(instruments))),
        tuple(heads),
        turns_of(page.score, part, instruments, numbers_of(naming)),
        {id_: in_turn.index(instrument) for id_, instrument in sounds.items()},
        signs,
        harmonics,
    )
    if winds and naming.players > 1:
        return _with_desks(page, bare)
    alone = len(lines) == 1 and lines[0].section
    return _with_groups(page, bare) if alone else bare


def counted_by_the_page(part: Part, naming: Naming, counted: Texture) -> Naming:
    """Count the players of a wind part whose name gives no number: as many as it has notes at once.

    A name in the singular with chords on its stave ("Horn in F") is a shared stave all the same. A
    number of notes met at less than RARE of the places is taken for a slip.
    """
    if naming.numbers or max(counted.played, default=1) <= naming.players:
        return naming
    places = len({(note.stave, note.bar, note.offset) for note in part.notes if is_played(note)})
    usual = [
        n
        for n in counted.played
        if sum(counted.played[m] for m in counted.played if m >= n) > RARE * places
    ]
    at_once = max(usual, default=1)
    if at_once <= naming.players:
        return naming
    return replace(naming, players=at_once, counted=False)


def _with_desks(page: _Page, bare: Cast) -> Cast:
    desks, lines = desks_of(bare.part, bare.naming, bare.lines, bare.turns, bare.sounds)
    ones = (1.0,) * len(page.score.bars)
    return replace(bare, lines=lines, heads=(ones,) * len(lines), desks=desks)


def _with_groups(page: _Page, bare: Cast) -> Cast:
    key = section_key(bare.naming, bare.line.instrument, page.violins)
    alone = key is not None and len(page.sections[key]) == 1
    # "div. in 4" over several staves is one part a stave; only a lone stave holds all four.
    named = bare.naming.divided if alone else min(1, bare.naming.divided)
    states = divisions(page.score, bare.part, named)
    groups, lines = group_lines(bare.line, bare.counted, states)
    return replace(bare, lines=lines, heads=bare.heads * len(lines), groups=groups, states=states)


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
    name = printed_name(part)
    line = Line(
        id=f"{part.id}.{instrument}" if index else part.id,
        name=f"{name} ({spoken(instrument)})" if index else name,
        part=part.id,
        instrument=instrument,
        family="percussion" if is_percussion(part, naming) else family_of(instrument),
        numbers=() if companion else naming.numbers,
        players=1 if naming.role == "solo" else players,
        section=key is not None,
        of="" if companion or not index else part.id,
    )
    return line, tuple(heads)
