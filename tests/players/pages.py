"""Small pages in the tiny notation, and what their players are told."""

from redstave.model.line import Forces, LevelPoint, Playing, Tone
from redstave.model.score import Score
from redstave.players import play
from redstave.reading import read_bytes

HEADER = "title: A test\nmeter: 4/4\n"


def page(text: str, header: str = HEADER + "tempo: 60\n") -> Score:
    """Return the score of a tiny text; every bar of 4/4 has sixteen sixteenths."""
    return read_bytes((header + "\n" + text).encode(), "test.tiny")


def told(text: str, header: str = HEADER + "tempo: 60\n") -> Playing:
    """Return what the players of a tiny text are told."""
    return play(page(text, header), Forces())


def flute(bars: str) -> Playing:
    """Return the playing of one flute."""
    return told(f"part Flute\n{bars}\n")


def levels_of(bars: str) -> tuple[LevelPoint, ...]:
    """Return the levels of one flute."""
    return flute(bars).levels["P1"]


def tones_of(playing: Playing, line: str) -> list[Tone]:
    """Return the tones of one line in the order of time."""
    index = next(i for i, one in enumerate(playing.lines) if one.id == line)
    return [tone for tone in playing.tones if tone.line == index]
