"""Made pairs are what they say: the truth about them follows from what stands on their pages."""

from random import Random

import pytest

from benchmarks.pairing.clothes import CLOTHES
from benchmarks.pairing.kinds import KINDS
from benchmarks.pairing.music import piece
from benchmarks.pairing.page import Sound, written
from benchmarks.pairing.pair import Pair, paired, sources, straight
from benchmarks.pairing.reduction import reduced, turned
from benchmarks.pairing.signs import SIGNS
from benchmarks.pairing.usages import USAGES
from redstave.model.line import WORKING_ORCHESTRA, Tone
from redstave.players import play

PIECE = piece(2, 24)
EVERY = KINDS | USAGES | CLOTHES | SIGNS


def made(kind: str) -> Pair:
    """Make a pair of a kind."""
    return EVERY[kind](PIECE, Random(kind))


def told(pair: Pair) -> tuple[dict[int, int], dict[str, int]]:
    """Return the pitches of the tones of both sides, by index and by note id."""
    original = {
        at: round(t.midi) for at, t in enumerate(play(pair.original, WORKING_ORCHESTRA).tones)
    }
    entry = {t.notes[0]: round(t.midi) for t in play(pair.entry, WORKING_ORCHESTRA).tones}
    return original, entry


@pytest.mark.parametrize("kind", EVERY)
def test_links_join_one_pitch_class(kind: str) -> None:
    """Every link joins tones of one pitch class, the transposition taken off."""
    pair = made(kind)
    original, entry = told(pair)
    assert pair.links
    for at, note in pair.links:
        assert (entry[note] - original[at] - pair.transposition) % 12 == 0


@pytest.mark.parametrize("kind", EVERY)
def test_every_tone_is_accounted_for(kind: str) -> None:
    """Each tone of the original is carried or left out, each of the entry carries or is added."""
    pair = made(kind)
    original, entry = told(pair)
    carried, carrying = {at for at, _ in pair.links}, {note for _, note in pair.links}
    assert carried | pair.left_out == set(original)
    assert not carried & pair.left_out
    assert carrying | pair.added == set(entry)
    assert not carrying & pair.added


@pytest.mark.parametrize("kind", ["hand split", "doubling", "register moves"])
def test_plain_scoring_keeps_time(kind: str) -> None:
    """Linked tones of a plain scoring begin and end together."""
    pair = made(kind)
    one = play(pair.original, WORKING_ORCHESTRA).tones
    other = {tone.notes[0]: tone for tone in play(pair.entry, WORKING_ORCHESTRA).tones}
    for at, note in pair.links:
        assert (one[at].start, one[at].stop) == (other[note].start, other[note].stop)


@pytest.mark.parametrize("kind", USAGES)
def test_bars_that_stand_beside_each_other_share_tones(kind: str) -> None:
    """Tones that begin in a bar of the entry come from the bars of the original beside it."""
    pair = made(kind)
    at = {tone.notes[0]: tone.bar for tone in play(pair.entry, WORKING_ORCHESTRA).tones}
    of = [tone.bar for tone in play(pair.original, WORKING_ORCHESTRA).tones]
    assert {(at[note], of[source]) for source, note in pair.links} <= pair.bars


def test_what_is_left_out_and_added_is_some() -> None:
    """Pairs made to lose and gain tones do."""
    pair = made("left out, added")
    assert pair.left_out
    assert pair.added


def test_a_reduction_stays_in_its_hands() -> None:
    """A reduction keeps the outer voices, fits two hands, and turned round it is the entry."""
    movement = made("doubling").entry
    pair = reduced("reduced", movement)
    by_start: dict[int, list[int]] = {}
    for one in sources(pair.original):
        by_start.setdefault(one.start, []).append(one.midi)
    whole: dict[int, list[int]] = {}
    for one in sources(movement):
        whole.setdefault(one.start, []).append(one.midi)
    for start, chord in by_start.items():
        assert len(chord) <= 8
        assert max(chord) == max(whole[start])
        assert min(chord) == min(whole[start])
    back = turned(pair)
    assert back.entry is pair.original
    assert len(back.links) == len(pair.links)


