"""The letter as a talk over the music: captions, chapters, and a script to read from.

Captions and chapters are WebVTT (W3C). A remark is said
when its place is heard. Where there is time until the next one its caption holds all of its text;
where there is not, its number and its first words, and the letter says the rest.
"""

import textwrap
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from redstave.model.letter import Letter
from redstave.model.remark import Remark
from redstave.model.score import Score
from redstave.render.clock import Clock
from redstave.render.critique_text import wrapped
from redstave.render.remark_places import place_of, spots_on
from redstave.render.typed import lettered, one_line, paragraphs, shortened_to

LINE, LINES = 42, 2  # characters of a line and lines of a caption: common practice, no source
SPEED = 17.0  # characters a second that are read at ease: from memory
LEAST_S = 1.5  # a caption stays at least so long where there is time
LONGEST_TITLE = 90  # characters of a chapter's title
INDENT = "      "
BRIEF_S = 1.0  # a caption that is shown alone is shown at least so long
MOST_LINES = 4  # of remarks shown at once, before only their numbers are


class Said(NamedTuple):
    """A remark with its number, the bar where it begins, and the seconds when that is heard.

    `stop` is when the last bar of that place has been heard.
    """

    number: int
    remark: Remark
    bar: int
    start: float
    stop: float


class Cue(NamedTuple):
    """What is shown from one second to another; `name` is its id."""

    name: str
    start: float
    stop: float
    lines: tuple[str, ...]


def said(letter: Letter, score: Score, clock: Clock) -> tuple[Said, ...]:
    """Return the remarks of a letter in the order in which their places are heard."""
    found = [Said(number, one, *_heard(one, score, clock)) for number, one in letter.numbered]
    return tuple(sorted(found, key=lambda one: (one.bar, one.start, one.number)))


def captions(letter: Letter, score: Score, clock: Clock) -> str:
    """Return the remarks as WebVTT captions."""
    together = [list(group) for _, group in groupby(said(letter, score, clock), _bar)]
    cues: list[Cue] = []
    for at, group in enumerate(together):
        last = at + 1 == len(together)
        cues += _shown(group, None if last else together[at + 1][0].start, clock.end)
    return _webvtt(cues)


def chapters(letter: Letter, score: Score, clock: Clock) -> str:
    """Return the places of the remarks as WebVTT chapters, one after the other without a gap."""
    together = [list(group) for _, group in groupby(said(letter, score, clock), _bar)]
    titles = [
        (
            group[0].start,
            "; ".join(f"[{one.number}] {place_of(one.remark, score)}" for one in group),
        )
        for group in together
    ]
    if not titles or titles[0][0] > 0.0:
        titles.insert(0, (0.0, one_line(letter.entry) or "Beginning"))
    starts = [start for start, _ in titles]
    stops = [*starts[1:], max(clock.end, starts[-1] + LEAST_S)]
    return _webvtt(
        Cue(f"chapter-{at}", start, stop, (shortened_to(lettered(title), LONGEST_TITLE),))
        for at, ((start, title), stop) in enumerate(zip(titles, stops, strict=True), 1)
    )


def script(letter: Letter, score: Score, clock: Clock) -> str:
    """Return everything there is to say, in the order of the bars, with the time of each place."""
    blocks = [
        one_line(letter.entry),
        wrapped(paragraphs(letter.opening)),
        *(_read_out(one, score) for one in said(letter, score, clock)),
        wrapped(paragraphs(letter.next_step)),
        wrapped(paragraphs(letter.closing)),
    ]
    return lettered("\n\n".join(filter(None, blocks))) + "\n"


def _bar(one: Said) -> int:
    return one.bar


def _heard(remark: Remark, score: Score, clock: Clock) -> tuple[int, float, float]:
    spots = spots_on(remark, score)
    if not spots:
        return 0, 0.0, clock.end
    first = min(spots, key=lambda spot: (spot.bar, spot.offset))
    last = score.bars[first.last_bar]
    start = clock.second(score.tick(first.bar, min(first.offset, score.bars[first.bar].length)))
    return first.bar, start, max(start, clock.second(last.start + last.length))


