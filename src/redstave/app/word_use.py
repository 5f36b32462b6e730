"""What the teacher says of one score, applied: it needs no season and no database."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import TypeVar

from redstave.analysis import Analysis
from redstave.app.origin import following_original
from redstave.app.word_text import (
    Pages,
    pin_texts,
    read_cuts,
    read_pins,
    read_roles,
    read_voice,
    role_text,
    voice_text,
)
from redstave.model.match import VoiceOverride
from redstave.model.role import RoleOverride
from redstave.model.teacher import TeachersWord

Word = TypeVar("Word", RoleOverride, VoiceOverride)


@dataclass(frozen=True)
class Saying:
    """What is said, in the words of `redstave.app.word_text`; kinds in `forget` are emptied first.

    Pins, roles and voices come to those that are there; `cuts`, where given, stand instead of them.
    """

    pins: Sequence[str] = ()
    roles: Sequence[str] = ()
    voices: Sequence[str] = ()
    cuts: str = ""
    forget: Sequence[str] = ()

    def __bool__(self) -> bool:
        """Tell whether anything is said at all."""
        return any((self.pins, self.roles, self.voices, self.cuts, self.forget))


def said(word: TeachersWord, saying: Saying, pages: Pages) -> TeachersWord:
    """Return the word with what is said now; later words stand instead of earlier on the same."""
    kept = replace(word, **dict.fromkeys(saying.forget, ()))
    pins = [pin for text in saying.pins for pin in read_pins(text, pages)]
    roles = [role for text in saying.roles for role in read_roles(text, pages)]
    voices = [read_voice(text, pages) for text in saying.voices]
    by_bar = {pin.entry: pin for pin in (*kept.pins, *pins)}
    return TeachersWord(
        tuple(by_bar[bar] for bar in sorted(by_bar)),
        _later(kept.voices, voices, _same_tones),
        _later(kept.roles, roles, _same_line),
        read_cuts(saying.cuts, pages) or kept.cuts,
    )


def with_word(analysis: Analysis, saying: Saying) -> Analysis:
    """Return the analysis of an entry, its original in it where there is one, with what is said."""
    if not saying:
        return analysis
    pages = Pages(analysis.score, analysis.playing, analysis.original)
    return with_teachers_word(analysis, said(TeachersWord(cuts=analysis.cuts), saying, pages))


def with_teachers_word(analysis: Analysis, word: TeachersWord) -> Analysis:
    """Return the analysis with another word; what does not depend on it is taken over."""
    first = analysis
    while first.earlier is not None and first.earlier.original is analysis.original:
        first = first.earlier  # so that analyses that nobody needs any more are let go
    return following_original(
        replace(
            first,
            pins=word.pins,
            voice_overrides=word.voices,
            overrides=word.roles,
            cuts=word.cuts,
            earlier=first,
        )
    )


def said_texts(word: TeachersWord, pages: Pages) -> dict[str, list[str]]:
    """Return what was said by kind (pins, roles, voices, cuts), each as it would be written."""
    return {
        "pins": [text for text, _ in pin_texts(word.pins, pages)],
        "roles": [role_text(one, pages) for one in word.roles],
        "voices": [voice_text(one, pages) for one in word.voices],
        "cuts": [pages.bars.name(bar) for bar in word.cuts],
    }


def _later(
    before: Iterable[Word], now: Sequence[Word], same: Callable[[Word, Word], bool]
) -> tuple[Word, ...]:
    """Return both, without earlier words on bars that a later one on the same is about."""
    kept: list[Word] = []
    for one in chain(before, now):
        kept = [old for old in kept if not (same(old, one) and _inside(old, one))]
        kept.append(one)
    return tuple(kept)


def _inside(old: RoleOverride | VoiceOverride, new: RoleOverride | VoiceOverride) -> bool:
    return new.first <= old.first and old.last <= new.last


def _same_line(one: RoleOverride, other: RoleOverride) -> bool:
    return one.line == other.line


def _same_tones(one: VoiceOverride, other: VoiceOverride) -> bool:
    return (one.stave, one.choice) == (other.stave, other.choice)
