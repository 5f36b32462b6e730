"""What one player sees: entries and their levels, swells, changes, rests, breaths."""

import pytest

from redstave.model.line import Forces
from redstave.players import play
from redstave.players.stand import Stand, find_chair, stand_of
from redstave.players.stand.view import Sign
from tests.players.pages import HEADER, page


def stand(text: str, player: str = "", header: str = HEADER + "tempo: 60\n") -> Stand:
    """Return what the (only) player of a tiny text sees."""
    score = page(text, header)
    playing = play(score, Forces())
    return stand_of(score, playing, find_chair(playing, player or playing.lines[0].name))


def flute(bars: str) -> Stand:
    """Return what one flute sees."""
    return stand(f"part Flute\n{bars}\n")


def signs(seen: Stand, *kinds: str) -> list[Sign]:
    """Return the signs of some kinds from all passages."""
    return [sign for one in seen.passages for sign in one.signs if sign.kind in kinds]


def test_long_rests_part_passages() -> None:
    """Two bars of rest part two passages; a bar of four seconds does not."""
    seen = flute("p C5/1 | R | D5/1 | R*2 | f E5/1 |")
    assert [(one.bar, one.last_bar) for one in seen.passages] == [(0, 2), (5, 5)]
    assert [(one.rest.bars, one.rest.seconds) for one in seen.passages] == [(0, 0.0), (2, 8.0)]
    assert (seen.plays, seen.bars) == (3, 6)
    assert [one.seconds for one in seen.passages] == [12.0, 4.0]


def test_an_entry_has_its_note_and_mark() -> None:
    """An entry names the written note and the level as printed."""
    entry = stand("part Horn in F | transpose=-7\nR | r/2 mf C5/2 |\n").passages[0].entry
    assert (entry.bar, entry.offset, entry.note) == (1, 2, "C5")
    assert (entry.level, entry.cause, entry.since, entry.printed) == (5.0, "marked", 1, "mf")
    assert entry.instrument == "horn"


def test_a_level_may_be_carried_over_a_rest() -> None:
    """After a rest without a new mark the old level holds, with the bar it comes from."""
    entry = flute("p C5/1 | D5 | R*3 | E5/1 |").passages[1].entry
    assert (entry.cause, entry.since, entry.printed) == ("carried", 0, "p")


def test_a_level_may_be_missing() -> None:
    """Before the first mark nothing says how loud: assumed."""
    entry = flute("C5/1 | p D5 |").passages[0].entry
    assert (entry.cause, entry.level, entry.since) == ("assumed", 5.0, -1)


def test_a_mark_under_the_rest_is_the_entrys_own() -> None:
    """A level that stands in the rest before an entry is its mark, not carried over."""
    entry = flute("p C5/1 | R*2 | f r/1 | r/2 D5/2 |").passages[1].entry
    assert (entry.cause, entry.since, entry.printed) == ("marked", 3, "f")


def test_an_entry_at_a_hairpin_keeps_its_level() -> None:
    """“p <” at an entry is p, and the crescendo begins there."""
    seen = flute("p < C5/1 | D5 = | f E5 |")
    assert (seen.passages[0].entry.cause, seen.passages[0].entry.printed) == ("marked", "p")
    assert signs(seen, "crescendo") == [Sign("crescendo", 0, 0, "f", last_bar=1)]
    assert signs(seen, "level") == []  # f is where the crescendo leads


def test_a_swell_without_a_goal_says_so() -> None:
    """A hairpin that no mark ends has no goal on the page."""
    seen = flute("p C5/1 | < D5 = | E5 | E5 |")
    assert [(one.text, one.told, one.last_bar) for one in signs(seen, "crescendo")] == [
        ("", False, 1)
    ]


def test_an_entry_after_a_swell_in_the_rest() -> None:
    """A level reached by a hairpin under rests is told as such."""
    seen = flute("p C5/1 | R | R | < R = | D5/1 |")
    entry = seen.passages[1].entry
    assert (entry.cause, entry.since, entry.level) == ("swell", 3, 4.0)


def test_levels_on_the_way() -> None:
    """A new level, and a sudden one, are signs with their bars; the same level again too."""
    seen = flute('p C5/1 | f D5 | ff "sub." E5 | ff E5 |')
    assert [(one.bar, one.text) for one in signs(seen, "level")] == [
        (1, "f"), (2, "ff subito"), (3, "ff")
    ]  # fmt: skip


def test_stresses_are_signs_where_the_player_attacks() -> None:
    """Sf and fp are no levels but stresses; fp leaves p."""
    seen = flute("f C5/2 sf D5 | fp E5/1 |")
    assert [(one.bar, one.text) for one in signs(seen, "stress")] == [(0, "sf"), (1, "fp")]


