"""Levels and spectra of instruments against the figures of acoustics handbooks."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from redstave.instruments import (
    at_ear,
    decay_s,
    default_hall,
    emission,
    load,
    notes,
    sigma_db,
    sound_power_db,
)

BOOK = load()
PITCHED = [id_ for id_ in BOOK if BOOK[id_].pitched]
BRASS = ["horn", "trumpet", "trombone", "tuba"]
P, MF, F, FF = 3, 5, 6, 7


def total_db(levels: np.ndarray) -> float:
    """The level of all components together."""
    return float(10.0 * np.log10(np.sum(10.0 ** (levels / 10.0))))


def band_db(id_: str, midi: float, level: float, low_hz: float, high_hz: float) -> float:
    """The level of a note between two frequencies."""
    frequencies, levels = emission(BOOK[id_], midi, level)
    inside = (frequencies >= low_hz) & (frequencies < high_hz)
    return total_db(levels[inside]) if inside.any() else -math.inf


@given(
    id_=st.sampled_from(list(BOOK)),
    midi=st.floats(30.0, 96.0),
    level=st.floats(1.0, 8.0),
    players=st.integers(1, 20),
)
def test_powers_sum_to_the_sound_power(id_: str, midi: float, level: float, players: int) -> None:
    """The partials' powers sum to the level that is stated, for every instrument."""
    _, levels = emission(BOOK[id_], midi, level, None, players)
    stated = sound_power_db(BOOK[id_], midi, level, None, players)
    assert total_db(levels) == pytest.approx(stated, abs=1e-6)


@given(id_=st.sampled_from(list(BOOK)), midi=st.floats(30.0, 96.0), level=st.floats(1.0, 7.75))
def test_a_higher_marking_is_never_softer(id_: str, midi: float, level: float) -> None:
    """A quarter of a step more never lowers the level, and it stays within softest and loudest."""
    one = BOOK[id_]
    here, above = (sound_power_db(one, midi, number) for number in (level, level + 0.25))
    assert here <= above
    assert one.level.softest <= here <= above <= one.level.loudest


@pytest.mark.parametrize(("players", "gain"), [(1, 0.0), (2, 3.0), (3, 4.8), (4, 6.0), (8, 9.0)])
def test_players_in_unison_add_their_powers(players: int, gain: float) -> None:
    """N winds are 10 lg N dB louder than one (physics of independent sources)."""
    alone, all_ = (sound_power_db(BOOK["horn"], 60, F, None, n) for n in (1, players))
    assert all_ - alone == pytest.approx(gain, abs=0.05)


def test_a_section_player_plays_softer_than_a_soloist() -> None:
    """From six string players up each gives 3 dB less; one more is never softer."""
    sums = [sound_power_db(BOOK["violin"], 69, F, None, n) for n in range(1, 19)]
    assert sums[11] - sums[0] == pytest.approx(10.0 * math.log10(12.0) - 3.0)
    assert sums[5] - sums[0] == pytest.approx(10.0 * math.log10(6.0) - 3.0)
    assert all(fewer < more for fewer, more in itertools.pairwise(sums))


@pytest.mark.parametrize(
    ("id_", "low", "high"),
    [
        ("timpani", 58, 108), ("harp", 54, 91), ("guitar", 59, 88), ("bassoon", 80, 106),
        ("alto-saxophone", 82, 111), ("tenor-saxophone", 82, 113),
    ],
)  # fmt: skip
def test_levels_stay_within_the_measured_extremes(id_: str, low: float, high: float) -> None:
    """Weinzierl et al. 2018: softest at pp, loudest at ff (bassoon +-2 dB); second-hand."""
    compass = BOOK[id_].practical
    assert compass is not None
    pitches = np.linspace(compass.low, compass.high, 13)
    found = [sound_power_db(BOOK[id_], midi, level) for midi in pitches for level in (1, 2, 7, 8)]
    assert low <= min(found) < max(found) <= high


