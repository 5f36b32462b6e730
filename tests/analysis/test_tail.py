"""The reverberant tail: what it may do, and what it must never do."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from redstave.acoustics import batch
from redstave.acoustics.hall import strength
from redstave.analysis.hearing import Hearing, hear
from redstave.analysis.slices import cut
from redstave.analysis.spectra import sound_of_rows
from redstave.analysis.strands import doubled_tones, hands, strand_of_rows
from redstave.analysis.tail import Ringing, ringing, silence, tails
from redstave.instruments import Hall, hall, load
from redstave.model.line import Line, Tone
from tests.analysis.score_by_hand import line, playing, score, tone

INSTRUMENTS = ("flute", "oboe", "horn", "trumpet", "viola")
LINES = [line(number, name) for number, name in enumerate(INSTRUMENTS)]
BOOK = load()
RINGING = hall(tail=True)


def heard(tones: list[Tone], place: Hall, lines: list[Line] = LINES) -> Hearing:
    """Hear a score of ten bars in a hall."""
    played = playing(lines, tones)
    slices = cut(score(10), played)
    strand = strand_of_rows(slices, doubled_tones(played.tones), hands(played.tones, lines))
    sound = sound_of_rows(slices, played, BOOK, place)
    of = np.array([one.line for one in played.tones], dtype=np.int64)[slices.row_tone]
    rings = ringing(place, lines, BOOK, of, sound.sigma_db)
    return hear(slices, sound, strand, of, len(lines), rings)


def one_line(share: float, rate: float) -> Ringing:
    """One line that rings alike in every filter."""
    filters = batch.bank().centres_hz.size
    shares = np.full((1, filters), share, np.float32)
    return Ringing(shares, np.full(filters, rate), np.array([3.0]))


def tail_of(sounding: list[float], edges: list[float], rings: Ringing) -> "np.ndarray":
    """The tail in one filter of a line whose excitation in each slice is given."""
    filters = batch.bank().centres_hz.size
    power = np.repeat(np.array(sounding, np.float32)[:, None, None], filters, axis=2)
    times = np.array(edges)
    return tails(rings, silence(rings), power, times[:-1], times[1:])[0].power[:, 0, 0]


def test_a_steady_sound_leaves_its_reverberant_share() -> None:
    """After a long tone the hall holds rho E, and loses 60 dB in T (definition of T)."""
    rings = one_line(0.9, 6.0 * np.log(10.0) / 2.0)  # T = 2 s
    tail = tail_of([1.0, 0.0, 0.0, 0.0], [0.0, 60.0, 60.002, 61.999, 62.001], rings)
    assert tail[1] == pytest.approx(0.9, rel=0.01)
    assert 10.0 * np.log10(tail[3] / 0.9) == pytest.approx(-60.0, abs=0.1)


def test_after_80_ms_the_tail_is_barrons_late_energy() -> None:
    """What rings 80 ms after a steady sound is the late energy of Barron and Lee 1988."""
    place, flute = RINGING, BOOK["flute"]
    at = np.array([500.0])
    told = strength(place.distance(flute), place.volume, place.reverberation)
    whole = told.direct + told.early + told.late
    left = place.reverberant_share(flute, at) * np.exp(-0.080 * place.decay_rate(at))
    assert left[0] == pytest.approx(float(told.late / whole), rel=0.005)


def test_a_held_or_repeated_note_has_no_tail() -> None:
    """A sounding note is counted at its full level, so it does not ring beside itself."""
    rings = one_line(0.9, 7.0)
    assert tail_of([1.0] * 5, [0.0, 1.0, 1.1, 1.2, 2.0, 5.0], rings) == pytest.approx(0.0)


def test_the_tail_is_linear() -> None:
    """Ten times the power leaves ten times the tail."""
    rings, edges = one_line(0.9, 7.0), [0.0, 0.5, 0.7, 1.0, 1.1]
    once = tail_of([1.0, 0.0, 0.5, 0.0], edges, rings)
    tenfold = tail_of([10.0, 0.0, 5.0, 0.0], edges, rings)
    assert once[1] > 0.0
    assert tenfold == pytest.approx(10.0 * once, rel=1e-5)


def test_what_was_heard_earlier_goes_on_across_spans() -> None:
    """Two spans of slices in a row give the tail of one."""
    rings, edges = one_line(0.9, 7.0), np.array([0.0, 0.5, 0.7, 1.0, 1.1])
    power = np.ones((4, 1, batch.bank().centres_hz.size), np.float32)
    power[1::2] = 0.0
    whole, _ = tails(rings, silence(rings), power, edges[:-1], edges[1:])
    first, ring = tails(rings, silence(rings), power[:2], edges[:2], edges[1:3])
    second, _ = tails(rings, ring, power[2:], edges[2:4], edges[3:])
    np.testing.assert_allclose(whole.power, np.concatenate([first.power, second.power]))


moves = st.lists(st.lists(st.integers(50, 84), min_size=5, max_size=5), min_size=2, max_size=5)


def passage(chords: list[list[int]]) -> list[Tone]:
    """Five lines in chords of one quarter, each line resting on its own beat of five."""
    return [
        tone(of, at, at + 1, float(midi))
        for at, chord in enumerate(chords)
        for of, midi in enumerate(chord)
        if at % 5 != of
    ]


@given(moves)
@settings(max_examples=30, deadline=None)
def test_the_tail_never_raises_a_partial_loudness(chords: list[list[int]]) -> None:
    """With the tail nothing is heard more than without it (0.1 % for float32)."""
    dry, wet = heard(passage(chords), hall()), heard(passage(chords), RINGING)
    assert (wet.rows.partial <= dry.rows.partial * 1.001 + 1e-6).all()
    assert (wet.rows.margin_db <= dry.rows.margin_db + 0.01).all()
    np.testing.assert_allclose(wet.rows.loudness, dry.rows.loudness, rtol=1e-5)
    np.testing.assert_allclose(wet.rows.covering.sum(axis=1).max(), 1.0, atol=1e-6)


@given(moves)
@settings(max_examples=20, deadline=None)
def test_without_reverberation_it_is_dry(chords: list[list[int]]) -> None:
    """As the reverberation time goes to nothing, the tail changes nothing."""
    places = [dataclasses.replace(hall(), reverberation=1e-4, tail=tail) for tail in (False, True)]
    dry, wet = (heard(passage(chords), place) for place in places)
    np.testing.assert_allclose(wet.rows.margin_db, dry.rows.margin_db, atol=0.01)
    np.testing.assert_allclose(wet.rows.partial, dry.rows.partial, rtol=1e-3, atol=1e-6)


def test_a_tail_holds_nothing_of_a_strands_own_sound() -> None:
    """A tune alone, or doubled all along, is heard with the tail as without."""
    tune = [60.0, 64.0, 67.0, 72.0, 71.0, 60.0]
    alone = [tone(0, at, at + 1, midi) for at, midi in enumerate(tune)]
    doubled = [*alone, *(one._replace(line=1, midi=one.midi + 12.0) for one in alone)]
    for tones in (alone, doubled):
        dry, wet = heard(tones, hall()), heard(tones, RINGING)
        np.testing.assert_allclose(wet.rows.margin_db, dry.rows.margin_db, atol=1e-4)


def test_what_ended_covers_what_follows_and_is_named() -> None:
    """A soft flute right after a fortissimo trumpet is less clear; the trumpet is the reason."""
    tones = [tone(3, 0, 2, 72.0, 8.0), tone(0, 2, 3, 72.0, 2.0)]
    dry, wet = heard(tones, hall()), heard(tones, RINGING)
    flute = dry.line == 0
    assert wet.rows.margin_db[flute][0] < dry.rows.margin_db[flute][0] - 10.0
    assert wet.rows.covering[flute][0].tolist() == [0.0, 0.0, 0.0, 1.0, 0.0]
    assert wet.rows.sd_db[flute][0] > dry.rows.sd_db[flute][0]


def test_the_conductor_hears_more_direct_sound() -> None:
    """At the stage front the strings are louder, and less of what is heard is reverberation."""
    stand = hall(seat="conductor")
    at = np.array([500.0])
    for id_ in ("violin", "oboe", "horn", "trumpet"):
        near, far = (place.strength(BOOK[id_], at) for place in (stand, hall()))
        assert near.gain_db > far.gain_db
        assert stand.reverberant_share(BOOK[id_], at) < hall().reverberant_share(BOOK[id_], at)
    assert 2.0 <= stand.distance(BOOK["violin"]) <= 3.0
    assert 4.0 <= stand.distance(BOOK["flute"]) <= stand.distance(BOOK["trumpet"]) <= 12.0