def test_changes_of_technique_have_their_time() -> None:
    """From the last plucked note to the first bowed one: a rest of two quarters, two seconds."""
    text = 'part Violin 1\nmf "pizz." C5/4 D5 r "arco" r | E5/1 |\n'
    seen = stand(text)
    assert [(one.text, one.seconds) for one in signs(seen, "technique")] == [
        ("pizz.", None), ("arco", 2.0)
    ]  # fmt: skip
    assert seen.passages[0].entry.state == (("pizz.", 0),)


def test_a_mute_in_the_rest_belongs_to_the_next_passage() -> None:
    """“con sord.” at the start of a rest is told with its time, and the entry is muted since."""
    seen = stand('part Trumpet\nf C5/1 | "con sord." R | R*2 | p D5/1 |\n')
    assert signs(seen, "technique") == [Sign("technique", 1, 0, "con sord.", seconds=12.0)]
    assert signs(seen, "technique")[0] in seen.passages[1].signs
    assert seen.passages[1].entry.state == (("muted", 1),)


def test_a_change_of_instrument_has_its_time() -> None:
    """Two bars of rest to take the piccolo: eight seconds at 60."""
    text = 'part Flute (Piccolo)\np C5/1 | "muta in Piccolo" R*2 | D5/1 |\n'
    seen = stand(text)
    assert [(one.text, one.seconds) for one in signs(seen, "instrument")] == [("piccolo", 8.0)]
    assert seen.passages[1].entry.instrument == "piccolo"
    assert seen.instruments == ("flute", "piccolo")


def test_tempo_and_other_words() -> None:
    """Tempo words and characters are signs as printed; playing techniques are not words."""
    seen = flute('p "dolce" C5/1 | "rit." C5 | "a tempo" C5 | "cresc." C5 |')
    assert [one.text for one in signs(seen, "tempo")] == ["quarter = 60", "rit.", "a tempo"]
    assert [one.text for one in signs(seen, "word")] == ["dolce"]


def test_words_of_the_other_player_are_not_mine() -> None:
    """On a shared stave “2. dolce” is the second player's; mine keeps no number."""
    text = 'part Flute 1. 2\np "1. espr." C5/1 | "2. dolce" C5 | "a 2" C5 |\n'
    assert [one.text for one in signs(stand(text, "Flute 1"), "word")] == ["espr."]
    assert [one.text for one in signs(stand(text, "Flute 2"), "word")] == ["dolce"]


def test_rehearsal_letters_are_signs() -> None:
    """A letter behind the entry is a place to hold on to."""
    assert [one.text for one in signs(flute("p C5/1 | @B D5 |"), "rehearsal")] == ["B"]


def test_the_longest_stretch_without_a_rest() -> None:
    """Sixteen seconds unbroken; a rest of a quarter or a breath mark parts them."""
    whole = flute("p C5/1 | D5 | E5 | F5 |").breath
    parted = flute("p C5/1 | D5/2. r/4 | E5/1 | F5 |").breath
    breathed = flute("p C5/1 | D5 | E5/1:breath-mark | F5 |").breath
    assert whole is not None
    assert (whole.bar, whole.last_bar, whole.seconds) == (0, 3, 16.0)
    assert parted is not None
    assert (parted.bar, parted.last_bar, parted.seconds) == (2, 3, 8.0)
    assert breathed is not None
    assert breathed.seconds == 12.0


def test_strings_need_no_breath() -> None:
    """Only those who blow or sing have a longest breath."""
    assert stand("part Viola\np C4/1 | D4 |\n").breath is None


def test_a_player_who_never_plays() -> None:
    """A tacet part has no passages and no breath."""
    seen = flute("R | R |")
    assert (seen.passages, seen.breath, seen.plays) == ((), None, 0)


def test_the_compass_is_written_pitch() -> None:
    """A clarinet in B flat sees its own notes."""
    seen = stand("part Clarinet in B-flat | transpose=-2\np C5/2 F#5 | Eb4/1 |\n")
    assert (seen.passages[0].low, seen.passages[0].high) == ("Eb4", "F#5")


def test_open_questions_are_those_of_the_part() -> None:
    """What is open on another stave is not on this player's page."""
    text = "part Flute 1. 2\nf C5/1 |\n\npart Viola\np C4/1 |\n"
    assert [one.code for one in stand(text, "Flute 1").open] == ["single-line-unlabelled"]
    assert stand(text, "Viola").open == ()


@pytest.mark.parametrize("player", ["Violin I (upper half)", "Violin I"])
def test_a_section_sees_its_divisions(player: str) -> None:
    """A section, and each half of it, plays in every bar."""
    text = 'part Violin I\np "div." [C5 E5]/1 | "unis." D5 |\n'
    assert stand(text, player).plays == 2
