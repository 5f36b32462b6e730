"""Gates on the match of piano and orchestra, held on real pairs and on reductions of movements.

The gates were set before they were measured (`make bench` prints all numbers).
"""

from pathlib import Path
from random import Random

import pytest

from benchmarks.origin import RealPair, bars_right, shares, shuffled
from benchmarks.pairing.kinds import KINDS
from benchmarks.pairing.measure import compare
from benchmarks.pairing.reduction import reduced, turned
from redstave.model.line import WORKING_ORCHESTRA
from redstave.original import match
from redstave.players import play
from redstave.reading import read, read_bytes
from redstave.writing.midi import to_midi

pytestmark = pytest.mark.corpus

FOUND = 0.97  # share of the piano's tones found in the orchestra
SHUFFLED = 0.5  # the same with every bar beside a wrong one: at most


@pytest.fixture(scope="module", params=["Chopin_Op.21_1_bars1-70", "Dobrzynski_Swiety_Boze_all"])
def pair(scores: Path, request: pytest.FixtureRequest) -> RealPair:
    """A real pair, bar beside bar."""
    entry = read(scores / "pairs" / f"{request.param}_orchestra.musicxml")
    original = read(scores / "pairs" / f"{request.param}_piano.musicxml")
    return RealPair(request.param, entry, play(entry, WORKING_ORCHESTRA), original)


def test_real_bars_and_tones_are_found(pair: RealPair) -> None:
    """All bars are right and 0.97 of the piano's tones are found, to two places."""
    found = match(pair.entry, pair.playing, pair.original)
    assert bars_right(found) == len(pair.entry.bars)
    source, entry = shares(pair, found)
    assert round(source, 2) >= FOUND
    assert entry >= 0.95


def test_wrong_bars_have_few_tones_in_common(pair: RealPair) -> None:
    """Beside bars in disorder at most half of the tones are found: the measure can fail."""
    found = match(pair.entry, pair.playing, pair.original, shuffled(pair))
    assert max(shares(pair, found)) <= SHUFFLED


def test_an_original_without_metre_or_staves_is_followed(scores: Path) -> None:
    """A MIDI file of the piano, all in four and without hands, still finds nearly all bars."""
    name = "Chopin_Op.21_1_bars1-70"
    entry = read(scores / "pairs" / f"{name}_orchestra.musicxml")
    piano = read(scores / "pairs" / f"{name}_piano.musicxml")
    original = read_bytes(to_midi(play(piano, WORKING_ORCHESTRA)), "piano.mid")
    found = match(entry, play(entry, WORKING_ORCHESTRA), original)
    assert len(found.original_of) >= len(entry.bars) - 2
    assert len(found.left_out) <= 0.05 * len(found.source)


@pytest.mark.parametrize("name", ["Brahms_Op.90_3", "Beethoven_Op.21_2"])
def test_three_eight_and_an_upbeat_are_followed_without_metre(scores: Path, name: str) -> None:
    """Nor does a MIDI file all in four of a piece in three eight leave out bars or tones."""
    made = reduced(name, read(scores / "orchestra" / f"{name}.mxl"))
    original = read_bytes(to_midi(play(made.original, WORKING_ORCHESTRA)), "piano.mid")
    found = match(made.entry, play(made.entry, WORKING_ORCHESTRA), original)
    assert len(found.original_of) == len(made.entry.bars)
    assert len(found.left_out) <= 0.01 * len(found.source)


@pytest.mark.parametrize("kind", ["transposed", "cut", "5 % in, 5 % out"])
def test_bars_of_real_piano_music_are_found(pair: RealPair, kind: str) -> None:
    """At least 98 % of the bars are right when a real piano part is scored and cut about."""
    found = compare(KINDS[kind](pair.original, Random(kind)))
    assert found.bars.recall >= 0.98
    assert found.links.f1 >= 0.95


@pytest.mark.parametrize("name", ["Brahms_Op.90_3", "Bruckner_WAB.105_3b_Trio"])
def test_movements_are_found_in_their_reductions(scores: Path, name: str) -> None:
    """Bars are right and links found, whichever of the two is called the original."""
    made = reduced(name, read(scores / "orchestra" / f"{name}.mxl"))
    for one in (made, turned(made)):
        found = compare(one)
        assert found.bars.recall >= 0.98
        assert found.links.f1 >= 0.85
