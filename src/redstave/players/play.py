"""The whole way from page to players."""

from collections.abc import Mapping, Sequence

from redstave.base.pause import collector_paused
from redstave.instruments import InstrumentBook
from redstave.model.line import Forces, Line, OpenQuestion, Playing, Tone
from redstave.model.score import Part, Score
from redstave.players.aiming import aims
from redstave.players.assigning import Assignment
from redstave.players.dynamics import Instruction, for_line, instructions
from redstave.players.grouping import named_parts
from redstave.players.levels import LevelTrack, level_track
from redstave.players.lines import Cast, cast
from redstave.players.page import is_played
from redstave.players.pitch import shifts
from redstave.players.questions import about_casts, about_harmonics, about_levels, about_open_bars
from redstave.players.techniques import said, technique_points
from redstave.players.tempo import tempo_map
from redstave.players.tones import Clock, Orders, Told, tones_of


def play(score: Score, forces: Forces, book: InstrumentBook | None = None) -> Playing:
    """Return what every player of a score is told: lines, tones, levels, tempo, open questions.

    `forces` gives the strength of the string sections. `book`, where given, adds the questions
    that need an instrument's data (an octave transposition the file does not state).
    """
    with collector_paused():
        return _play(score, forces, book)


def _play(score: Score, forces: Forces, book: InstrumentBook | None) -> Playing:
    casts = cast(score, forces)
    tempo, questions = tempo_map(score)
    told = _told(score, casts)
    clock = Clock(tempo)
    tones: list[Tone] = []
    shared: list[OpenQuestion] = []
    for one, knows in zip(casts, told, strict=True):
        made = tones_of(score, one, knows, clock)
        tones.extend(made.tones)
        shared.extend(about_open_bars(score, one, made.open_bars))
    used = _used(casts, tones)
    lines, orders = _kept(casts, told, used)
    renumbered = {old: new for new, old in enumerate(used)}
    if len(used) < sum(len(one.lines) for one in casts):
        tones = [tone._replace(line=renumbered[tone.line]) for tone in tones]
    tones.sort(key=lambda tone: (tone.start, tone.line, tone.midi, tone.start_s))
    return Playing(
        lines=lines,
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


def _used(casts: Sequence[Cast], tones: Sequence[Tone]) -> list[int]:
    """Return the lines that stay: all with players of their own, and what else has a tone."""
    sounding = {tone.line for tone in tones}
    lines = [line for one in casts for line in one.lines]
    return [at for at, line in enumerate(lines) if not line.of or at in sounding]


def _kept(
    casts: Sequence[Cast], told: Sequence[Told], used: Sequence[int]
) -> tuple[tuple[Line, ...], tuple[Orders, ...]]:
    chosen = set(used)
    lines: list[Line] = []
    orders: list[Orders] = []
    for one, knows in zip(casts, told, strict=True):
        own = [at for at in range(len(one.lines)) if knows.first + at in chosen]
        named = named_parts(one.lines, one.groups, own) if one.groups else one.lines
        lines.extend(named[at] for at in own)
        orders.extend(knows.orders[at] for at in own)
    return tuple(lines), tuple(orders)


def _told(score: Score, casts: Sequence[Cast]) -> list[Told]:
    """Return what the players of each part are told, in the order of the parts."""
    told: list[Told] = []
    first = 0
    for one in casts:
        assignment = Assignment(one, score)
        orders = _orders(score, one, assignment)
        told.append(Told(first, orders, shifts(score, one.part), assignment))
        first += len(one.lines)
    return told


def _orders(score: Score, one: Cast, assignment: Assignment) -> tuple[Orders, ...]:
    """Return what each line of a part is told; lines that are told the same share it."""
    aimed = aims(score, one, assignment)
    told = instructions(score, one.part, aimed)
    words = said(score, one.part, one.line.family, aimed)
    silent = silences(score, one.part)
    quarter = score.ticks_per_quarter
    if not aimed:
        alike = _made(for_line(told, 0), silent, quarter)
        everyone = Orders(*alike, technique_points(words, 0))
        return (everyone,) * len(one.lines)
    return tuple(
        Orders(*_made(for_line(told, line), silent, quarter), technique_points(words, line))
        for line in range(len(one.lines))
    )


def _made(
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
