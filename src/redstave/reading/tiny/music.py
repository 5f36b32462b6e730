"""From the tokens of one part to its bars."""

import re
from collections.abc import Callable, Iterable
from copy import deepcopy
from fractions import Fraction
from typing import ClassVar

from redstave.reading.tiny.links import Links, VoiceKey
from redstave.reading.tiny.tokens import Token, error
from redstave.reading.tiny.values import Bar, Event, Head, Pitch, Sign, Voice
from redstave.reading.tiny.vocabulary import (
    BARLINES,
    HAIRPINS,
    LEVELS,
    NOTE_MARKS,
    VALUES,
    written_length,
)

PITCH = re.compile(r"([A-G])(##|#|bb|b)?(\d)")
SUFFIX = re.compile(r"[~()]|:[a-z0-9-]+")
VALUE = re.compile(r"/(\d+)(\.*)")
ALTERS = {None: 0, "#": 1, "##": 2, "b": -1, "bb": -2}


class MusicReader:
    """Reads the tokens of one part; `meter` is the metre in force where the part begins."""

    def __init__(self, meter: str, staves: int) -> None:
        self._staves = staves
        self._meter = meter
        self._value = 4
        self._dots = 0
        self._ratios: list[tuple[Fraction, bool]] = []
        self._tuplet_starts = 0
        self._links = Links()
        self._left = ""
        self._repeat_bar = 1
        self.bars: list[Bar] = []
        self._begin_bar(0)

    def read(self, tokens: Iterable[Token], line: int) -> list[Bar]:
        """Return the bars of the part whose heading stands in the line."""
        for token in tokens:
            line = token.line
            self._bar.line = self._bar.line or line
            self._handlers[token.kind](self, token)
        if self._has_content():
            self._end_bar("", line)
        if self._ratios:
            raise error(line, "a tuplet '{' is not closed")
        unfinished = self._links.unfinished()
        if unfinished:
            raise unfinished
        return self.bars

    # Bars, staves and voices

    def _begin_bar(self, line: int) -> None:
        self._bar = Bar(line, [], left=self._left)
        self._left = ""
        self._repeat_bar = 1
        self._begin_voice(1, 1)

    def _begin_voice(self, stave: int, number: int) -> None:
        self._voice = Voice(stave, number)
        self._bar.voices.append(self._voice)

    def _has_content(self) -> bool:
        return len(self._bar.voices) > 1 or bool(self._voice.items)

    def _end_bar(self, right: str, line: int) -> None:
        if not any(isinstance(item, Event) for voice in self._bar.voices for item in voice.items):
            raise error(line, "this bar holds no note and no rest; write R for a bar's rest")
        self._bar.meter = self._meter
        self._rest_silent_staves()
        copies = [_silent_copy(self._bar) for _ in range(self._repeat_bar - 1)]
        self.bars += [self._bar, *copies]
        self.bars[-1].right = right
        self._begin_bar(0)

    def _rest_silent_staves(self) -> None:
        named = {voice.stave for voice in self._bar.voices}
        first = self._bar.voices[0].items
        if any(isinstance(item, Event) and item.whole_bar for item in first):
            for stave in set(range(1, self._staves + 1)) - named:
                rest = Event(self._bar.line, Fraction(0), Fraction(0), 1, 0, whole_bar=True)
                self._bar.voices.append(Voice(stave, 1, [rest]))

    def _barline(self, token: Token) -> None:
        right, left = BARLINES[token.text]
        if self._has_content():
            self._end_bar(right, token.line)
        elif right or not left:
            raise error(token.line, f"nothing stands in the bar before {token.text!r}")
        self._left = self._bar.left = left

    def _next_voice(self, token: Token) -> None:
        self._close_voice(token)
        self._begin_voice(self._voice.stave, self._voice.number + 1)

    def _next_stave(self, token: Token) -> None:
        self._close_voice(token)
        if self._voice.stave >= self._staves:
            raise error(token.line, f"'//' goes to stave {self._voice.stave + 1}; set staves=")
        self._begin_voice(self._voice.stave + 1, 1)

    def _close_voice(self, token: Token) -> None:
        if self._ratios:
            raise error(token.line, "a tuplet '{' is not closed in its voice")

    # Notes and rests

    def _note(self, token: Token) -> None:
        head = Head(_pitch(token.text))
        self._add_notes(token, [head], token.text)

    def _chord(self, token: Token) -> None:
        inside, _, after = token.text.partition("]")
        heads = [_head(text, token.line) for text in inside.lstrip("^[").split()]
        if not heads:
            raise error(token.line, "'[]' holds no note")
        self._add_notes(token, heads, after)

    def _add_notes(self, token: Token, heads: list[Head], text: str) -> None:
        grace = token.text.startswith("^")
        event = self._event(token, text, grace)
        event.heads = heads
        if "~" in _suffixes(text):
            for head in heads:
                head.tie_start = True
        self._links.connect(self._key, event)
        self._add(event, text)

    def _rest(self, token: Token) -> None:
        event = self._event(token, token.text, grace=False)
        event.space = token.text.startswith("s")
        self._add(event, token.text)

    def _whole_bar(self, token: Token) -> None:
        event = Event(token.line, Fraction(0), Fraction(0), 1, 0, whole_bar=True)
        event.marks = _note_marks(token.text, token.line)
        self._voice.items.append(event)
        count = re.search(r"\*(\d+)", token.text)
        self._repeat_bar = max(1, int(count[1])) if count else 1

    def _event(self, token: Token, text: str, grace: bool) -> Event:
        value, dots = self._read_value(token, text, grace)
        ratio = Fraction(1)
        for factor, _ in self._ratios:
            ratio *= factor
        duration = Fraction(0) if grace else written_length(value, dots) / ratio
        event = Event(token.line, self._voice.length, duration, value, dots, ratio=ratio)
        event.grace = grace
        event.marks = _note_marks(text, token.line)
        return event

    def _read_value(self, token: Token, text: str, grace: bool) -> tuple[int, int]:
        found = VALUE.search(text)
        if not found:
            return (8, 0) if grace else (self._value, self._dots)
        value, dots = int(found[1]), len(found[2])
        if value not in VALUES:
            raise error(token.line, f"/{value} is not a note value; 1, 2, 4 … 64 are")
        if not grace:
            self._value, self._dots = value, dots
        return value, dots

    def _add(self, event: Event, text: str) -> None:
        for sign in _suffixes(text):
            if sign in "()":
                self._links.slur(self._key, event, sign)
        if not event.grace:
            opened = len(self._ratios)
            event.tuplets = [
                ("start", opened - left) for left in reversed(range(self._tuplet_starts))
            ]
            self._tuplet_starts = 0
        self._voice.items.append(event)
        self._voice.length += event.duration

    @property
    def _key(self) -> VoiceKey:
        return self._voice.stave, self._voice.number

    # Tuplets

    def _tuplet(self, token: Token) -> None:
        actual, _, normal = token.text[1:].partition(":")
        if not int(actual) or not int(normal):
            raise error(token.line, f"{token.text} has a nought in it")
        self._ratios.append((Fraction(int(actual), int(normal)), True))
        self._tuplet_starts += 1

    def _tuplet_end(self, token: Token) -> None:
        if not self._ratios or self._tuplet_starts:
            raise error(token.line, "'}' closes no tuplet")
        last = next(item for item in reversed(self._voice.items) if isinstance(item, Event))
        last.tuplets.append(("stop", len(self._ratios)))
        self._ratios.pop()

    # Signs between the notes

    def _sign(self, token: Token, number: int = 1) -> None:
        sign = Sign(token.line, self._voice.length, token.kind, token.text, number)
        self._voice.items.append(sign)

    def _level(self, token: Token) -> None:
        if token.text not in LEVELS:
            raise error(token.line, f"{token.text!r} is no level and no other sign")
        self._sign(token)

    def _hairpin(self, token: Token) -> None:
        if token.text == "=" or self._links.has_hairpin(self._key):
            number = self._links.end_hairpin(self._key, token.line)
            self._sign(token._replace(text="="), number)
        if HAIRPINS[token.text] != "stop":
            self._sign(token, self._links.begin_hairpin(self._key, token.line))

    def _change(self, token: Token) -> None:
        kind, _, text = token.text.partition(":")
        if kind == "meter":
            if self._voice.length:
                raise error(token.line, "a metre changes at the beginning of a bar")
            self._meter = text
        self._sign(Token(kind, text, token.line))

    _handlers: ClassVar[dict[str, Callable[["MusicReader", Token], None]]] = {
        "barline": _barline,
        "words": _sign,
        "chord": _chord,
        "note": _note,
        "whole_bar": _whole_bar,
        "rest": _rest,
        "change": _change,
        "level": _level,
        "tuplet": _tuplet,
        "tuplet_end": _tuplet_end,
        "stave": _next_stave,
        "voice": _next_voice,
        "hairpin": _hairpin,
        "tempo": _sign,
        "rehearsal": _sign,
    }


