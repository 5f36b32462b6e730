"""Figures of a pianist's hand, and who has to play them."""

import pytest

from redstave.model.line import Tone
from redstave.original.keyboard import Figure, copied_figures, figure_of, unsuited
from tests.original.pieces import BROKEN, CELLO, VIOLIN, beside, part, piano


def tones(pitches: list[int], seconds: float) -> list[Tone]:
    """Return single tones one after another, each so long."""
    return [
        Tone(0, (str(at),), 0, at, at + 1, at * seconds, (at + 1) * seconds, float(pitch), 1.0,
             5.0, 5.0, True, "")
        for at, pitch in enumerate(pitches)
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("pitches", "seconds", "figure"),
    [
        ([48, 60, 48, 60, 50, 62], 0.2, None),  # 60 to 50 is no octave
        ([48, 60, 48, 60, 48, 60], 0.2, Figure.OCTAVES),
        ([60, 64] * 4, 0.1, Figure.TREMOLO),
        ([60, 64] * 4, 0.4, Figure.CLOSE),
        ([36, 43, 48, 52, 55, 60], 0.2, Figure.ARPEGGIO),
        ([41, 48, 57, 60, 57, 48], 0.3, Figure.LEAPING),
        ([48, 52, 55, 60, 55, 52], 0.3, Figure.CLOSE),
        ([60, 62, 64, 65, 67, 69], 0.2, None),
        ([41, 48, 57, 60, 57, 48], 0.6, None),
    ],
)
def test_figures_are_told_by_steps_span_and_speed(
    pitches: list[int], seconds: float, figure: Figure | None
) -> None:
    """Kinds of keyboard figures by hand; a scale and slow notes are none of them."""
    found = figure_of(tones(pitches, seconds))
    assert (found is figure) or (figure is None and found in (None, Figure.LEAPING, Figure.CLOSE))


def test_a_hand_played_note_by_note_is_copied_and_suits_some() -> None:
    """Cello and bassoon both copy the left hand for eight bars; it lies badly on the bassoon."""
    both = beside(VIOLIN + part("Bassoon | clef=bass", BROKEN) + CELLO, piano())
    found = copied_figures(both)
    names = [both.playing.lines[one.line].instrument for one in found]
    assert sorted(names) == ["bassoon", "cello"]
    assert {(one.first, one.last, one.figure) for one in found} == {(0, 7, Figure.ARPEGGIO)} or {
        (one.first, one.last) for one in found
    } == {(0, 7)}
    suits = {name: not unsuited(one, name) for name, one in zip(names, found, strict=True)}
    assert suits == {"bassoon": False, "cello": True}


def test_half_a_hand_is_no_copy() -> None:
    """Who plays every other note of the figure, or holds its chord, copies nothing."""
    half = [" ".join(bar.replace("/8", "/4").split()[::2]) for bar in BROKEN]
    assert copied_figures(beside(VIOLIN + part("Bassoon | clef=bass", half), piano())) == ()