@pytest.mark.parametrize("kind", ["left out, added", "everything at once"])
def test_what_is_new_is_not_what_the_hands_sound(kind: str) -> None:
    """A tone that is called new lies on no pitch class that is carried for half of its length."""
    pair = made(kind)
    carried = {at for at, _ in pair.links}
    moot = {note for _, note in pair.moot}
    hands = [
        tone
        for at, tone in enumerate(play(pair.original, WORKING_ORCHESTRA).tones)
        if at in carried
    ]
    assert pair.added & moot
    for tone in play(pair.entry, WORKING_ORCHESTRA).tones:
        if tone.notes[0] in pair.added:
            upon = sum(
                max(0, min(one.stop, tone.stop) - max(one.start, tone.start))
                for one in hands
                if (round(one.midi) - round(tone.midi)) % 12 == 0
            )
            assert (2 * upon >= tone.stop - tone.start) == (tone.notes[0] in moot)


def test_an_ottava_line_is_read_at_the_pitch_that_sounds() -> None:
    """Tones under a line lie an octave or two from those of the piece, and still sound as played.

    MusicXML 4.0, `octave-shift`: the file gives the pitch that sounds.
    """
    pair = made("ottava lines")
    spans = [span for part in pair.original.parts for span in part.spans]
    assert {span.kind for span in spans} == {"octave-shift"}
    apart = [
        round(new.midi - old.midi)
        for new, old in zip(
            sorted(play(pair.original, WORKING_ORCHESTRA).tones, key=_place),
            sorted(play(PIECE, WORKING_ORCHESTRA).tones, key=_place),
            strict=True,
        )
    ]
    assert set(apart) > {0}
    assert set(apart) <= {-12, 0, 12, 24}


def _place(tone: Tone) -> tuple[int, float]:
    return tone.start, tone.midi % 12


def test_cues_are_nobodys_tones() -> None:
    """Cues stand on the page of the entry, among them those of tones that nobody plays."""
    pair = made("cues in the entry")
    small = [note for part in pair.entry.parts for note in part.notes if note.cue]
    assert small
    assert pair.left_out
    known = {note for _, note in pair.links} | pair.added
    assert not known & {note.id for note in small}


@pytest.mark.parametrize("kind", [kind for kind in SIGNS if "tremolo" in kind])
def test_tremolo_is_on_one_page_only(kind: str) -> None:
    """One page has tremolo on single notes and between two chords, the other none."""
    pair = made(kind)
    of = [
        {mark.name for part in page.parts for mark in part.marks if mark.kind == "tremolo"}
        for page in (pair.original, pair.entry)
    ]
    assert sorted(of, key=len) == [set(), {"single", "start", "stop"}]


def test_a_figure_that_goes_on_in_another_way_has_lost_nothing() -> None:
    """A tone left out of a figure counts neither way where its pitch class is still come to."""
    bar, half = 48, 12
    some = [
        Sound("Piano", at * half, at * half + half, midi) for at, midi in enumerate((48, 55) * 2)
    ]
    original, _ = written("original", some, [bar], 2 * half)
    for notes in ([(12, 24, 48), (0, 12, 55)], [(0, bar, 60), (0, bar, 55)]):
        entry = [
            Sound("Viola", start, stop, midi, frozenset((0 if midi % 12 == 0 else 1,)))
            for start, stop, midi in notes
        ]
        pair = paired("", original, entry, straight(original))
        assert pair.left_out == {2, 3}
        assert {at for at, _ in pair.moot} == {2, 3}
    plain = [Sound("Viola", 0, half, 48, frozenset((0,)))]
    assert not paired("", original, plain, straight(original)).moot