@pytest.mark.parametrize(
    ("id_", "midi", "low", "high"),
    [("horn", 53, 250, 500), ("bassoon", 48, 315, 500), ("oboe", 69, 1000, 1600),
     ("trumpet", 58, 1000, 2000)],
)  # fmt: skip
def test_envelopes_peak_where_the_formants_are(
    id_: str, midi: float, low: float, high: float
) -> None:
    """The envelope at forte is highest in the octave of the main formant (Sengpiel, Backus)."""
    envelope = BOOK[id_].spectrum.at(F, midi)
    frequencies = np.geomspace(60.0, 8000.0, 400)
    assert low <= frequencies[np.argmax(envelope.level(frequencies))] <= high


@pytest.mark.parametrize("id_", BRASS)
def test_brass_brightens_with_the_marking(id_: str) -> None:
    """The fall above the formant gets shallower from p to mf to ff (Meyer; Patynen and Lokki)."""
    falls = [BOOK[id_].spectrum.at(level, 60).fall for level in (P, MF, FF)]
    assert falls[0] > falls[1] > falls[2]


def test_low_notes_are_heard_through_their_partials() -> None:
    """The fundamental of a low horn is 27, of a low bassoon 24 dB under the whole note (7 dB).

    Lower quartiles of the Philharmonia samples that the envelopes were fitted to.
    """
    for id_, midi, drop in (("horn", 38, -27.0), ("bassoon", 37, -24.0)):
        frequencies, levels = emission(BOOK[id_], midi, MF)
        assert frequencies[0] < 80.0
        assert levels[0] - total_db(levels) == pytest.approx(drop, abs=7.0)


def test_clarinets_are_hollow_below_the_break_only() -> None:
    """Even partials are weak at sounding D3 and not at C5."""
    _, low = emission(BOOK["clarinet"], 50, F)
    _, high = emission(BOOK["clarinet"], 72, F)
    assert low[1] < low[2] - 15.0
    assert high[1] > high[2]


def front_3_m(id_: str, midi: float, level: float) -> float:
    """Sound pressure level 3 m in front of a player in the open (Lw - 20.5 dB)."""
    frequencies, levels = emission(BOOK[id_], midi, level)
    bands = np.log2([250.0, 500.0, 1000.0, 2000.0, 4000.0])
    gain = np.interp(np.log2(frequencies), bands, BOOK[id_].front_gain)
    return total_db(levels + gain) - 20.5


LOUD = {"trumpet": 74, "trombone": 62, "horn": 62}


@pytest.mark.parametrize("id_", ["trumpet", "trombone"])
def test_trumpet_and_trombone_are_over_the_horn_at_three_metres(id_: str) -> None:
    """DPA, maximum at 3 m: trumpet 106 and trombone 104 dB, horn 95 dB, as an order."""
    assert front_3_m(id_, LOUD[id_], 8) > front_3_m("horn", LOUD["horn"], 8) + 3.0


@pytest.mark.xfail(
    reason="Meyer's levels, as remembered, have the trombone 1 dB over the trumpet at ff",
    strict=True,
)
def test_the_trumpet_is_over_the_trombone_at_three_metres() -> None:
    """DPA, maximum at 3 m: trumpet 106 dB, trombone 104 dB, as an order."""
    assert front_3_m("trumpet", LOUD["trumpet"], 8) > front_3_m("trombone", LOUD["trombone"], 8)


def test_piccolo_is_louder_than_flute() -> None:
    """Sound Advice: piccolo 96-112 dB over flute 92-105 dB, as an order, each in its middle."""
    piccolo, flute = (front_3_m(id_, BOOK[id_].level.middle, F) for id_ in ("piccolo", "flute"))
    assert piccolo > flute


def test_in_the_pit_brass_is_over_strings() -> None:
    """Sound Advice, opera pit: trumpet 93, horn 91, trombone 90 over violin 84-90 dB, as an order.

    The order among the brass does not follow from power (horn 102, trumpet and trombone 101 dB at
    forte): it depends on what each plays and where it sits, and is left out.
    """
    power = {id_: BOOK[id_].level.power[4] for id_ in ("trumpet", "horn", "trombone", "violin")}
    assert power["violin"] + 10.0 < min(power["trumpet"], power["horn"], power["trombone"])


def test_plucked_and_struck_notes_die_away_and_rolls_do_not() -> None:
    """Harp and pizzicato have a decay time by pitch, bowed notes and rolls have none."""
    assert decay_s(BOOK["violin"], 69) is None
    assert decay_s(BOOK["violin"], 69, "pizz") == pytest.approx(0.68)
    assert decay_s(BOOK["harp"], 36) == pytest.approx(6.0)
    assert decay_s(BOOK["harp"], 84) < 1.0
    assert decay_s(BOOK["timpani"], 45) == pytest.approx(2.95)
    assert decay_s(BOOK["timpani"], 45, "tremolo") is None


