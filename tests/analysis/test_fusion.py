"""Fusion: Stumpf's order of consonances, onsets, parallel motion, and what becomes of a doubling.

Values of coincidence: computed for the hearing notes (5.2) with an independent script; the order
unison, octave, fifth, fourth, third, second is Stumpf's (Tonpsychologie II, 1890, second-hand).
"""

from itertools import pairwise

import numpy as np
import pytest

from redstave.acoustics.transfer import cochlear_powers
from redstave.analysis import Analysis
from redstave.analysis.fusion import (
    WARNING,
    Blend,
    Fusion,
    coincidence,
    parallel_motion,
    synchrony,
)
from redstave.analysis.melody import melodies
from redstave.reading import read_bytes
from tests.analysis.score_by_hand import line, playing, tone

C4 = 261.63
STUMPF = {
    "unison": (0, 1.00),
    "octave": (12, 1.00),
    "twelfth": (19, 1.00),
    "fifth": (7, 0.41),
    "fourth": (5, 0.23),
    "major third": (4, 0.15),
    "semitone": (1, 0.06),
    "tritone": (6, 0.02),
}


def partials(semitones: float) -> tuple[np.ndarray, np.ndarray]:
    """Forty partials falling 6 dB an octave from 70 dB, as powers at the cochlea."""
    number = np.arange(1, 41)
    return cochlear_powers(
        C4 * 2 ** (semitones / 12) * number, 70 - 20 * np.log10(number), "diffuse"
    )


@pytest.mark.parametrize("name", STUMPF)
def test_coincidence_of_the_upper_tone_in_the_lower(name: str) -> None:
    """The share of the upper tone's power on partials of C4 is that of the notes, within 0.02."""
    semitones, expected = STUMPF[name]
    assert coincidence(*partials(semitones), partials(0)[0]) == pytest.approx(expected, abs=0.02)


def test_the_order_is_stumpfs() -> None:
    """Unison and octave fuse more than the fifth, this more than the fourth, third and second."""
    order = ["octave", "fifth", "fourth", "major third", "semitone"]
    found = [coincidence(*partials(STUMPF[name][0]), partials(0)[0]) for name in order]
    assert all(more > less for more, less in pairwise(found))


def test_the_lower_tone_fuses_less_into_the_upper() -> None:
    """Of C4 only the even partials lie on those of C5: 0.43 of its power (same notes)."""
    found = coincidence(*partials(0), partials(12)[0])
    assert found == pytest.approx(0.43, abs=0.02)


def test_nothing_coincides_with_nothing() -> None:
    """Without partials or without power the share is 0; one partial is compared alone."""
    nothing = np.zeros(0)
    assert coincidence(nothing, nothing, partials(0)[0]) == 0.0
    assert coincidence(*partials(0), nothing) == 0.0
    assert coincidence(np.array([440.0]), np.array([1.0]), np.array([442.0])) == 1.0
    assert coincidence(np.array([440.0]), np.array([1.0]), np.array([450.0])) == 0.0


def test_onsets_together_and_apart() -> None:
    """Together 1, a twentieth of a second 0.5, a tenth and more 0."""
    beats = np.arange(4.0)
    assert synchrony(beats, beats) == 1.0
    assert synchrony(beats + 0.05, beats) == pytest.approx(0.5)
    assert synchrony(beats + 0.1, beats) == pytest.approx(0.0)
    assert synchrony(beats, np.zeros(0)) == 0.0


def test_parallel_thirds_are_parallel_and_contrary_motion_is_not() -> None:
    """Thirds within a scale move together; a mirror does not; held notes show nothing."""
    tune, below, mirror = [72, 74, 76, 77], [69, 71, 72, 74], [60, 58, 57, 55]
    lines = [line(number) for number in range(4)]
    tones = [
        tone(of, at, at + 1, midi)
        for of, melody in enumerate((tune, below, mirror, [60] * 4))
        for at, midi in enumerate(melody)
    ]
    one, two, three, four = melodies(playing(lines, tones))
    assert parallel_motion(one, two) == 1.0
    assert parallel_motion(one, three) == 0.0
    assert parallel_motion(one, four) == 0.0
    assert parallel_motion(four, four) == 0.0


SCORE = """\
meter: 4/4
tempo: 60
part Oboe
mf C5/4 D5 E5 G5 | A5 G5 E5 D5 |.
part Flute
mf C6/4 D6 E6 G6 | A6 G6 E6 D6 |.
part Clarinet
mf r/8 Eb4/4 F4 Gb4 Ab4/8 | r/8 Bb4/4 Ab4 Gb4 F4/8 |.
part Harp | staves=1
mf C5/4 D5 E5 G5 | A5 G5 E5 D5 |.
part Timpani | clef=bass
mf R*2 |.
"""


@pytest.fixture(scope="module")
def analysis() -> Analysis:
    """An oboe with a flute in octaves, a clarinet against them, and a harp in unison."""
    return Analysis(read_bytes(SCORE.encode(), "fusion.tiny"))


def test_a_flute_in_octaves_melts_into_the_oboe(analysis: Analysis) -> None:
    """In octaves, together and in parallel the index is near 1, and the word is fused."""
    found = analysis.fusion(1, 0, 0, 1)
    assert found is not None
    assert found.synchrony == found.parallel == 1.0
    assert found.coincidence > 0.95
    assert found.blend is Blend.FUSED


def test_a_line_of_its_own_does_not(analysis: Analysis) -> None:
    """Off the beat and in other intervals the clarinet stays a line."""
    found = analysis.fusion(2, 0, 0, 1)
    assert found is not None
    assert found.synchrony == 0.0
    assert found.blend is Blend.SEPARATE


def test_another_attack_lowers_the_index(analysis: Analysis) -> None:
    """A harp in unison with the oboe loses a fifth for its attack."""
    found = analysis.fusion(3, 0, 0, 1)
    assert found is not None
    assert not found.attacks_alike
    assert found.index == pytest.approx(0.8 * found.coincidence)


def test_who_never_sounds_together_has_no_fusion(analysis: Analysis) -> None:
    """Timpani that rest melt into nobody."""
    assert analysis.fusion(4, 0, 0, 1) is None


def test_the_index_as_written() -> None:
    """F = c o (0.5 + 0.5 m), 20 % less for unlike attacks or timbres, ambiguous between."""
    assert Fusion(0.8, 1.0, 0.5, 0.0, True).index == pytest.approx(0.6)
    assert Fusion(0.8, 1.0, 0.5, 4.5, True).index == pytest.approx(0.48)
    assert Fusion(0.8, 1.0, 0.5, 4.5, False).blend is Blend.AMBIGUOUS
    assert "rule of thumb" in WARNING
