"""From the match of an entry with its original to all that the page on it shows."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from redstave.analysis import Analysis
from redstave.analysis.compass import sounding_name
from redstave.analysis.form import Colour, Turn
from redstave.analysis.state import State
from redstave.analysis.words import line_names
from redstave.model.line import level_name
from redstave.original import carrier_strips
from redstave.original.beside import Beside, beside
from redstave.original.form import form_of
from redstave.original.paths import Hold, colour_path
from redstave.original.strips import Strip, StripBar, StripCarrier
from redstave.render.level_plan import FAMILIES
from redstave.render.origin_words import sentences
from redstave.render.view import Audibility, Cell, Lane, OriginView, SectionRow, StripView
from redstave.render.wording import bar_name, number

MOST_LANES = 8  # of one voice; the rest is told as one lane
LEAST_SHARE = 0.5  # who sounds less of a voice in a bar only touches it
NAMED_INSTRUMENTS = 4
LEAST_HEIGHT, LEAST_LEVEL, LEAST_DENSITY = 4.0, 0.7, 1.4  # semitones, levels, ratio: worth a word

_STATES = {
    State.HEARD: Audibility.HEARD,
    State.DOUBTFUL: Audibility.DOUBTFUL,
    State.COVERED: Audibility.COVERED,
}


def origin_view(analysis: Analysis, heard: bool = True) -> OriginView | None:
    """Gather the page; None without an original. Without `heard` the hall is not asked."""
    both = beside(analysis)
    if both is None:
        return None
    strips = tuple(
        _strip(analysis, both, strip) for strip in carrier_strips(analysis, heard) if strip.bars
    )
    return OriginView(sentences(analysis, both), strips, section_rows(analysis))


def _strip(analysis: Analysis, both: Beside, strip: Strip) -> StripView:
    bars = len(analysis.score.bars)
    by_bar = {bar.entry: bar for bar in strip.bars}
    lanes = _lanes(analysis, by_bar)
    return StripView(
        both.match.voices[strip.voice].name,
        lanes,
        tuple(bar in by_bar for bar in range(bars)),
        tuple(bar in by_bar and by_bar[bar].carried == 0.0 for bar in range(bars)),
        tuple(path_rows(analysis, strip)),
    )


def path_rows(analysis: Analysis, strip: Strip) -> Iterator[tuple[str, str]]:
    """Yield the colour path of a voice in words: which bars, and in whose hands."""
    for hold in colour_path(strip):
        first, last = (bar_name(bar, analysis.score) for bar in (hold.first, hold.last))
        yield (first if hold.first == hold.last else f"{first}–{last}"), _hands(analysis, hold)


def _hands(analysis: Analysis, hold: Hold) -> str:
    if not hold.hands:
        return "nobody for most of it" if hold.share else "nobody"
    by_octave: dict[int, list[int]] = defaultdict(list)
    for line, octave in hold.hands:
        by_octave[octave].append(line)
    return "; ".join(
        ", ".join(line_names(analysis.playing.lines, lines)) + octave_words(octave)
        for octave, lines in by_octave.items()
    )


def octave_words(octaves: int) -> str:
    """Return " an octave higher", " two octaves lower", or nothing."""
    if not octaves:
        return ""
    many = {1: "an octave", 2: "two octaves", 3: "three octaves"}.get(abs(octaves))
    way = "higher" if octaves > 0 else "lower"
    return f" {many or f'{abs(octaves)} octaves'} {way}"


def _lanes(analysis: Analysis, by_bar: dict[int, StripBar]) -> tuple[Lane, ...]:
    """Return a lane for each part that carries the voice, in the order of the page."""
    carrying = _carrying(analysis, by_bar)
    most = sorted(carrying, key=lambda part: -len(carrying[part]))[:MOST_LANES]
    names = {part.id: part.name or part.id for part in analysis.score.parts}
    found = [
        Lane(names[part.id], _cells(analysis, [carrying[part.id]]))
        for part in analysis.score.parts
        if part.id in most
    ]
    rest = [carrying[part] for part in carrying if part not in most]
    if len(rest) == 1:
        (part,) = (part for part in carrying if part not in most)
        found.append(Lane(names[part], _cells(analysis, rest)))
    elif rest:
        found.append(Lane(f"{len(rest)} others", _cells(analysis, rest)))
    return tuple(found)


def _carrying(
    analysis: Analysis, by_bar: dict[int, StripBar]
) -> dict[str, dict[int, list[StripCarrier]]]:
    """Return who carries the voice, by part and bar.

    Who has it for a single bar only touches it, where another has it there and in a bar beside.
    """
    lines = analysis.playing.lines
    found: dict[str, dict[int, list[StripCarrier]]] = defaultdict(lambda: defaultdict(list))
    for at, bar in by_bar.items():
        for one in bar.carriers:
            if one.share >= LEAST_SHARE:
                found[lines[one.line].part][at].append(one)
    lasting = {at for bars in found.values() for at in bars if at - 1 in bars or at + 1 in bars}
    kept = {
        part: {
            at: ones
            for at, ones in bars.items()
            if at - 1 in bars or at + 1 in bars or at not in lasting
        }
        for part, bars in found.items()
    }
    return {part: bars for part, bars in kept.items() if bars}


def _cells(
    analysis: Analysis, carrying: Sequence[dict[int, list[StripCarrier]]]
) -> tuple[Cell | None, ...]:
    cells: list[Cell | None] = []
    for bar in range(len(analysis.score.bars)):
        ones = [one for part in carrying for one in part.get(bar, ())]
        best = max(ones, key=lambda one: one.share, default=None)
        if best is None:
            cells.append(None)
        else:
            heard = min((_rank(one) for one in ones), key=list(Audibility).index)
            cells.append(Cell(heard, best.octave_shift))
    return tuple(cells)


def _rank(one: StripCarrier) -> Audibility:
    return _STATES.get(one.state, Audibility.UNKNOWN) if one.state else Audibility.UNKNOWN


def section_rows(analysis: Analysis) -> tuple[SectionRow, ...]:
    """Return the table of sections; empty where no instrument is known."""
    if analysis.slices.start.size == 0:
        return ()
    found = form_of(analysis)
    turns: Sequence[Turn | None] = (None, *found.turns)
    return tuple(_row(analysis, one, turn) for one, turn in zip(found.sections, turns, strict=True))


def _row(analysis: Analysis, one: Colour, turn: Turn | None) -> SectionRow:
    score, section = analysis.score, one.section
    names = [
        analysis.book[name].name.lower() for name, _ in one.instruments if name in analysis.book
    ]
    more = len(names) - NAMED_INSTRUMENTS
    return SectionRow(
        bars=f"{bar_name(section.first, score)}–{bar_name(section.last, score)}",
        opened=section.opened or "beginning",
        instruments=", ".join(names[:NAMED_INSTRUMENTS])
        + (f" and {more} more" if more > 0 else ""),
        lines=number(round(one.lines, 1)),
        register=_register(one),
        level=level_name(one.level) if one.level else "–",
        rhythm=_rhythm(one),
        turn=turn_words(turn) if turn else "–",
    )


def _register(one: Colour) -> str:
    return f"{sounding_name(one.low)}–{sounding_name(one.high)}, about {sounding_name(one.centre)}"


def _rhythm(one: Colour) -> str:
    """Say where in the bar the accompaniment strikes, and for how long."""
    if one.pattern is None:
        return "no one rhythm"
    places = ", ".join(f"{float(at) + 1:.3g}" for at in one.pattern.onsets)
    return f"strikes at {places}, {one.pattern.bars} bars on end"


def turn_words(turn: Turn) -> str:
    """Say in a few words how a section differs from the one before."""
    said = [f"colours {number(round(100 * turn.distance))} % apart"]
    if abs(turn.height) >= LEAST_HEIGHT:
        said.append("higher" if turn.height > 0 else "lower")
    if abs(turn.level) >= LEAST_LEVEL:
        said.append("louder" if turn.level > 0 else "softer")
    if turn.density >= LEAST_DENSITY:
        said.append("fuller")
    elif turn.density <= 1.0 / LEAST_DENSITY:
        said.append("thinner")
    for sign, word in (("+", "with"), ("−", "without")):
        names = [FAMILIES.get(one[1:], one[1:]).lower() for one in turn.families if one[0] == sign]
        if names:
            said.append(f"{word} {' and '.join(names)}")
    return ", ".join(said)