def _pitch(text: str) -> Pitch:
    match = PITCH.search(text)
    assert match is not None  # the token's pattern holds a pitch
    return Pitch(match[1], ALTERS[match[2]], int(match[3]))


def _head(text: str, line: int) -> Head:
    match = PITCH.match(text)
    rest = text[match.end() :] if match else ""
    if match is None or "".join(SUFFIX.findall(rest)) != rest or set(rest) & set("()"):
        raise error(line, f"{text!r} is not a note of a chord")
    return Head(_pitch(text), _note_marks(rest, line), "~" in rest)


def _suffixes(text: str) -> list[str]:
    return SUFFIX.findall(text)


def _note_marks(text: str, line: int) -> tuple[str, ...]:
    marks = tuple(sign[1:] for sign in _suffixes(text) if sign.startswith(":"))
    for mark in marks:
        if mark not in NOTE_MARKS:
            raise error(line, f"':{mark}' is not a mark of a note that Redstave writes")
    return marks


def _silent_copy(bar: Bar) -> Bar:
    copy = deepcopy(bar)
    copy.left = ""
    for voice in copy.voices:
        voice.items = [item for item in voice.items if isinstance(item, Event)]
        for item in voice.items:
            if isinstance(item, Event):
                item.marks = ()
    return copy
