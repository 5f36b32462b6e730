"""What signs on the page tell is heeded: ottava lines, cues, tremolo between two chords."""

from benchmarks.pairing.page import CUE, START, STOP, Sound
from benchmarks.pairing.paper import Ottava, printed
from redstave.model.line import WORKING_ORCHESTRA, Playing
from redstave.model.match import Manner, Match
from redstave.model.score import Score
from redstave.original import match
from redstave.original.tremolos import shaken_through
from redstave.players import play

BAR, BARS = 96, 4
TUNE = (76, 74, 72, 79, 77, 76, 74, 71, 72, 76, 79, 84, 83, 79, 74, 72)
CHORDS = ((48, 64, 67), (50, 65, 69), (48, 64, 67), (43, 62, 71))


def tune(player: str, up: int = 0, sign: str = "") -> list[Sound]:
    """Return the tune in quarters."""
    return [
        Sound(player, 24 * at, 24 * at + 24, midi + up, sign=sign) for at, midi in enumerate(TUNE)
    ]


def chords(player: str, tremolo: bool = False) -> list[Sound]:
    """Return a chord in each bar, held or in tremolo between its lowest note and the others."""
    return [
        Sound(player, BAR * bar, BAR * bar + BAR, midi, sign=(STOP if place else START) * tremolo)
        for bar, chord in enumerate(CHORDS)
        for place, midi in enumerate(chord)
    ]


def page(*sounds: Sound, ottavas: tuple[Ottava, ...] = ()) -> Score:
    """Return a score read from a file."""
    return printed("page", sounds, [BAR] * BARS, 24, ottavas)[0]


def matched(entry: Score, original: Score) -> tuple[Match, Playing]:
    """Match two scores."""
    playing = play(entry, WORKING_ORCHESTRA)
    return match(entry, playing, original), playing


def test_an_original_under_an_ottava_line_is_matched_where_it_sounds() -> None:
    """Who plays the pitches that sound is in no other octave; MusicXML 4.0, `octave-shift`."""
    original = page(
        *tune("Piano/1", 12), *chords("Piano/2"), ottavas=(Ottava("Piano/1", 0, BARS - 1, 1),)
    )
    assert [span.kind for span in original.parts[0].spans] == ["octave-shift"]
    for up, octaves in ((12, 0), (0, -1)):
        found, playing = matched(page(*tune("Flute", up), *chords("Organ")), original)
        flute = [one for one in found.carriers if playing.tones[one.tone].line == 0]
        assert {one.octave_shift for one in flute} == {octaves}
        assert found.left_out == found.added == ()


def test_what_is_only_cued_is_left_out() -> None:
    """A cue carries nothing and is nothing new: a tune that stands in cues alone is left out."""
    entry = page(*chords("Organ"), *tune("Trumpet", sign=CUE))
    found, playing = matched(entry, page(*tune("Piano/1"), *chords("Piano/2")))
    assert len(playing.tones) == sum(map(len, CHORDS))
    assert {found.source[at].stave for at in found.left_out} == {1}
    assert found.added == ()


def test_both_chords_of_a_tremolo_sound_all_through() -> None:
    """Who holds what the hands play in tremolo, or the other way round, does so from its start."""
    held = page(*tune("Flute"), *chords("Organ"))
    shaken = page(*tune("Piano/1"), *chords("Piano/2", tremolo=True))
    for entry, original in ((held, shaken), (shaken, held)):
        found, playing = matched(entry, original)
        assert found.left_out == found.added == ()
        assert {(one.source, one.octave_shift) for one in found.carriers} == {
            (at, 0) for at in range(len(found.source))
        }
    both = shaken_through(shaken, playing.tones)
    assert sorted(both.values()) == sorted(
        (BAR * bar, BAR * bar + BAR) for bar, chord in enumerate(CHORDS) for _ in chord
    )


def test_strokes_written_out_come_from_a_tremolo_between_two_chords() -> None:
    """Sixteenths that alternate as the tremolo does are its tones, from the first to the last."""
    original = page(*tune("Piano/1"), *chords("Piano/2", tremolo=True))
    strokes = [
        Sound("Violin II", start, start + 6, midi)
        for bar, (low, *high) in enumerate(CHORDS)
        for at, start in enumerate(range(BAR * bar, BAR * bar + BAR, 6))
        for midi in (high if at % 2 else [low])
    ]
    found, playing = matched(page(*tune("Flute"), *strokes), original)
    assert found.left_out == found.added == ()
    violins = {one.manner for one in found.carriers if playing.tones[one.tone].line == 1}
    assert violins == {Manner.TREMOLO}
