"""A tone at the edges of some bars: what of it lies inside, and what becomes of the rest."""

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from redstave.instruments import InstrumentBook, decay_s
from redstave.model.line import Playing, TempoMap, Tone

Alter = Callable[[Tone], Tone | None]


class Stretch(NamedTuple):
    """Bars as time: ticks from `start`, where bar `first` (index) begins, up to `stop`.

    At `stop` begins the bar `after`.
    """

    start: int
    stop: int
    first: int
    after: int


class _Parts(NamedTuple):
    before: Tone | None
    inside: Tone
    after: Tone | None


def altered(
    tone: Tone, stretch: Stretch, alter: Alter, playing: Playing, book: InstrumentBook
) -> Sequence[Tone]:
    """Return a tone as it is when what sounds inside a stretch is altered; it may be parted there.

    A sustained tone is parted at the edges of the stretch, one that dies away cannot be: it
    belongs to where it begins.
    """
    if tone.start >= stretch.stop or (tone.stop <= stretch.start and tone.start < stretch.start):
        return (tone,)
    if can_part(tone, playing, book):
        parts = _parted(tone, stretch, playing.tempo)
    elif tone.start < stretch.start:
        return (tone,)
    else:
        parts = _Parts(None, tone, None)
    now = alter(parts.inside)
    return (tone,) if now == parts.inside else tuple(_joined(parts, now))


def can_part(tone: Tone, playing: Playing, book: InstrumentBook) -> bool:
    """Tell whether players can still do something about a tone while it sounds."""
    instrument = playing.lines[tone.line].instrument
    if tone.stop == tone.start or instrument not in book:
        return False
    return decay_s(book[instrument], tone.midi, tone.technique) is None


def _parted(tone: Tone, stretch: Stretch, tempo: TempoMap) -> _Parts:
    before, after = None, None
    if tone.start < stretch.start:
        before, tone = _cut(tone, stretch.start, stretch.first, tempo)
    if tone.stop > stretch.stop:
        tone, after = _cut(tone, stretch.stop, stretch.after, tempo)
    return _Parts(before, tone, after)


def _cut(tone: Tone, tick: int, bar: int, tempo: TempoMap) -> tuple[Tone, Tone]:
    """Part a tone at a tick, where a bar begins; the second part goes on without an attack."""
    share = (tick - tone.start) / (tone.stop - tone.start)
    level = tone.level + share * (tone.level_stop - tone.level)
    second, before = tempo.seconds(tick), tempo.seconds_before(tick)
    return (
        tone._replace(stop=tick, stop_s=before, level_stop=level),
        tone._replace(
            bar=bar, start=tick, start_s=second, level=level, accent_db=0.0, continued=True
        ),
    )


def _joined(parts: _Parts, now: Tone | None) -> Iterator[Tone]:
    """Yield the parts of a tone; one goes on in the next while it is one note of one line."""
    held = now is not None and _note(now) == _note(parts.inside)
    if parts.before is not None:
        yield parts.before
    if now is not None:
        yield now if held else now._replace(continued=False)
    if parts.after is not None:
        yield parts.after if held else parts.after._replace(continued=False)


def _note(tone: Tone) -> tuple[int, float, str]:
    return tone.line, tone.midi, tone.technique
