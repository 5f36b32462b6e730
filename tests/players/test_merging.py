"""The law of shared staves: two parts on one stave, labelled, give the tones of two staves."""

from collections.abc import Sequence
from typing import NamedTuple

from hypothesis import given
from hypothesis import strategies as st

from redstave.model.line import Forces, Playing
from redstave.players import play
from tests.players.pages import page

STEPS = "CDEFGAB"
RHYTHMS = (("1",), ("2", "2"), ("2.", "4"), ("4", "4", "4", "4"), ("4", "2", "4"))


class Bar(NamedTuple):
    """What one player has in a bar: values and pitches as diatonic numbers; nothing is a rest."""

    values: tuple[str, ...] = ()
    heights: tuple[int, ...] = ()

    @property
    def text(self) -> str:
        """The bar in the tiny notation."""
        return " ".join(map(_note, self.heights, self.values)) if self.values else "R"


def _note(height: int, value: str) -> str:
    return f"{STEPS[height % 7]}{height // 7}/{value}"


@st.composite
def bars(draw: st.DrawFn) -> Bar:
    """Draw a bar of rest or of a few notes between C4 and B5."""
    if draw(st.integers(0, 3)) == 0:
        return Bar()
    values = draw(st.sampled_from(RHYTHMS))
    heights = draw(st.lists(st.integers(28, 41), min_size=len(values), max_size=len(values)))
    return Bar(values, tuple(heights))


@st.composite
def pairs(draw: st.DrawFn) -> list[tuple[Bar, Bar]]:
    """Draw two parts bar by bar, every fourth pair of bars in unison."""
    found = []
    for _ in range(draw(st.integers(1, 5))):
        upper = draw(bars())
        lower = upper if draw(st.integers(0, 3)) == 0 else draw(bars())
        found.append((upper, lower))
    return found


def _on_one_stave(upper: Bar, lower: Bar, by_voices: bool) -> str:
    """Write two players' bar on one stave: as an engraver would, or always in two voices."""
    if not upper.values and not lower.values:
        return "R"
    if by_voices:
        return f"{upper.text} & {lower.text}"
    if upper == lower:
        return f'"a 2" {upper.text}'
    if not lower.values:
        return f'"1." {upper.text}'
    if not upper.values:
        return f'"2." {lower.text}'
    above = all(a > b for a, b in zip(upper.heights, lower.heights, strict=False))
    if upper.values == lower.values and above:
        together = zip(lower.heights, upper.heights, upper.values, strict=True)
        return " ".join(f"[{_note(a, v)[:2]} {_note(b, v)[:2]}]/{v}" for a, b, v in together)
    return f"{upper.text} & {lower.text}"


def _tones(playing: Playing) -> list[tuple[object, ...]]:
    """Return the tones by player, without the ids of the printed notes."""
    numbers = [line.numbers for line in playing.lines]
    return sorted(
        (numbers[t.line], t.start, t.stop, t.midi, t.players, t.level, t.technique, t.accent_db)
        for t in playing.tones
    )


def _play(parts: Sequence[str]) -> Playing:
    return play(page("\n".join(parts) + "\n"), Forces())


@given(pairs(), st.lists(st.booleans(), min_size=5, max_size=5))
def test_two_parts_on_one_stave_sound_as_on_two(
    music: list[tuple[Bar, Bar]], by_voices: list[bool]
) -> None:
    """Whatever two oboes play, labels, chords and voices on one stave lose and add nothing."""
    first = " | ".join(upper.text for upper, _ in music)
    second = " | ".join(lower.text for _, lower in music)
    shared = " | ".join(
        _on_one_stave(*bar, way) for bar, way in zip(music, by_voices, strict=False)
    )
    # A level that both read before they play.
    apart = _play([f"part Oboe 1\np R | {first} |", f"part Oboe 2\np R | {second} |"])
    merged = _play([f"part Oboes 1. 2\np R | {shared} |"])
    assert _tones(merged) == _tones(apart)
    codes = {question.code for question in merged.open_questions}
    assert not codes & {"single-line-unlabelled", "chord-unlabelled", "more-notes-than-players"}


@given(pairs())
def test_two_divided_parts_on_one_stave_sound_as_on_two(music: list[tuple[Bar, Bar]]) -> None:
    """Two halves of the violas in two voices sound as two staves with half the section each."""
    first = " | ".join(upper.text for upper, _ in music)
    second = " | ".join(lower.text for _, lower in music)
    both = " | ".join(f"{upper.text} & {lower.text}" for upper, lower in music)
    apart = _play([f"part Oboe 1\np R | {first} |", f"part Oboe 2\np R | {second} |"])
    merged = _play([f'part Viola\np "div." R | {both} |'])
    half = {"P1.a": (1,), "P1.b": (2,)}
    found = sorted(
        (half[merged.lines[t.line].id], t.start, t.stop, t.midi, t.level) for t in merged.tones
    )
    assert found == [
        (n, start, stop, midi, level) for n, start, stop, midi, _, level, *_ in _tones(apart)
    ]
    assert {tone.players for tone in merged.tones} <= {5.0}
