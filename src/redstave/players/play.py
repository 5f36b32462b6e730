"""The whole way from page to players."""

from collections.abc import Sequence

from redstave.instruments import InstrumentBook
from redstave.model.line import Forces, OpenQuestion, Playing, Tone
from redstave.model.score import Part, Score
from redstave.players.assigning import Assignment
from redstave.players.dynamics import Instruction, instructions
from redstave.players.levels import LevelTrack, level_track
from redstave.players.lines import Cast, cast
from redstave.players.page import is_played
from redstave.players.pitch import shifts
from redstave.players.questions import about_casts, about_harmonics, about_levels, about_sharing
from redstave.players.sharing import labels, texture
from redstave.players.techniques import technique_points
from redstave.players.tempo import tempo_map
from redstave.players.tones import Told, tones_of


def play(score: Score, forces: Forces, book: InstrumentBook | None = None) -> Playing:
    """Return what every player of a score is told: lines, tones, levels, tempo, open questions.

    `forces` gives the strength of the string sections. `book`, where given, adds the questions
    that need an instrument's data (an octave transposition the file does not state).
    """
    casts = cast(score, forces)
    tempo, questions = tempo_map(score)
    told = _told(score, casts)
    tones: list[Tone] = []
    shared: list[OpenQuestion] = []
    for one, knows in zip(casts, told, strict=True):
        made, open_bars = tones_of(score, one.part, knows, tempo)
        tones.extend(made)
        shared.extend(about_sharing(score, one, open_bars))
    tones.sort(key=lambda tone: (tone.start, tone.line, tone.midi, tone.start_s))
    lines = [(line, knows) for one, knows in zip(casts, told, strict=True) for line in one.lines]
    return Playing(
        lines=tuple(line for line, _ in lines),
        tones=tuple(tones),
        levels={line.id: knows.levels[1].points for line, knows in lines},
        tempo=tempo,
        open_questions=(
            *questions,
            *about_casts(casts, book),
            *shared,
            *about_levels(casts, told, tones),
            *about_harmonics(casts),
        ),
        techniques={line.id: knows.techniques[1] for line, knows in lines},
    )


def _told(score: Score, casts: Sequence[Cast]) -> list[Told]:
    """Return what the players of each part are told, in the order of the parts."""
    told: list[Told] = []
    first = 0
    for one in casts:
        part = one.part
        orders = instructions(score, part)
        told.append(
            Told(
                first=first,
                levels=_levels(score, part, orders),
                instructions=orders,
                techniques=technique_points(score, part, one.line.family),
                shifts=shifts(score, part),
                assignment=Assignment(one, texture(part), labels(score, part, one.everyone)),
            )
        )
        first += len(one.lines)
    return told


def _levels(
    score: Score, part: Part, orders: dict[int, tuple[Instruction, ...]]
) -> dict[int, LevelTrack]:
    silent = silences(score, part)
    quarter = score.ticks_per_quarter
    return {
        stave: level_track(told, silent.get(stave, ()), quarter) for stave, told in orders.items()
    }


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
