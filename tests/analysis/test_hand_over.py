"""Changes of hands: spans in order, each with those who carry the tune."""

from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.hand_over import TuneSpan
from redstave.reading import read_bytes

PHRASE = "G5/4( A5 B5 D6) | C6/4.( B5/8 A5/4 B5) | G5/4( F#5 G5 A5) | B5/2 r |"
RELAY = f"""\
meter: 4/4
part Flute
mf {PHRASE} R*4 |.
part Oboe
mf R*4 | {PHRASE[:-1]}|.
part Clarinet
mf R*4 | {
    PHRASE.replace("5/", "4/")
    .replace("B5", "B4")
    .replace("A5", "A4")
    .replace("G5", "G4")
    .replace("D6", "D5")
    .replace("C6", "C5")
    .replace("F#5", "F#4")[:-1]
}|.
part Bassoon | clef=bass
mf G2/1 | G2 | D3 | G2 | G2/1 | G2 | D3 | G2 |.
"""


def spans(text: str) -> tuple[Analysis, tuple[TuneSpan, ...]]:
    """Return the spans of a score in the short notation."""
    analysis = Analysis(read_bytes(text.encode(), "relay.tiny"))
    return analysis, analysis.tune_spans


def test_the_tune_goes_from_the_flute_to_oboe_and_clarinet() -> None:
    """Four bars of flute, four of oboe with the clarinet an octave lower: two spans."""
    analysis, found = spans(RELAY)
    names = [tuple(analysis.playing.lines[at].name for at in span.lines) for span in found]
    assert names == [("Flute",), ("Oboe", "Clarinet")]
    quarter = analysis.score.ticks_per_quarter
    assert [span.start / quarter for span in found] == [0, 16]
    assert [analysis.playing.lines[span.line].name for span in found] == ["Flute", "Oboe"]


def test_spans_are_in_order_and_hold_their_line() -> None:
    """Spans never overlap, the named line is one of those that carry, confidence is a chance."""
    _, found = spans(RELAY)
    assert all(one.stop <= other.start for one, other in pairwise(found))
    assert all(one.line in one.lines and 0.0 < one.confidence < 1.0 for one in found)


def test_who_touches_the_tune_for_a_moment_does_not_carry_it() -> None:
    """A clarinet that doubles three quavers of a long phrase is not among its carriers."""
    touching = RELAY.replace("mf R*4 | G4", "mf B4/8 A4 B4 r/8 r/2 | R*3 | G4")
    analysis, found = spans(touching)
    assert [analysis.playing.lines[at].name for at in found[0].lines] == ["Flute"]


def test_no_tune_no_spans() -> None:
    """A score in which nothing is known to sound has no spans."""
    assert spans("part Gizmo\nC5/1 |.\n")[1] == ()
