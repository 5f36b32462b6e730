"""Tones that are let ring, against the decay times of the instrument data."""

import pytest

from redstave.instruments import decay_s, load
from redstave.model.line import Forces, Playing
from redstave.players import play
from tests.players.pages import page

BOOK = load()


def _played(text: str) -> Playing:
    return play(page(text), Forces(), BOOK)


def _ends(text: str) -> list[float]:
    """Return when the tones of a page end, in seconds, in the order of their starts."""
    return [round(tone.stop_s, 2) for tone in _played(text).tones]


def _decay(instrument: str, midi: float, technique: str = "") -> float:
    found = decay_s(BOOK[instrument], midi, technique)
    assert found is not None
    return found


@pytest.mark.parametrize(
    "bars", ["C4/16:let-ring r r/8 r/2. | R*8 |", '"l.v." C4/16 r r/8 r/2. | R*8 |']
)
def test_a_tone_that_is_let_ring_dies_away_by_itself(bars: str) -> None:
    """A tie into nothing and the word both give it the time its instrument needs for 60 dB."""
    (end,) = _ends(f"part Harp\n{bars}\n")
    assert end == pytest.approx(_decay("harp", 60.0), abs=0.05)


def test_always_holds_until_it_is_cancelled() -> None:
    """“sempre l.v.” lengthens every note, until “étouffez” ends what still rings."""
    bars = '"sempre l.v." C3/4 E3 r/2 | "étouffez" G3/4 r/2. |'
    first, second, damped = _ends(f"part Harp\n{bars}\n")
    assert first == min(4.0, round(_decay("harp", 48.0), 2))
    assert second == min(4.0, round(1 + _decay("harp", 52.0), 2))
    assert damped == 5.0


def test_the_same_pitch_again_ends_it() -> None:
    """A string that is plucked again, and a tam-tam that is struck again, begin anew."""
    assert _ends("part Tam-tam\nC4/4:let-ring r C4 r | R*2 |\n") == [2.0, 3.0]
    first, other, _ = _ends("part Harp\nC3/4:let-ring E3 r C3 |\n")
    assert first == min(3.0, round(_decay("harp", 48.0), 2))
    assert other == 2.0


def test_a_tam_tam_rings_to_the_end_of_the_score_at_most() -> None:
    """Its decay is longer than the three bars that are left."""
    assert _decay("tam-tam", 60.0) > 12.0
    assert _ends("part Tam-tam\nC4/4:let-ring r r/2 | R*2 |\n") == [12.0]


def test_fingers_leave_a_string_for_the_next_note() -> None:
    """A plucked violin rings no longer than until the section plays again, on whatever string."""
    first, _ = _ends('part Violin 1\n"pizz." G3/16:let-ring E5 r/8 r/2. |\n')
    assert first == 0.25
    (alone,) = _ends('part Violin 1\n"pizz." G3/16:let-ring r r/8 r/2. |\n')
    assert alone == pytest.approx(_decay("violin", 55.0, "pizz"), abs=0.05)


@pytest.mark.parametrize("part", ["Flute", "Violin 1", "Horn in F | transpose=-7"])
def test_a_sustained_sound_stops_when_the_player_stops(part: str) -> None:
    """A flute and a bowed violin cannot let a note ring."""
    assert _ends(f"part {part}\nC5/4:let-ring r r r |\n") == [1.0]


def test_without_the_data_tones_are_as_long_as_written() -> None:
    """Who asks for no instrument data gets no lengthened tones."""
    (tone,) = play(page("part Harp\nC4/4:let-ring r r r |\n"), Forces()).tones
    assert tone.stop_s == 1.0


def test_a_tone_may_ring_into_another_tempo() -> None:
    """Ticks and seconds of the end agree with the tempo map."""
    playing = _played('part Tam-tam\nC4/4:let-ring r r r | !"Presto" %180 R | R*2 |\n')
    (tone,) = playing.tones
    assert tone.stop_s == pytest.approx(playing.tempo.seconds_before(tone.stop))
