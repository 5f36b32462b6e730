"""The whole way from page to players."""

from collections.abc import Mapping
from operator import itemgetter
from typing import NamedTuple

from redstave.base.pause import collector_paused
from redstave.instruments import InstrumentBook
from redstave.model.line import Forces, Line, OpenQuestion, Playing, Tone
from redstave.model.score import Part, Score
from redstave.players.aiming import aims
from redstave.players.assigning import Assignment
from redstave.players.dynamics import OPEN, Instruction, for_line, instructions
from redstave.players.grouping import named_parts
from redstave.players.levels import LevelTrack, level_track
from redstave.players.lines import Cast, cast
from redstave.players.moments import Orders
from redstave.players.page import is_played, places
from redstave.players.pitch import shifts
from redstave.players.played import with_played
from redstave.players.questions import about_casts, about_harmonics, about_levels, about_open_bars
from redstave.players.ringing import Ringing
from redstave.players.techniques import said, technique_points
from redstave.players.tempo import tempo_map
from redstave.players.tones import Clock, Told, tones_of

_order = itemgetter(
    *map(Tone._fields.index, ("start", "line", "midi", "start_s"))
)  # the quicker way


def play(score: Score, forces: Forces, book: InstrumentBook | None = None) -> Playing:
    """Return what every player of a score is told: lines, tones, levels, tempo, open questions.

    `forces` gives the strength of the string sections. `book`, where given, adds what needs an
    instrument's data: how long a tone rings on that is told to, and the question about an octave
    transposition that the file does not state.
    """
    with collector_paused():
        return _play(score, forces, book)


class _Played(NamedTuple):
    """What one part comes to; `lines` and `orders` only of the lines that play or may play."""

    lines: tuple[Line, ...]
    orders: tuple[Orders, ...]
    tones: list[Tone]
    questions: tuple[OpenQuestion, ...]


def _play(score: Score, forces: Forces, book: InstrumentBook | None) -> Playing:
    casts = cast(score, forces)
    tempo, questions = tempo_map(score)
    clock = Clock(tempo)
    lines: list[Line] = []
    orders: list[Orders] = []
    tones: list[Tone] = []
    shared: list[OpenQuestion] = []
    for one in casts:
        played = _play_part(score, one, len(lines), clock, book)
        lines.extend(played.lines)
        orders.extend(played.orders)
        tones.extend(played.tones)
        shared.extend(played.questions)
    tones.sort(key=_order)
    return Playing(
        lines=tuple(lines),
        tones=tuple(tones),
        levels={line.id: told.levels[1].points for line, told in zip(lines, orders, strict=True)},
        tempo=tempo,
        open_questions=(
            *questions,
            *about_casts(casts, book),
            *shared,
            *about_levels(lines, orders, tones),
            *about_harmonics(casts),
        ),
        techniques={line.id: told.techniques[1] for line, told in zip(lines, orders, strict=True)},
    )


def _play_part(
    score: Score, one: Cast, first: int, clock: Clock, book: InstrumentBook | None
) -> _Played:
    """Play one part, whose lines are numbered from `first`; lines nobody needs are left out."""
    assignment = Assignment(one, score)
    orders = _orders(score, one, assignment)
    made = tones_of(score, one, Told(first, orders, shifts(score, one.part), assignment), clock)
    tones = made.tones
    if book is not None:
        ringing = Ringing(score, one.part, book, clock.tempo)
        tones = ringing.lengthened(tones, one.lines, [told.techniques for told in orders], first)
    sounding = {tone.line for tone in tones}
    used = [at for at, line in enumerate(one.lines) if not line.of or first + at in sounding]
    if used != list(range(len(used))):
        number = {first + old: first + new for new, old in enumerate(used)}
        tones = [tone._replace(line=number[tone.line]) for tone in tones]
    named = named_parts(one.lines, one.groups, used) if one.groups else one.lines
    return _Played(
        tuple(named[at] for at in used),
        tuple(orders[at] for at in used),
        tones,
        tuple(about_open_bars(score, one, made.open_bars)),
    )


def _orders(score: Score, one: Cast, assignment: Assignment) -> tuple[Orders, ...]:
    """Return what each line of a part is told; lines that are told the same share it."""
    aimed = aims(score, one, assignment)
    read = places(score, one.part, aimed)
    told = with_played(score, one.part, instructions(score, one.part, read, aimed))
    words = said(one.part, one.line.family, read)
    waits = any(i.kind == "swell" and i.stop == OPEN for ones in told.values() for i in ones)
    silent = silences(score, one.part) if waits else {}
    different = list(dict.fromkeys(aimed.values()))
    made: dict[tuple[bool, ...], Orders] = {}
    orders = []
    for line in range(len(one.lines)):
        key = tuple(aim is not None and line in aim for aim in different)
        if key not in made:
            levels = _levels(for_line(told, line), silent, score.ticks_per_quarter)
            made[key] = Orders(*levels, technique_points(words, line))
        orders.append(made[key])
    return tuple(orders)


def _levels(
    told: Mapping[int, tuple[Instruction, ...]],
    silent: Mapping[int, tuple[int, ...]],
    quarter: int,
) -> tuple[dict[int, LevelTrack], dict[int, frozenset[int]]]:
    """Return levels and accented ticks by stave."""
    tracks = {
        stave: level_track(ones, silent.get(stave, ()), quarter) for stave, ones in told.items()
    }
    accents = {
        stave: frozenset(one.tick for one in ones if one.kind == "accent")
        for stave, ones in told.items()
    }
    return tracks, accents


def silences(score: Score, part: Part) -> dict[int, tuple[int, ...]]:
    """Return where rests of at least a bar begin on each stave, and where the last note ends."""
    found: dict[int, list[int]] = {}
    ends: dict[int, int] = {}
    bars = score.bars
    for note in sorted(part.notes, key=lambda one: (one.bar, one.offset)):
        if not is_played(note):
            continue
        start = bars[note.bar].start + note.offset
        end = ends.get(note.stave)
        if end is not None and start - end >= max(1, bars[note.bar].length):
            found.setdefault(note.stave, []).append(end)
        ends[note.stave] = max(end or 0, start + note.duration)
    return {stave: (*found.get(stave, ()), end) for stave, end in ends.items()}
