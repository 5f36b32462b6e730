"""From parts to lines: which instrument, how many players, and who shares a section.

This version has one line a part: a wind stave for two players is one line of two, a harp on two
staves is one line. Several staves of one string section ("Violini I. div. in 4 P.") share the
section's players among those of them that have notes, bar by bar.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from redstave.instruments.lexicon import family_of
from redstave.instruments.names import Naming, resolve_name
from redstave.model.line import Forces, Line
from redstave.model.score import Part, Score
from redstave.players.page import is_played
from redstave.players.pitch import first_shift

SECTION_INSTRUMENTS = frozenset({"violin", "viola", "cello", "double-bass"})
REST_BARS = 2  # a divided stave that rests no longer than this still counts as playing
SectionKey = tuple[str, int]


@dataclass(frozen=True)
class Cast:
    """One part with what its name says and the line that plays it.

    `staves_of_section` are the ids of all parts that share the section, this one included;
    `heads` are the players of the whole section (or of the part when it is none).
    """

    part: Part
    naming: Naming
    line: Line
    heads: int
    staves_of_section: tuple[str, ...]


def cast(score: Score, forces: Forces) -> tuple[Cast, ...]:
    """Return who plays each part, in the order of the score."""
    namings = settle_by_company([name_of(part) for part in score.parts])
    namings = _split_pairs(score, namings)
    keys = _section_keys(namings)
    groups: dict[SectionKey, list[str]] = defaultdict(list)
    for part, key in zip(score.parts, keys, strict=True):
        if key is not None:
            groups[key].append(part.id)
    totals = {key: _section_players(key, forces) for key in groups}
    return tuple(
        _cast(part, naming, key, totals.get(key, 0) if key else 0, groups[key] if key else [])
        for part, naming, key in zip(score.parts, namings, keys, strict=True)
    )


def name_of(part: Part) -> Naming:
    """Resolve a part from its names, sounds, programs and transposition."""
    return resolve_name(
        part.name,
        part.abbreviation,
        sounds=[instrument.sound for instrument in part.instruments if instrument.sound],
        programs=[one.midi_program for one in part.instruments if one.midi_program],
        transposition=first_shift(part),
    )


def settle_by_company(namings: Sequence[Naming]) -> list[Naming]:
    """Decide ambiguous names by what else is on the page, whatever the order of the parts.

    "Basso" beside a double bass and other voices is a voice, else a double bass when there are
    strings; "Alto" is a viola when strings have none, else a voice.
    """
    certain = {n.instrument for n in namings if n.instrument and not n.candidates}
    return [_settled(naming, certain) if naming.candidates else naming for naming in namings]


def _settled(naming: Naming, certain: set[str]) -> Naming:
    strings = bool(certain & SECTION_INSTRUMENTS) or "voice" not in certain
    chosen = naming.candidates[0]
    if "voice" in naming.candidates and "voice" in certain:
        taken = chosen in certain and chosen != "violin"
        chosen = "voice" if taken or not strings else chosen
    text = f"{naming.evidence}; {chosen} by the company it keeps"
    return replace(naming, instruments=(chosen, *naming.instruments[1:]), evidence=text)


def _split_pairs(score: Score, namings: list[Naming]) -> list[Naming]:
    """Give two staves of one name "Violoncello e Basso" to one instrument each.

    The stave that sounds an octave lower is the companion's; without such evidence the second is.
    """
    twins: dict[str, list[int]] = defaultdict(list)
    for index, (part, naming) in enumerate(zip(score.parts, namings, strict=True)):
        if len(naming.companions) == 1 and not naming.numbers:
            twins[part.name].append(index)
    result = list(namings)
    for pair in twins.values():
        if len(pair) == 2:
            low = min(pair, key=lambda i: (first_shift(score.parts[i]) or 0, -i))
            for index in pair:
                result[index] = _half(namings[index], index == low)
    return result


def _half(naming: Naming, companion: bool) -> Naming:
    instrument = naming.companions[0] if companion else naming.instrument
    text = f"{naming.evidence}; two staves, one each"
    heads = max(1, naming.players - 1)
    return replace(naming, instruments=(instrument,), companions=(), players=heads, evidence=text)


def _section_keys(namings: Sequence[Naming]) -> list[SectionKey | None]:
    """Return which section each part belongs to, None when it is not of a string section."""
    violins = {
        number
        for naming in namings
        if naming.instrument == "violin" and naming.role != "solo"
        for number in naming.numbers
    }
    return [_section_key(naming, violins) for naming in namings]


def _section_key(naming: Naming, violins: set[int]) -> SectionKey | None:
    if naming.instrument not in SECTION_INSTRUMENTS or naming.role == "solo":
        return None
    if naming.instrument != "violin" or max(violins, default=0) > 2:
        return naming.instrument, 0
    if naming.numbers:
        return "violin", naming.numbers[0]
    return "violin", 1 if violins or not naming.plural else 0


def _section_players(key: SectionKey, forces: Forces) -> int:
    """Return the strength of a section; violins without numbers, or in three, are both sections."""
    instrument, number = key
    if key == ("violin", 0):
        return forces.violins_1 + forces.violins_2
    return forces.section(instrument, number)


def _cast(part: Part, naming: Naming, key: SectionKey | None, total: int, group: list[str]) -> Cast:
    players = max(1, round(total / len(group))) if key else naming.players
    line = Line(
        id=part.id,
        name=" ".join((part.name or part.abbreviation or part.id).split()),
        part=part.id,
        instrument=naming.instrument,
        family=family_of(naming.instrument),
        numbers=naming.numbers,
        players=1 if naming.role == "solo" else players,
        section=key is not None,
    )
    return Cast(part, naming, line, total if key else line.players, tuple(group) or (part.id,))


def heads_by_bar(score: Score, casts: Sequence[Cast]) -> dict[str, list[float]]:
    """Return the players behind each part in each bar.

    The staves of one section share its players among those that are playing around the bar.
    """
    bars = len(score.bars)
    playing = {one.part.id: _bars_with_notes(one.part, bars) for one in casts}
    heads: dict[str, list[float]] = {}
    for one in casts:
        group = one.staves_of_section
        if len(group) == 1:
            heads[one.part.id] = [float(one.heads)] * bars
        else:
            counts = [sum(playing[part][bar] for part in group) for bar in range(bars)]
            heads[one.part.id] = [one.heads / max(1, count) for count in counts]
    return heads


def _bars_with_notes(part: Part, bars: int) -> list[bool]:
    """Return in which bars a part plays, rests of up to REST_BARS between notes included."""
    sounding = sorted({note.bar for note in part.notes if is_played(note)})
    playing = [False] * bars
    for bar in sounding:
        playing[bar] = True
    for before, after in pairwise(sounding):
        if after - before - 1 <= REST_BARS:
            playing[before:after] = [True] * (after - before)
    return playing
