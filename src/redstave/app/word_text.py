"""The teacher's word on an entry as plain words, both ways.

::

    pins     "41 = 37"     bar 41 of the entry comes from bar 37 of the piano piece
             "41-44 = 37-40", "45 = none"
    roles    "Viola, bars 9-12: tune"
    voices   "bars 17-20, left hand, highest: tune"     of the piano piece
    cuts     "9, 17, 29"     bars of the entry where sections begin

What is written by `word_texts` is read back as the same word.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from redstave.app.bar_names import BarNames
from redstave.base.errors import InputError
from redstave.model.line import Playing
from redstave.model.match import NO_BAR, Choice, Pin, VoiceOverride
from redstave.model.role import Role, RoleOverride
from redstave.model.score import Score
from redstave.trial import select_lines

NONE = "none"
HANDS = ("right hand", "left hand")
ROLES = ", ".join(Role)
PIN = 'write such as "41 = 37", or "41 = none" for a bar that comes from nowhere'
ROLE = 'write such as "Viola, bars 9-12: tune"'
VOICE = 'write such as "bars 17-20, left hand, highest: tune"'
BARS = re.compile(r"(?:(.*)[,\s]\s*)?bars?\s+(\S.*)", re.IGNORECASE)


@dataclass(frozen=True)
class Pages:
    """What the words are about: the entry, who plays it, and the piano piece where there is one."""

    entry: Score
    playing: Playing
    original: Score | None = None

    @cached_property
    def bars(self) -> BarNames:
        """The bars of the entry."""
        return BarNames(self.entry, "the entry")

    @cached_property
    def piano(self) -> BarNames:
        """The bars of the piano piece; InputError where there is none."""
        return BarNames(self.piece, "the piano piece")

    @property
    def piece(self) -> Score:
        """The piano piece; InputError where there is none."""
        if self.original is None:
            raise InputError(
                "there is no piano piece to speak of here: bars and voices of the original can "
                "be set only where one was given"
            )
        return self.original

    @property
    def staves(self) -> int:
        """How many staves the piano piece has."""
        return sum(part.staves for part in self.piece.parts)


def read_pins(text: str, pages: Pages) -> tuple[Pin, ...]:
    """Read "41 = 37", bars in a row as "41-44 = 37-40"."""
    here, equals, there = text.partition("=")
    if not equals or not here.strip() or not there.strip():
        raise InputError(f'"{text}" sets no bar to a bar; {PIN}')
    first, last = pages.bars.range(here)
    bars = range(first, last + 1)
    if there.strip().casefold() == NONE:
        _ = pages.piece
        return tuple(Pin(bar, NO_BAR) for bar in bars)
    begin, end = pages.piano.range(there)
    if end - begin != last - first:
        raise InputError(
            f'"{text}" sets {last - first + 1} bars to {end - begin + 1}; '
            "bars in a row need as many on both sides"
        )
    return tuple(Pin(bar, begin + at) for at, bar in enumerate(bars))


def read_roles(text: str, pages: Pages) -> tuple[RoleOverride, ...]:
    """Read "Viola, bars 9-12: tune"; without bars it holds for the whole piece."""
    before, colon, name = text.rpartition(":")
    if not colon or not before.strip():
        raise InputError(f'"{text}" gives nobody a role; {ROLE}')
    found = BARS.fullmatch(before.strip())
    who = (found[1] or "" if found else before).strip(" ,")
    first, last = pages.bars.range(found[2]) if found else (0, len(pages.entry.bars) - 1)
    role = name.strip().casefold()
    if role not in set(Role):
        raise InputError(f'"{name.strip()}" is no role; the roles are {ROLES}')
    sounding = _sounding(pages, first, last)
    exact = [line.id for line in pages.playing.lines if "," in who and line.name == who]
    lines = [one for one in exact or select_lines(pages.playing, who) if one in sounding]
    if not lines:
        raise InputError(f"{who} rests in {pages.bars.words(first, last)} and can have no role")
    return tuple(RoleOverride(line, first, last, Role(role)) for line in lines)


def read_voice(text: str, pages: Pages) -> VoiceOverride:
    """Read "bars 17-20, left hand, highest: tune"; what is left out means all there is."""
    before, colon, name = text.rpartition(":")
    voice = " ".join(name.split()).casefold()
    if not colon or not voice:
        raise InputError(f'"{text}" names no voice; {VOICE}')
    if not set(re.findall(r"[a-z]+", voice)) & set(Role):
        raise InputError(
            f'"{voice}" does not say what the voice is for; call it such as "tune" or '
            f'"left-hand figure", with one of {ROLES} in its name'
        )
    first, last, stave, choice = 0, len(pages.piece.bars) - 1, 0, Choice.ALL
    for words in (" ".join(one.split()) for one in before.split(",") if one.strip()):
        bars = BARS.fullmatch(words)
        if bars and not bars[1]:
            first, last = pages.piano.range(bars[2])
        elif words.casefold() in set(Choice):
            choice = Choice(words.casefold())
        else:
            stave = _stave(words.casefold(), pages)
    said = VoiceOverride(first, last, stave, choice, voice)
    if not _has_notes(said, pages.piece):
        where = _stave_words(stave, pages.staves) or "the piano"
        raise InputError(f"{where} rests in {pages.piano.words(first, last)} of the piano piece")
    return said


def read_cuts(text: str, pages: Pages) -> tuple[int, ...]:
    """Read "9, 17, 29": bars where sections begin."""
    return tuple(sorted({pages.bars.index(one) for one in text.split(",") if one.strip()}))


def pin_texts(pins: tuple[Pin, ...], pages: Pages) -> Iterator[tuple[str, tuple[Pin, ...]]]:
    """Yield pins as written, bars in a row together, each with what it stands for."""
    if not pins:
        return
    rows: list[list[Pin]] = []
    for pin in sorted(pins):
        before = rows[-1][-1] if rows else None
        if before and pin.entry == before.entry + 1 and _follows(before.original, pin.original):
            rows[-1].append(pin)
        else:
            rows.append([pin])
    for row in rows:
        here = _span(pages.bars, row[0].entry, row[-1].entry)
        none = row[0].original == NO_BAR
        there = NONE if none else _span(pages.piano, row[0].original, row[-1].original)
        yield f"{here} = {there}", tuple(row)


def role_text(one: RoleOverride, pages: Pages) -> str:
    """Return a role as written."""
    names = {line.id: line.name for line in pages.playing.lines}
    return f"{names.get(one.line, one.line)}, {pages.bars.words(one.first, one.last)}: {one.role}"


def voice_text(one: VoiceOverride, pages: Pages) -> str:
    """Return the word on a voice as written."""
    where = [pages.piano.words(one.first, one.last), _stave_words(one.stave, pages.staves)]
    which = "" if one.choice is Choice.ALL else str(one.choice)
    return f"{', '.join(filter(None, [*where, which]))}: {one.name}"


def _follows(before: int, now: int) -> bool:
    return before == now == NO_BAR or (before != NO_BAR and now == before + 1)


def _span(bars: BarNames, first: int, last: int) -> str:
    return bars.words(first, last).partition(" ")[2]


def _sounding(pages: Pages, first: int, last: int) -> frozenset[str]:
    """Return the lines (ids) that sound somewhere in some bars."""
    begin, end = pages.entry.bars[first].start, pages.entry.bars[last].start
    end += pages.entry.bars[last].length
    tones = pages.playing.tones
    heard = {tone.line for tone in tones if tone.start < end and tone.stop > begin}
    return frozenset(pages.playing.lines[at].id for at in heard)


def _has_notes(said: VoiceOverride, piece: Score) -> bool:
    above = 0
    for part in piece.parts:
        for note in part.notes:
            there = said.first <= note.bar <= said.last and said.stave in (0, above + note.stave)
            if there and note.kind == "pitched":
                return True
        above += part.staves
    return False


def _stave(words: str, pages: Pages) -> int:
    """Return the stave of the piano piece that "left hand" or "stave 2" means, 0 for both."""
    if words in ("both hands", "all staves"):
        return 0
    if words in HANDS and pages.staves == len(HANDS):
        return HANDS.index(words) + 1
    counted = re.fullmatch(r"stave (\d+)", words)
    if counted and 1 <= int(counted[1]) <= pages.staves:
        return int(counted[1])
    hands = "right hand, left hand, " if pages.staves == len(HANDS) else ""
    raise InputError(
        f'"{words}" is not known here; write {hands}stave 1 to {pages.staves}, highest or lowest: '
        f"{VOICE.removeprefix('write ')}"
    )


def _stave_words(stave: int, staves: int) -> str:
    if not stave:
        return ""
    return HANDS[stave - 1] if staves == len(HANDS) else f"stave {stave}"
