"""What becomes of lines and tones when a change is made, rule by rule."""

import pytest

from redstave.analysis import Analysis
from redstave.base.errors import InputError
from redstave.model.change import (
    Alteration,
    Change,
    LeftOut,
    Level,
    Octave,
    Players,
    Step,
    TakenOver,
    Technique,
)
from redstave.model.line import Playing, Tone
from redstave.players import level_at, level_before
from redstave.trial import apply, select_lines
from tests.trial.pages import MARKS, page

PAGE = page(MARKS)
BAR = PAGE.score.bars[0].length
BASSOON = TakenOver("bassoon", "Bassoon", "woodwind", octaves=-1)


def changed(who: str, first: int, last: int, what: Alteration, of: Analysis = PAGE) -> Playing:
    """Apply one change to the page; bars count from 1."""
    change = Change(select_lines(of.playing, who), first - 1, last - 1, what)
    return apply(of.playing, [change], of.score.bars, of.book)


def tones(playing: Playing, name: str, bar: int = 0) -> list[Tone]:
    """Return the tones of a line, all of them or those in one bar (from 1)."""
    index = next(at for at, line in enumerate(playing.lines) if line.name == name)
    return [
        tone for tone in playing.tones if tone.line == index and (not bar or tone.bar == bar - 1)
    ]


def taken(who: str, what: TakenOver) -> set[str]:
    """Return the techniques of what another instrument takes over in bar 1."""
    playing = changed(who, 1, 1, what)
    return {tone.technique for tone in playing.tones if tone.line == len(playing.lines) - 1}


def test_a_level_flattens_a_swell() -> None:
    """A level set in the bars of a hairpin is the level of every tone there, and known."""
    told = tones(changed("Oboe", 1, 1, Level(2.0)), "Oboe", 1)
    assert [(tone.level, tone.level_stop) for tone in told] == [(2.0, 2.0)] * 4
    assert all(tone.level_known for tone in told)


def test_a_step_keeps_a_swell() -> None:
    """Two levels softer inside a hairpin: both ends of every tone fall by two."""
    before, after = (
        tones(PAGE.playing, "Oboe", 1),
        tones(changed("Oboe", 1, 1, Step(-2.0)), "Oboe", 1),
    )
    assert [one.level - other.level for one, other in zip(before, after, strict=True)] == [2.0] * 4
    assert after[0].level < after[-1].level_stop


@pytest.mark.parametrize(
    ("step", "level"),
    [(Step(-3.0, softest=2.0), 2.0), (Step(3.0, loudest=7.0), 6.0), (Step(9.0, loudest=7.0), 7.0)],
)
def test_a_step_keeps_its_bounds(step: Step, level: float) -> None:
    """No step goes beyond its bounds: p three softer is pp where pp is the softest."""
    assert tones(changed("Violin I", 3, 3, step), "Violin I", 3)[0].level == level


def test_a_bound_moves_nobody_towards_it() -> None:
    """What is softer than the softest level stays where it is."""
    soft = page("part Flute\nppp C5/1 | C5/1 |.\npart Oboe\nf C5/1 | C5/1 |.\n")
    told = changed("all", 1, 2, Step(-2.0, softest=2.0), soft)
    assert [tone.level for tone in tones(told, "Flute")] == [1.0, 1.0]


