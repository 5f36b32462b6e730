"""From passages back to places on the page."""

from redstave.analysis.analysis import Analysis
from redstave.analysis.passages import Passage
from redstave.model.finding import Spot


def spot_of(analysis: Analysis, passage: Passage) -> Spot:
    """Return the place of a passage: its first note, its last bar, and all its printed notes."""
    score, tones = analysis.score, analysis.playing.tones
    rows = analysis.slices.row_tone[passage.rows]
    struck = [tones[index] for index in dict.fromkeys(rows.tolist())]
    notes = tuple(dict.fromkeys(note for tone in struck for note in tone.notes))
    first = score.bar_at(passage.start)
    return Spot(
        bar=first,
        offset=passage.start - score.bars[first].start,
        part=analysis.playing.lines[passage.line].part,
        stave=score.notes_by_id[notes[0]].stave,
        last_bar=max(first, score.bar_at(passage.stop - 1)),
        notes=notes,
    )


def bars_spot(analysis: Analysis, first: int, last: int) -> Spot:
    """Return the place of whole bars (indices, both inside), told on the top stave."""
    return Spot(first, 0, analysis.score.parts[0].id, 1, last)