def test_pizzicato_is_softer_than_the_bow() -> None:
    """Plucked, every string instrument has less power at every marking."""
    for id_ in ("violin", "viola", "cello", "double-bass"):
        middle = BOOK[id_].level.middle
        for level in (2, 3, 4, 5, 6, 7):
            plucked = sound_power_db(BOOK[id_], middle, level, "pizz")
            assert plucked < sound_power_db(BOOK[id_], middle, level)


def test_mutes_filter() -> None:
    """A muted trumpet loses 10 dB below 1 kHz and nothing near 1.7 kHz (Meyer, from memory)."""
    frequencies, plain = emission(BOOK["trumpet"], 57, F)
    _, muted = emission(BOOK["trumpet"], 57, F, "mute")
    change = muted - plain
    assert change[frequencies < 1000.0] == pytest.approx(-10.0)
    nearest = np.argmin(np.abs(frequencies - 1700.0))
    assert change[nearest] == pytest.approx(0.0, abs=1.0)


def test_stopped_horns_are_darker_at_the_same_power() -> None:
    """Luce and Clark 1967: -30 instead of -16 dB an octave; the power is that of the open horn."""
    open_, stopped = (emission(BOOK["horn"], 60, F, way)[1] for way in (None, "stopped"))
    assert total_db(stopped) == pytest.approx(total_db(open_))
    assert stopped[-1] < open_[-1] - 30.0


def test_what_is_less_known_has_a_wider_spread() -> None:
    """Forte 3 dB, piano 4, pp and ff 5, percussion 8, pizzicato 6, unknown techniques more."""
    horn, violin = BOOK["horn"], BOOK["violin"]
    assert [sigma_db(horn, level) for level in (P, F, 2, FF)] == [4.0, 3.0, 5.0, 5.0]
    assert sigma_db(BOOK["cymbals"], F) == 8.0
    assert sigma_db(violin, F, "pizz") == 6.0
    assert sigma_db(violin, F, "col-legno") == pytest.approx(5.0)
    assert emission(violin, 69, F, "col-legno")[1] == pytest.approx(emission(violin, 69, F)[1])


@pytest.mark.parametrize("id_", PITCHED)
def test_a_player_is_27_db_softer_at_the_seat(id_: str) -> None:
    """At a normal seat of the default hall L is about Lw - 27 dB at 500 Hz (Barron)."""
    hall = default_hall()
    change = hall.transfer_db(BOOK[id_], np.array([500.0]))
    assert change[0] == pytest.approx(-27.5, abs=1.5)


def test_the_listener_hears_what_is_emitted() -> None:
    """at_ear is emission plus the hall, component by component."""
    hall = default_hall()
    frequencies, levels = at_ear(BOOK["horn"], 60, F, None, 2, hall)
    emitted = emission(BOOK["horn"], 60, F, None, 2)
    assert np.array_equal(frequencies, emitted[0])
    assert levels - emitted[1] == pytest.approx(hall.transfer_db(BOOK["horn"], frequencies))


@given(
    id_=st.sampled_from(list(BOOK)),
    drawn=st.lists(
        st.tuples(st.floats(30.0, 96.0), st.floats(1.0, 8.0), st.integers(1, 16)), min_size=1
    ),
    technique=st.sampled_from(["", "pizz", "mute", "stopped", "tremolo"]),
)
def test_many_notes_at_once_are_each_note_alone(
    id_: str, drawn: list[tuple[float, float, int]], technique: str
) -> None:
    """The components of many notes made together are those of each made by itself."""
    many = notes.Notes(*np.array(drawn, dtype=np.float64).T)
    together = notes.emitted(BOOK[id_], many, technique)
    for number, (midi, level, players) in enumerate(drawn):
        frequencies, levels = emission(BOOK[id_], midi, level, technique, players)
        own = together.note == number
        assert together.frequencies[own] == pytest.approx(frequencies)
        assert together.levels[own] == pytest.approx(levels, abs=1e-9)
