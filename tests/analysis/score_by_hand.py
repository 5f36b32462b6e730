"""Small Playings made by hand, so that analysis is tested without a reader."""

from redstave.model.line import LevelPoint, Line, Playing, TempoMap, TempoPoint, Tone
from redstave.model.score import Bar, Origin, Score

QUARTER = 4


def line(number: int, instrument: str = "flute", family: str = "woodwind") -> Line:
    """Return a line of one player."""
    return Line(f"P{number}", f"Line {number}", f"P{number}", instrument, family, (), 1, False)


def tone(of: int, start: int, stop: int, midi: float, level: float = 5.0) -> Tone:
    """Return a tone of line `of` from `start` to `stop`, in quarter notes at 60 a minute."""
    return Tone(
        of, (f"P{of}.{start}",), start // 4, start * QUARTER, stop * QUARTER, float(start),
        float(stop), midi, 1.0, level, level, True, "",
    )  # fmt: skip


def playing(lines: list[Line], tones: list[Tone]) -> Playing:
    """Return a Playing at 60 quarters a minute, everything mf."""
    levels = {one.id: (LevelPoint(0, 5.0, False, True, ""),) for one in lines}
    tempo = TempoMap(QUARTER, (TempoPoint(0, 0.0, 60.0, 60.0),), False)
    ordered = tuple(sorted(tones, key=lambda one: (one.start, one.line, one.midi)))
    return Playing(tuple(lines), ordered, levels, tempo)


def score(bars: int) -> Score:
    """Return an empty score of so many bars of four quarters."""
    length = 4 * QUARTER
    return Score(
        "by hand",
        QUARTER,
        tuple(Bar(index, str(index + 1), index * length, length) for index in range(bars)),
        (),
        (),
        (),
        Origin("by hand", "", "none"),
    )
