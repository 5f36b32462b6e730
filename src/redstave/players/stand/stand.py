"""Put together what one player sees."""

from collections.abc import Iterator, Sequence
from itertools import pairwise, takewhile

from redstave.model.line import Line, OpenQuestion, Playing, TechniquePoint, Tone
from redstave.model.score import Note, Part, Score
from redstave.players.stand.chairs import Chair
from redstave.players.stand.passages import Run, longest_stretch, runs
from redstave.players.stand.signs import (
    Origin,
    Printed,
    Window,
    level_signs,
    origin,
    printed_of,
    rehearsal_signs,
    stress_signs,
    technique_signs,
    tempo_signs,
    word_signs,
)
from redstave.players.stand.view import Entry, Passage, Sign, Stand
from redstave.players.tempo_marks import statements

_BREATHING = frozenset({"woodwind", "brass", "voice"})
# What a player reads first where several things stand together.
_ORDER = (
    "rehearsal", "tempo", "instrument", "technique", "level", "stress", "crescendo", "diminuendo",
    "word",
)  # fmt: skip
_SAID = {
    ("bow", "pizz"): "pizz.",
    ("mute", True): "muted",
    ("tremolo", True): "tremolo",
    ("stopped", True): "stopped",
    ("flutter", True): "flutter-tongued",
    ("snares", False): "snares off",
    ("ringing", "let-ring"): "let ring",
}
_BY_NAME = frozenset({"bow", "place", "ringing"})
_ACCIDENTALS = {-2: "bb", -1: "b", 0: "", 1: "#", 2: "##"}


def stand_of(score: Score, playing: Playing, chair: Chair) -> Stand:
    """Return the page as the player on one chair sees it."""
    return _Reader(score, playing, chair).stand()


class _Reader:
    """Reads one chair's page."""

    def __init__(self, score: Score, playing: Playing, chair: Chair) -> None:
        self._score = score
        self._playing = playing
        self._chair = chair
        self._home: Line = playing.lines[chair.lines[0]]
        self._part: Part = score.parts_by_id[self._home.part]
        self._tones = tuple(tone for tone in playing.tones if tone.line in chair.lines)
        self._page: Printed = printed_of(score, self._part, statements(score))

    def stand(self) -> Stand:
        """Return everything, passage by passage."""
        sounding = [tone for tone in self._tones if tone.stop > tone.start]
        found = runs(self._score, self._playing.tempo, sounding)
        breath = longest_stretch(self._score, self._part, sounding)
        return Stand(
            name=self._chair.name,
            instruments=tuple(
                dict.fromkeys(self._playing.lines[line].instrument for line in self._chair.lines)
            ),
            bars=len(self._score.bars),
            plays=len(self._bars_played(sounding)),
            passages=tuple(self._passage(run) for run in found),
            breath=breath if self._home.family in _BREATHING else None,
            open=tuple(self._open()),
            tempo_assumed=self._playing.tempo.assumed,
        )

    def _bars_played(self, tones: Sequence[Tone]) -> set[int]:
        return {
            bar for tone in tones for bar in range(tone.bar, self._score.bar_at(tone.stop - 1) + 1)
        }

    def _passage(self, run: Run) -> Passage:
        tempo = self._playing.tempo
        first = run.tones[0]
        window = Window(run.before, first.start, run.stop)
        notes = [self._score.notes_by_id[tone.notes[0]] for tone in run.tones]
        pitched = sorted((note for note in notes if note.step), key=lambda note: note.written_midi)
        return Passage(
            bar=first.bar,
            last_bar=self._score.bar_at(run.stop - 1),
            seconds=tempo.seconds_before(run.stop) - tempo.seconds(first.start),
            rest=run.rest,
            entry=self._entry(run),
            signs=tuple(sorted(dict.fromkeys(self._signs(run, window)), key=_place)),
            low=pitch_name(pitched[0]) if pitched else "",
            high=pitch_name(pitched[-1]) if pitched else "",
        )

    def _entry(self, run: Run) -> Entry:
        first = min(run.tones, key=lambda tone: (tone.start, -tone.midi))
        line = self._playing.lines[first.line]
        source = origin(self._page, self._playing.levels[line.id], first.start)
        bar, offset = self._page.spot(first.start)
        return Entry(
            bar=bar,
            offset=offset,
            note=pitch_name(self._score.notes_by_id[first.notes[0]]),
            level=first.level,
            cause=_cause(first, source, run.before),
            since=source.bar,
            printed=source.text,
            instrument=line.instrument,
            state=tuple(in_force(self._score, self._playing.techniques[line.id], first.start)),
        )

    def _signs(self, run: Run, window: Window) -> Iterator[Sign]:
        starts = frozenset(tone.start for tone in run.tones)
        used = dict.fromkeys(tone.line for tone in run.tones)
        for line in used:
            one = self._playing.lines[line]
            yield from level_signs(self._page, self._playing.levels[one.id], window)
            yield from technique_signs(
                self._page, self._playing.techniques[one.id], self._tones, window
            )
        yield from stress_signs(self._page, starts, window)
        yield from tempo_signs(self._page, window)
        yield from rehearsal_signs(self._page, window)
        yield from word_signs(self._page, self._home, window)
        yield from self._turns(run)

    def _turns(self, run: Run) -> Iterator[Sign]:
        """Yield the changes of instrument on the way into and inside a passage."""
        at = self._tones.index(run.tones[0])
        for before, tone in pairwise([*self._tones[max(0, at - 1) : at], *run.tones]):
            old, new = (self._playing.lines[one.line].instrument for one in (before, tone))
            if old != new:
                seconds = max(0.0, tone.start_s - before.stop_s)
                yield Sign("instrument", *self._page.spot(tone.start), new, seconds=seconds)

    def _open(self) -> Iterator[OpenQuestion]:
        part = self._home.part
        return (one for one in self._playing.open_questions if one.part == part)


def _place(sign: Sign) -> tuple[int, int, int]:
    return sign.bar, sign.offset, _ORDER.index(sign.kind)


def _cause(first: Tone, source: Origin, before: int) -> str:
    """Return where the level at an entry comes from; `before` is the end of the last passage."""
    if not first.level_known or source.bar < 0:
        return "assumed"
    if before and source.tick < before:
        return "carried"
    return "swell" if source.swell else "marked"


def in_force(
    score: Score, points: Sequence[TechniquePoint], tick: int
) -> Iterator[tuple[str, int]]:
    """Yield the techniques in force at a tick that are not the ordinary ones, with their bar."""
    told = [point for point in points if point.tick <= tick]
    for name, value in told[-1]._asdict().items():
        text = _SAID.get((name, value), "") or (value if name in _BY_NAME and value else "")
        if text:
            since = _since(told, name)
            yield str(text).replace("-", " "), score.bar_at(since)


def _since(told: Sequence[TechniquePoint], name: str) -> int:
    """Return the tick since which one thing has been as it is now."""
    now = getattr(told[-1], name)
    same = takewhile(lambda point: getattr(point, name) == now, reversed(told))
    return list(same)[-1].tick


def pitch_name(note: Note) -> str:
    """Return a written pitch such as "Bb4", "" for an unpitched note."""
    if not note.step:
        return ""
    return f"{note.step}{_ACCIDENTALS.get(round(note.alter), '')}{note.octave}"
