"""Bars are found again whatever was done to them; what is not there is not found."""

from fractions import Fraction
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.pairing.engraving import with_repeat
from benchmarks.pairing.kinds import KINDS
from benchmarks.pairing.measure import counted
from benchmarks.pairing.music import piece
from benchmarks.pairing.pair import Pair, Step, paired, sources, straight
from benchmarks.pairing.scoring import Way, plain, scored
from benchmarks.pairing.usages import USAGES
from redstave.base.errors import InputError
from redstave.model.line import WORKING_ORCHESTRA
from redstave.model.match import NO_BAR, Match, Pin
from redstave.model.score import Score
from redstave.original import match
from redstave.players import play
from redstave.reading import read_bytes

PIECE = piece(3, 32)
PLAINLY = Way(doubled=True, moved=False, dresses=(plain,))


def matched(pair: Pair, pins: tuple[Pin, ...] = ()) -> Match:
    """Match a pair."""
    return match(pair.entry, play(pair.entry, WORKING_ORCHESTRA), pair.original, pins)


def laid(steps: list[Step], transposition: int = 0) -> Pair:
    """Return the piece scored plainly, its bars laid out anew."""
    sounds = scored(PIECE, sources(PIECE), PLAINLY, Random(1))
    return paired("laid", PIECE, sounds, steps, transposition)


def tiny(text: str) -> Score:
    """Read a score in tiny notation."""
    return read_bytes(f"title: X\nmeter: 4/4\npitch: sounding\n{text}\n".encode(), "x.tiny")


@pytest.mark.parametrize("kind", KINDS)
def test_bars_of_made_pairs_are_found(kind: str) -> None:
    """All but one of the bars of an entry are set beside the right bars, however it was made."""
    pair = KINDS[kind](PIECE, Random(kind))
    found = counted(pair, play(pair.entry, WORKING_ORCHESTRA), matched(pair))
    assert found.bars.right >= found.bars.true - 1


@settings(max_examples=12)
@given(st.integers(-5, 6))
def test_any_transposition_is_found(by: int) -> None:
    """The key is told whichever it is."""
    assert matched(laid(straight(PIECE), by)).transposition == by


@pytest.mark.parametrize("times", [Fraction(2), Fraction(1, 2), Fraction(3), Fraction(3, 2)])
def test_changed_note_values_are_told(times: Fraction) -> None:
    """The augmentation is how many quarters one of the original has become."""
    assert matched(laid([Step(at, times) for at in range(32)])).augmentation == times


def test_a_cut_and_a_strange_bar_are_named() -> None:
    """Bars left out have no bar of the entry, bars put in none of the original."""
    steps = [*straight(PIECE)[:9], *straight(PIECE)[14:]]
    steps.insert(5, Step(None))
    sounds = scored(PIECE, sources(PIECE), PLAINLY, Random(1))
    other = [one for one in sources(piece(77, 8)) if one.bar == 3]
    first = min(one.start for one in other)
    foreign = [
        sound._replace(start=sound.start - first, stop=sound.stop - first, sources=frozenset())
        for one in other
        for sound in plain([one], None, ("Oboe", 0), Random(1))  # type: ignore[arg-type]
    ]
    found = matched(paired("cut", PIECE, sounds, steps, 0, foreign))
    assert [one.original for one in found.bars if one.entry == NO_BAR] == [9, 10, 11, 12, 13]
    assert [one.entry for one in found.bars if one.original == NO_BAR] == [5]


def test_repeat_signs_of_either_side_are_followed() -> None:
    """A repeat written out in the entry, or only in the original, is found at the sign."""
    first, then = "C5/4 E5 G5 C6 | B5/4 G5 D5 B4", "A5/2 F5 | D5/4 F5 A5 D6 | G5/1"
    signs, out = (
        tiny(f"part Flute\n|: {first} :| {then} |"),
        tiny(f"part Flute\n{first} | {first} | {then} |"),
    )
    written_out = match(out, play(out, WORKING_ORCHESTRA), signs)
    assert written_out.original_of == {0: 0, 1: 1, 2: 0, 3: 1, 4: 2, 5: 3, 6: 4}
    folded = match(signs, play(signs, WORKING_ORCHESTRA), out)
    assert folded.originals_of[0] == (0, 2)
    assert folded.originals_of[4] == (6,)


def test_an_upbeat_may_be_a_bar_of_rests() -> None:
    """A short first bar stands beside a full one with rests before the same notes."""
    bars = "C5/4 D5 E5 F5 | G5/2 E5 | A5/4 F5 D5 B4 | C5/1 |"
    short = read_bytes(
        f"title: X\nmeter: 4/4\npitch: sounding\npickup: 1/4\npart Flute\nG4/4 | {bars}\n".encode(),
        "x.tiny",
    )
    full = tiny(f"part Flute\nr/2. G4/4 | {bars}")
    found = match(full, play(full, WORKING_ORCHESTRA), short)
    assert found.original_of == {at: at for at in range(5)}
    assert not found.left_out
    assert not found.added


@pytest.mark.parametrize("usage", sorted(USAGES))
def test_bars_are_found_however_the_page_is_laid_out(usage: str) -> None:
    """Repeats, upbeats, cadenzas, other barlines, what is put before or left open: found."""
    for seed in (3, 4):
        pair = USAGES[usage](piece(seed, 32), Random(f"{usage} {seed}"))
        counts = counted(pair, play(pair.entry, WORKING_ORCHESTRA), matched(pair)).bars
        assert counts.right == counts.true


