"""An entry that comes back with our own remarks on its page: they are taken off, and that is told.

Whoever mends the marked score of his letter and sends it in again has our words still in it; they
are neither his nor for the players.
"""

from dataclasses import replace

from redstave.model.score import Problem, Score
from redstave.reading.rubbed_out import rubbed_out
from redstave.writing.remarks import are_ours, is_remark, without_remarks

TAKEN_OFF = "remarks-taken-off"


def unmarked(score: Score) -> Score:
    """Return a score without remarks of ours on it; each is told among its problems."""
    told = [
        Problem(
            TAKEN_OFF,
            "A remark from an earlier letter stood here and was taken off.",
            mark.line,
            score.bars[mark.bar].number,
            part.id,
        )
        for part in score.parts
        for mark in part.marks
        if is_remark(mark)
    ]
    if not told:
        return score
    return replace(without_remarks(score), problems=(*score.problems, *told))


def unmarked_page(xml: bytes, name: str) -> bytes:
    """Return the MusicXML of an entry without remarks of ours on it, for engraving."""
    return rubbed_out(xml, name, lambda attributes, text: are_ours(attributes.items(), text))