def _shown(group: Sequence[Said], limit: float | None, end: float) -> Iterator[Cue]:
    """Yield the cues of one bar's remarks, none beyond `limit`, the next bar's beginning."""
    texts = [_lines(_full(one)) for one in group]
    times = [max(LEAST_S, sum(map(len, lines)) / SPEED) for lines in texts]
    start = group[0].start
    room = max(end, start + sum(times)) - start if limit is None else limit - start
    if sum(times) <= room:  # the last one stays while its place is heard
        held = max(group, key=lambda one: one.stop).stop
        times[-1] = min(room, max(sum(times), held - start)) - sum(times[:-1])
    elif room >= BRIEF_S * len(group):
        texts = [_lines(_brief(one, LINE * LINES)) for one in group]
        times = [room / len(group)] * len(group)
    else:
        yield _at_once(group, start, start + room)
        return
    for one, lines, length in zip(group, texts, times, strict=True):
        yield from _in_turn(one.number, lines, start, start + length)
        start += length


def _at_once(group: Sequence[Said], start: float, stop: float) -> Cue:
    """Return one cue for remarks that there is no time to show one after the other."""
    lines = [_brief(one, LINE) for one in group]
    if len(lines) > MOST_LINES:
        lines = _lines(" ".join(f"[{one.number}]" for one in group))
    return Cue(f"remark-{group[0].number}-1", start, stop, tuple(lines))


def _in_turn(number: int, lines: Sequence[str], start: float, stop: float) -> Iterator[Cue]:
    """Share the time out among captions of a few lines each, by their length."""
    shown = [tuple(lines[at : at + LINES]) for at in range(0, len(lines), LINES)]
    whole = sum(map(_length, shown))
    for at, part in enumerate(shown, 1):
        until = start + (stop - start) * _length(part) / whole
        whole -= _length(part)
        yield Cue(f"remark-{number}-{at}", start, until, part)
        start = until


def _length(lines: Sequence[str]) -> int:
    return sum(map(len, lines)) + 1


def _full(one: Said) -> str:
    further = " ".join(filter(None, map(one_line, (one.remark.why, one.remark.way_out))))
    return lettered(f"[{one.number}] {_text(one)} {further}".strip())


def _brief(one: Said, room: int) -> str:
    number = f"[{one.number}] "
    return number + shortened_to(_text(one), room - len(number) - LINES)


def _text(one: Said) -> str:
    return lettered(one_line(one.remark.text))


def _lines(text: str) -> list[str]:
    return textwrap.wrap(text, LINE) or [""]


def _read_out(one: Said, score: Score) -> str:
    minutes, seconds = divmod(int(one.start), 60)
    time = f"{minutes}:{seconds:02d}  "
    head = wrapped([f"[{one.number}] {place_of(one.remark, score)}"], INDENT, time)
    remark = one.remark
    tried = remark.trial.words if remark.trial else ()
    texts = [*paragraphs(remark.text), *paragraphs(remark.why), *paragraphs(remark.way_out), *tried]
    return "\n".join(filter(None, [head, wrapped(texts, INDENT)]))


def _webvtt(cues: Sequence[Cue] | Iterator[Cue]) -> str:
    blocks = ["WEBVTT"]
    for cue in cues:
        start, stop = round(1000 * cue.start), round(1000 * cue.stop)
        times = f"{_stamp(start)} --> {_stamp(max(start + 1, stop))}"
        blocks.append("\n".join([cue.name, times, *map(_escaped, cue.lines)]))
    return "\n\n".join(blocks) + "\n"


def _stamp(milliseconds: int) -> str:
    seconds, rest = divmod(milliseconds, 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02d}:{minutes:02d}:{seconds:02d}.{rest:03d}"


def _escaped(line: str) -> str:
    return line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
