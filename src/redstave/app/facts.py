"""What a score file holds: the plain facts, before any judgement."""

from redstave.analysis import Analysis
from redstave.analysis.staffing import Staffing, staffing
from redstave.model.score import Part
from redstave.reading.account import counts

Json = dict[str, object]


def facts(analysis: Analysis) -> Json:
    """Return the facts of a score; the shape is documented in docs/json.md."""
    score = analysis.score
    players = staffing(analysis.playing)
    return {
        "title": score.title,
        "bars": len(score.bars),
        "parts": [_part(part, players.get(part.id)) for part in score.parts],
        "counts": counts(score),
        "problems": [problem._asdict() for problem in score.problems],
    }


def _part(part: Part, who: Staffing | None) -> Json:
    semitones = next((mark.value for mark in part.marks_of("transposition")), 0.0)
    return {
        "id": part.id,
        "name": part.name,
        "instrument": who.lines[0].instrument if who else "",
        "players": who.players if who else 0,
        "staves": part.staves,
        "transposition_semitones": round(semitones),
    }
