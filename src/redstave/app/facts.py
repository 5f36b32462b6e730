"""What a score file holds: the plain facts, before any judgement."""

from pathlib import Path

from redstave.analysis import Analysis
from redstave.analysis.staffing import Staffing, staffing
from redstave.app.hear import printed
from redstave.app.marked_entry import TAKEN_OFF
from redstave.model.line import OpenQuestion
from redstave.model.score import Part, Score
from redstave.players.repeats import playing_seconds, stretches, unfold
from redstave.reading.account import counts
from redstave.reading.inventory import Row, account_of
from redstave.reading.musicxml import read_bytes, xml_of
from redstave.render.file_report import file_report
from redstave.render.open_questions import OpenTheme, open_questions, open_themes

Json = dict[str, object]


def facts(analysis: Analysis) -> Json:
    """Return the facts of a score; the shape is documented in docs/json.md."""
    score = analysis.score
    players = staffing(analysis.playing)
    lines: dict[str, list[str]] = {}
    for line in analysis.playing.lines:
        lines.setdefault(line.part, []).append(line.instrument)
    return {
        "title": score.title,
        "bars": len(score.bars),
        "duration": _duration(analysis),
        "parts": [
            _part(part, players.get(part.id), lines.get(part.id, [])) for part in score.parts
        ],
        "counts": counts(score),
        "problems": [problem._asdict() for problem in score.problems],
        "problem_kinds": [theme._asdict() for theme in file_report(score)],
        "open_questions": [question_json(one, score) for one in open_questions(analysis)],
    }


def themes(analysis: Analysis) -> tuple[OpenTheme, ...]:
    """Return all that the page leaves open for the players, gathered by theme."""
    return open_themes(open_questions(analysis), analysis.score)


def file_account(analysis: Analysis, entry: Path) -> tuple[Row, ...]:
    """Return what became of every element of the entry's file.

    Remarks of ours were read, and taken off after that.
    """
    data = entry.read_bytes()
    xml, _, _ = xml_of(data, entry.name)
    marked = any(problem.code == TAKEN_OFF for problem in analysis.score.problems)
    return account_of(read_bytes(data, entry.name) if marked else analysis.score, xml)


def question_json(question: OpenQuestion, score: Score) -> Json:
    """Return an open question as data: its bar as printed, None where it concerns the whole."""
    bar = printed(score.bars[question.bar].number) if question.bar >= 0 else None
    return {"code": question.code, "text": question.text, "bar": bar, "part": question.part}


def _duration(analysis: Analysis) -> Json:
    """Return how long the music lasts, without its repeats and with them."""
    score, tempo = analysis.score, analysis.playing.tempo
    passings = unfold(score).passings
    end = score.bars[-1].start + score.bars[-1].length if score.bars else 0
    return {
        "seconds": round(tempo.seconds(end), 1),
        "with_repeats_seconds": round(playing_seconds(score, tempo, passings), 1),
        "order": [[printed(score.bars[bar].number) for bar in run] for run in stretches(passings)],
        "tempo_assumed": tempo.assumed,
    }


def _part(part: Part, who: Staffing | None, instruments: list[str]) -> Json:
    semitones = next((mark.value for mark in part.marks_of("transposition")), 0.0)
    return {
        "id": part.id,
        "name": part.name,
        "instrument": who.lines[0].instrument if who else "",
        "instruments": list(dict.fromkeys(instruments)),
        "players": who.players if who else 0,
        "staves": part.staves,
        "transposition_semitones": round(semitones),
    }