def test_levels_in_force_change_with_the_tones() -> None:
    """The level in force of the line is the new one inside the bars and the old one outside."""
    playing = changed("Oboe", 2, 3, Level(1.0))
    before, after = PAGE.playing.levels["P1"], playing.levels["P1"]
    for tick in (BAR, 2 * BAR, 3 * BAR - 1):
        assert level_at(after, tick) == (1.0, True)
    for tick in (0, BAR // 2, 3 * BAR):
        assert level_at(after, tick) == level_at(before, tick)
    assert level_before(after, BAR) == level_before(before, BAR)


def test_a_stepped_swell_is_in_force_stepped() -> None:
    """Inside a hairpin the level in force is the old one less the step, and jumps back after it."""
    before, after = PAGE.playing.levels["P1"], changed("Oboe", 1, 1, Step(-1.0)).levels["P1"]
    for tick in range(BAR):
        assert level_at(after, tick).level == pytest.approx(level_at(before, tick).level - 1.0)
    assert level_before(after, BAR).level == level_before(before, BAR).level - 1.0
    assert level_at(after, BAR) == level_at(before, BAR)


def test_a_held_tone_is_parted_at_the_barline() -> None:
    """A tie into the bars is changed from the barline on: one note goes on, with no new attack."""
    head, rest = tones(changed("Oboe", 3, 3, Level(2.0)), "Oboe")[5:7]
    assert (head.stop, rest.start) == (2 * BAR, 2 * BAR)
    assert (head.level, rest.level, rest.continued) == (6.0, 2.0, True)
    assert head.notes == rest.notes
    assert head.stop_s == rest.start_s


def test_what_is_struck_belongs_to_its_bar() -> None:
    """A harp's tone held into the bars keeps what it was struck with; so does one held beyond."""
    assert tones(changed("Harp", 2, 3, Level(1.0)), "Harp") == [
        *tones(PAGE.playing, "Harp", 1),
        tones(PAGE.playing, "Harp", 3)[0]._replace(level=1.0, level_stop=1.0),
        *tones(PAGE.playing, "Harp", 4),
    ]
    first = tones(changed("Harp", 1, 1, Level(1.0)), "Harp")[0]
    assert (first.level, first.stop) == (1.0, 2 * BAR)


def test_grace_notes_are_told_too() -> None:
    """A grace note takes no time and is told what its bar is told."""
    assert {tone.level for tone in tones(changed("Oboe", 4, 4, Level(1.0)), "Oboe", 4)} == {1.0}


def test_left_out_is_silent_in_its_bars_only() -> None:
    """No tone of the line sounds in the bars, and one that was tied into them ends before."""
    playing = changed("Violoncello", 2, 2, LeftOut())
    assert [(tone.start, tone.stop) for tone in tones(playing, "Violoncello")] == [
        (0, BAR), (2 * BAR, 3 * BAR), (3 * BAR, 4 * BAR),
    ]  # fmt: skip


def test_players_share_what_is_struck_together() -> None:
    """Six violas play six on one note and three each on two; a second first horn makes two."""
    violas = changed("Viola", 2, 3, Players(6.0))
    assert {tone.players for tone in tones(violas, "Viola", 2)} == {6.0}
    assert {tone.players for tone in tones(violas, "Viola", 3)} == {3.0}
    assert tones(changed("Horn 1", 1, 1, Players(2.0)), "Horn 1", 1)[0].players == 2.0


def test_half_a_section_is_half_of_each_division() -> None:
    """Seven of fourteen violins: seven while they play together, half as many in each half."""
    playing = changed("Violin I", 3, 4, Players(7.0))
    assert {tone.players for tone in tones(playing, "Violin I", 3)} == {7.0}
    halves = [t for t in playing.tones if playing.lines[t.line].of == "P5"]
    assert [tone.players for tone in halves] == [3.5, 3.5]


def test_another_instrument_takes_over() -> None:
    """The tones pass to a new line with name, family and players of its own, an octave lower."""
    playing = changed("Violoncello", 1, 2, BASSOON)
    line = playing.lines[-1]
    assert playing.lines[:-1] == PAGE.playing.lines
    assert (line.name, line.instrument, line.family) == (
        "Bassoon for Violoncello", "bassoon", "woodwind",
    )  # fmt: skip
    assert [tone.midi for tone in tones(playing, line.name)] == [36.0, 38.0]
    assert [tone.players for tone in tones(playing, line.name)] == [1.0, 1.0]
    assert [tone.bar for tone in tones(playing, "Violoncello")] == [2, 3]
    assert playing.levels[line.id] == PAGE.playing.levels["P6"]


def test_taking_over_leaves_a_technique_behind() -> None:
    """What was plucked is blown when a wind takes over, and stays plucked in the family."""
    assert taken("Viola", BASSOON) == {""}
    cello = TakenOver("cello", "Cello", "strings", 8, True)
    assert taken("Viola", cello) == {"pizz"}


def test_an_octave_moves_the_sound_only() -> None:
    """An octave higher is twelve semitones; notes, times and levels stay."""
    before, after = (
        tones(PAGE.playing, "Violin I", 1),
        tones(changed("Violin I", 1, 1, Octave(1)), "Violin I", 1),
    )
    assert after == [tone._replace(midi=tone.midi + 12.0) for tone in before]


def test_a_technique_is_told_and_in_force() -> None:
    """Muted horns are muted in the bars, and what is in force says so there and nowhere else."""
    playing = changed("Horns", 1, 2, Technique("mute"))
    assert [tone.technique for tone in tones(playing, "Horn 2")] == ["mute", "mute", ""]
    points = playing.techniques["P4.2"]
    assert [(point.tick, point.mute) for point in points] == [(0, True), (2 * BAR, False)]


def test_changes_are_made_in_order() -> None:
    """Of two changes of one thing the later holds."""
    who = select_lines(PAGE.playing, "Violin I")
    two = [Change(who, 0, 3, Level(6.0)), Change(who, 1, 1, Step(-1.0))]
    playing = apply(PAGE.playing, two, PAGE.score.bars, PAGE.book)
    assert [t.level for t in tones(playing, "Violin I") if t.bar < 2] == [6.0] * 4 + [5.0] * 2


def test_all_others_play_on_unchanged() -> None:
    """Nobody who is not named is told anything, and the tones stay in order."""
    playing = changed("Violin I", 2, 3, Level(1.0))
    violin = select_lines(PAGE.playing, "Violin I")
    others = [t for t in playing.tones if playing.lines[t.line].id not in violin]
    assert others == [t for t in PAGE.playing.tones if PAGE.playing.lines[t.line].id not in violin]
    keys = [(tone.start, tone.line, tone.midi) for tone in playing.tones]
    assert keys == sorted(keys)


@pytest.mark.parametrize(
    ("who", "bars", "what"),
    [("Horns", (4, 4), Level(2.0)), ("Violin I", (1, 2), Level(3.0)), ("Harp", (2, 2), LeftOut())],
)
def test_a_change_that_alters_nothing_is_refused(
    who: str, bars: tuple[int, int], what: Alteration
) -> None:
    """Lines that rest, or play so already, are named in one sentence."""
    with pytest.raises(InputError, match="alters nothing"):
        changed(who, *bars, what)
