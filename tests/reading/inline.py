"""Small MusicXML files for tests, written around the few elements that a test is about."""

from redstave.model.score import Mark, Part, Score, Span
from redstave.reading import read_bytes

NOTE = (
    "<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration>"
    "<voice>1</voice><type>whole</type>{}</note>"
)
ATTRIBUTES = (
    "<attributes><divisions>1</divisions><key><fifths>0</fifths></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time>"
    "<clef><sign>G</sign><line>2</line></clef></attributes>"
)


def xml_of_bars(*bars: str, attributes: str = ATTRIBUTES) -> bytes:
    """Return a file of one part with these bars; the first begins with the attributes."""
    measures = "".join(
        f'<measure number="{number}">{"" if number > 1 else attributes}{bar}</measure>'
        for number, bar in enumerate(bars, start=1)
    )
    return xml_of_parts({"P1": measures})


def xml_of_parts(parts: dict[str, str], listed: str | None = None) -> bytes:
    """Return a file of these parts; the list of parts names each unless another is given."""
    if listed is None:
        listed = "".join(
            f'<score-part id="{part}"><part-name>{part}</part-name></score-part>' for part in parts
        )
    body = "".join(f'<part id="{part}">{bars}</part>' for part, bars in parts.items())
    return (
        f'<score-partwise version="4.0"><part-list>{listed}</part-list>{body}</score-partwise>'
    ).encode()


def score_of_bars(*bars: str, attributes: str = ATTRIBUTES) -> Score:
    """Read a file of one part with these bars."""
    return read_bytes(xml_of_bars(*bars, attributes=attributes), "inline.musicxml")


def part_of_note(content: str) -> Part:
    """Read one bar with one whole note that carries the content."""
    score = score_of_bars(NOTE.format(content))
    assert score.problems == ()
    return score.parts[0]


def part_of_direction(content: str, inner: str = "") -> Part:
    """Read one bar with a direction of that type before a whole note."""
    direction = f"<direction><direction-type>{content}</direction-type>{inner}</direction>"
    score = score_of_bars(direction + NOTE.format(""))
    assert score.problems == ()
    return score.parts[0]


def only_mark(part: Part, *kinds: str) -> Mark:
    """Return the one mark of these kinds."""
    (mark,) = part.marks_of(*kinds)
    return mark


def only_span(part: Part, *kinds: str) -> Span:
    """Return the one span of these kinds."""
    (span,) = part.spans_of(*kinds)
    return span


def codes(score: Score) -> list[str]:
    """Return the codes of the score's problems."""
    return [problem.code for problem in score.problems]