def test_a_bar_over_a_repeat_sign_is_cut_unless_it_is_pinned() -> None:
    """It stands beside the end of the passage and the upbeat, its tones too; a pin overrules."""
    pair = USAGES["upbeat joined to the bar before"](PIECE, Random("joined"))
    (joined,) = (at for at, bar in pair.bars if bar == 0 and at > 0)
    (end,) = (bar for at, bar in pair.bars if at == joined and bar > 0)
    found = matched(pair)
    assert found.originals_of[joined] == (0, end)
    assert not found.left_out
    counts = counted(pair, play(pair.entry, WORKING_ORCHESTRA), found)
    assert counts.added.said == 0
    assert counts.links.f1 >= 0.98
    pinned = matched(pair, (Pin(joined, end),))
    assert pinned.originals_of[joined] == (end,)
    elsewhere = matched(pair, (Pin(joined + 2, end),))
    assert elsewhere.original_of[joined + 2] == end


def test_a_pin_overrules_what_is_heard() -> None:
    """A pinned bar stands where the teacher put it, marked as such; so does one put nowhere."""
    pair = laid(straight(PIECE))
    found = matched(pair, (Pin(4, 20), Pin(8, NO_BAR)))
    assert found.original_of[4] == 20
    assert 8 not in found.original_of
    pinned = [one for one in found.bars if one.pinned]
    assert [(one.entry, one.original, one.confidence) for one in pinned] == [
        (4, 20, 1.0),
        (8, NO_BAR, 1.0),
    ]
    assert found.original_of[12] == 12


@pytest.mark.parametrize("pin", [Pin(99, 0), Pin(0, 99), Pin(-1, 0), Pin(0, -2)])
def test_a_pin_must_name_bars_that_are_there(pin: Pin) -> None:
    """A bar that does not exist is refused in one sentence."""
    with pytest.raises(InputError, match="choose from those"):
        matched(laid(straight(PIECE)), (pin,))


@pytest.mark.parametrize("bars", [8, 48])
def test_another_piece_has_no_bars_in_common(bars: int) -> None:
    """Nothing is matched between pieces that share nothing but the twelve pitch classes."""
    for seed in range(4):
        entry, original = piece(seed, bars), piece(seed + 30, bars)
        found = match(entry, play(entry, WORKING_ORCHESTRA), original)
        assert not found.original_of
        assert not found.carriers
        assert len(found.left_out) == len(found.source)


@settings(max_examples=10)
@given(st.integers(0, 500), st.integers(1, 24))
def test_a_piece_is_itself(seed: int, bars: int) -> None:
    """An entry that is its original matches bar for bar and tone for tone, at its octave."""
    one = piece(seed, bars)
    found = match(one, play(one, WORKING_ORCHESTRA), one)
    assert found.original_of == {bar: bar for bar in range(bars)}
    assert not found.left_out
    assert not found.added
    assert {carrier.octave_shift for carrier in found.carriers if carrier.confidence > 0.5} == {0}


def test_wrong_bars_are_less_sure_than_right_ones() -> None:
    """Confidence tells right from wrong: nearly all right bars are surer than wrong ones."""
    right, wrong = [], []
    for seed in range(8):
        pair = KINDS["5 % in, 5 % out"](piece(seed), Random(seed))
        for one in matched(pair).bars:
            if NO_BAR not in one[:2]:
                found = (one.entry, one.original) in pair.bars
                (right if found else wrong).append(one.confidence)
    assert wrong
    assert sum(right) / len(right) > 0.95
    assert sum(wrong) / len(wrong) < 0.75


def test_a_repeat_of_the_entry_goes_over_the_same_bars_again() -> None:
    """Bars played twice stand beside the same bars, though those next to them are nearly alike."""
    alike = ["C4/8 E4 G4 C5 E5 G5 C6/4", "C4/8 E4 G4 C5 E5 G5 C6 C6", "C4/8 E4 G4 C5 E5 G5 C6/8 G5"]
    bars = ["G4/4 B4 D5 B4", *alike, "C4/8 E4 G4 C5 E5 G5 C6/8 E5", "F4/4 A4 C5 A4", "C5/1"]
    piano = tiny(f"part Piano\n{' | '.join(bars)} |")
    entry = with_repeat(tiny(f"part Flute\n{' | '.join(bars)} |"), 1, 4, ending=True)
    found = match(entry, play(entry, WORKING_ORCHESTRA), piano)
    assert found.originals_of == {at: (at,) for at in range(len(bars))}


def test_an_upbeat_that_the_entry_repeats_stands_beside_the_short_bar_written_out() -> None:
    """Bars repeated by signs from an upbeat on stand beside both times, and nothing is left out."""
    head = "title: X\nmeter: 4/4\npitch: sounding\npickup: 1/4\npart"
    bars = "C5/4 E5 G5 E5 | A5/4 F5 D5 B4 | G5/4 E5 C5 D5 | E5/4 C5 A4 F4 | meter:3/4 C5/2."
    part = f"G4/4 | meter:4/4 {bars}"
    then = "meter:1/4 E5/4 | meter:4/4 F5/4 A5 C6 A5 | B5/4 G5 F5 D5 | C5/1"
    twice = f"{head} Piano\n{part} | meter:1/4 {part} | {then} |"
    out = read_bytes(twice.encode(), "x.tiny")
    signs = read_bytes(f"{head} Flute\n|: {part} :| {then} |".encode(), "x.tiny")
    found = match(signs, play(signs, WORKING_ORCHESTRA), out)
    assert found.originals_of[0] == (0, 6)
    assert found.originals_of[5] == (5, 11)
    assert found.original_of[6] == 12
    assert found.left_out == found.added == ()
