"""The check `slide-glissando-impossible`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import note_name
from redstave.analysis.tables import row
from redstave.checks.registry import CannotJudge, Limits, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.score import Note, Span

TENOR = frozenset({"trombone"})
TRITONE = 6.0


@check("slide-glissando-impossible", Claim.IMPOSSIBLE, sources=("harmonic-series",))
def slide_glissando_impossible(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find trombone glissandi that no slide can make.

    What it reports
        A glissando of a tenor trombone whose two ends do not lie on one partial of the slide.

    Why it matters
        A true glissando is one partial moved by the slide, seven positions and no more. Between two
        partials there is a break, and the listener hears two smears and a bump.

    How it is computed
        Both ends, as they sound, are looked for in the range of each partial of a tenor trombone in
        B flat without valve. Wider than a tritone none can be.

    Limits
        With a valve a few low ones become possible; those from E2 downwards are not judged. A bass
        trombone has two valves and is not judged unless the interval exceeds a tritone.

    Sources
        Computed from the harmonic series and seven positions a semitone apart.
    """
    lines = analysis.playing.lines
    players = {
        line.part: line for line in lines if line.instrument in {"trombone", "bass-trombone"}
    }
    if not players:
        raise CannotJudge("no part was recognised as a trombone")
    notes = analysis.score.notes_by_id
    for part in analysis.score.parts:
        if part.id not in players:
            continue
        for span in part.spans_of("glissando", "slide"):
            ends = _ends(span, notes)
            if ends is not None and not _possible(analysis, players[part.id].instrument, *ends):
                yield _finding(part.id, *ends)


def _ends(span: Span, notes: dict[str, Note]) -> tuple[Note, Note] | None:
    if span.start is None or span.stop is None:
        return None
    first, last = notes.get(span.start.note), notes.get(span.stop.note)
    return (first, last) if first and last else None


def _possible(analysis: Analysis, instrument: str, first: Note, last: Note) -> bool:
    tones = [analysis.tone_of.get(note.id) for note in (first, last)]
    if tones[0] is None or tones[1] is None:
        return True
    low, high = sorted(tone.midi for tone in tones if tone is not None)
    if instrument not in TENOR:
        return high - low <= TRITONE
    partials = [partial.numbers for partial in row("winds", "slide").values()]
    lowest = min(partial[0] for partial in partials)
    if low < lowest:
        return high - low <= TRITONE
    return any(partial[0] <= low and high <= partial[1] for partial in partials)


def _finding(part: str, first: Note, last: Note) -> Finding:
    return Finding(
        "slide-glissando-impossible",
        (Spot(first.bar, first.offset, part, first.stave, last.bar, (first.id, last.id)),),
        (Evidence("interval", round(abs(last.written_midi - first.written_midi)), "semitones", 6),),
        (("first", note_name(first)), ("last", note_name(last))),
    )
