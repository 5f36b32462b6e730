"""Levels: the rules, each on a page of a few bars."""

import pytest

from redstave.model.line import Forces, level_name
from redstave.players import level_at, level_before, play
from redstave.players.dynamics import read_levels
from redstave.reading import read_bytes
from tests.players.pages import flute, levels_of, page, told, tones_of


def _at(bars: str, *quarters: float) -> list[float]:
    """Return the levels of one flute at positions in quarters from the start."""
    score = page(f"part Flute\n{bars}\n")
    points = flute(bars).levels["P1"]
    return [level_at(points, quarter * score.ticks_per_quarter).level for quarter in quarters]


@pytest.mark.parametrize(
    ("letters", "number"),
    [("ppp", 1), ("pp", 2), ("p", 3), ("mp", 4), ("mf", 5), ("f", 6), ("ff", 7), ("fff", 8)],
)
def test_written_levels_have_their_numbers(letters: str, number: int) -> None:
    """Each written level sets its number and keeps it over the following bars."""
    assert _at(f"{letters} C5/1 | D5 |", 0, 3, 7.9) == [number] * 3
    assert level_name(number) == letters


def test_before_any_mark_mf_is_assumed_and_not_known() -> None:
    """A part that begins without a level is at mf, marked as not known, until its first mark."""
    points = levels_of("C5/1 | p D5 |")
    assert level_at(points, 0) == (5.0, False)
    assert level_at(points, page("part F\nC5/1 | D5 |\n").bars[1].start) == (3.0, True)


def test_a_hairpin_leads_to_the_next_mark() -> None:
    """Halfway through p < f the level is halfway between."""
    assert _at("p < C5/4 D5 E5 F5 = | f C5/1 |", 0, 2, 4) == [3.0, 4.5, 6.0]


def test_a_hairpin_without_goal_moves_by_one_step() -> None:
    """A crescendo to nowhere ends one written step higher and stays there."""
    assert _at("p < C5/4 D5 E5 F5 = | C5/1 | D5 |", 4, 9) == [4.0, 4.0]
    assert _at("p > C5/4 D5 E5 F5 = | C5/1 |", 4) == [2.0]


def test_a_goal_against_the_direction_is_no_goal() -> None:
    """In f < p the crescendo still rises, and p comes suddenly after it."""
    assert _at("f < C5/4 D5 E5 F5 = | p C5/1 |", 2, 4) == [6.5, 3.0]
    playing = flute("f < C5/4 D5 E5 F5 = | p C5/1 |")
    assert level_before(playing.levels["P1"], page("part F\nC5/1 | D5 |\n").bars[1].start) == (
        7.0,
        True,
    )


def test_the_goal_must_stand_within_a_beat() -> None:
    """A mark a bar after the hairpin's end is no goal: one step up, then the mark."""
    assert _at("p < C5/4 D5 E5 F5 = | C5/1 | ff D5 |", 4, 7, 8) == [4.0, 4.0, 7.0]


def test_swell_and_fall_without_goals_return() -> None:
    """A pair of hairpins without marks goes up one step and back."""
    assert _at("p < C5/4 D5 = > E5 F5 = | C5/1 |", 1, 2, 4) == [3.5, 4.0, 3.0]


def test_a_row_of_small_falls_does_not_add_up() -> None:
    """Each of several diminuendos without a mark starts again from the last mark."""
    bars = "p > C5/2 = D5 | > C5/2 = D5 | > C5/2 = D5 | C5/1 |"
    assert _at(bars, 2, 4, 6, 8, 10, 12) == [2.0, 3.0, 2.0, 3.0, 2.0, 2.0]


def test_cresc_in_words_leads_to_the_next_mark() -> None:
    """A bare "cresc." rises evenly up to the next level, however far."""
    assert _at('p "cresc." C5/1 | D5 | E5 | f F5 |', 0, 6, 12) == [3.0, 4.5, 6.0]


def test_a_long_rest_ends_cresc_in_words() -> None:
    """A bare "cresc." does not reach over a rest of a bar or more to a later mark."""
    assert _at('p "cresc." C5/1 | D5 | R*2 | f F5 |', 0, 4, 8, 15, 16) == [3.0, 3.5, 4.0, 4.0, 6.0]


def test_repeated_cresc_words_are_one_crescendo() -> None:
    """A second "cresc.", or a hairpin after it, goes on with the first."""
    assert _at('p "cresc." C5/1 | "(cresc.)" D5 | ff E5 |', 0, 4, 8) == [3.0, 5.0, 7.0]
    assert _at('p "cresc." C5/1 | < D5 = | ff E5 |', 0, 4, 8) == [3.0, 5.0, 7.0]


def test_molto_cresc_without_goal_moves_two_steps() -> None:
    """“molto” doubles the assumed step."""
    assert _at('p "molto cresc." C5/1 | D5 | R |', 8) == [5.0]


def test_sforzando_accents_and_leaves_the_level() -> None:
    """sf, sfz, fz and rf raise the attack and do not change the level in force."""
    for mark in ("sf", "sfz", "fz", "rf"):
        playing = flute(f"p C5/2 {mark} D5 | E5/1 |")
        tones = tones_of(playing, "P1")
        assert [tone.level for tone in tones] == [3.0, 3.0, 3.0]
        assert [tone.accent_db for tone in tones] == [0.0, 4.0, 0.0]  # acoustics: starting table


def test_fortepiano_is_an_accent_and_then_p() -> None:
    """After fp the attack is accented and p is in force."""
    tones = tones_of(flute("ff C5/1 | fp D5 | E5 |"), "P1")
    assert [(tone.level, tone.accent_db) for tone in tones] == [(7.0, 0.0), (3.0, 4.0), (3.0, 0.0)]


@pytest.mark.parametrize(
    ("music", "levels"),
    [
        ('f C5/1 | "sotto voce" D5/1 |', [6.0, 3.0]),
        ('pp C5/1 | "sotto voce" D5/1 |', [2.0, 2.0]),
        ('p C5/1 | "con tutta forza" D5/1 |', [3.0, 7.0]),
        ('fff C5/1 | "con tutta forza" D5/1 |', [8.0, 8.0]),
        ('"mezza voce" C5/1 | D5/1 |', [3.0, 3.0]),
        ('mp "mezza voce" C5/1 | D5/1 |', [4.0, 4.0]),
    ],
)
def test_words_of_strength_bound_the_level(music: str, levels: list[float]) -> None:
    """Sotto voce is p at most, tutta forza ff at least; letters beside them count (no source)."""
    tones = tones_of(flute(music), "P1")
    assert [tone.level for tone in tones] == levels
    assert all(tone.level_known for tone in tones)


def test_a_crescendo_to_fp_leads_to_its_forte() -> None:
    """The attack of fp is the goal, its p is what follows."""
    playing = flute("p < C5/1 = | fp D5 |")
    assert level_before(playing.levels["P1"], playing.tones[1].start).level == 6.0
    assert playing.tones[1].level == 3.0


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("sempre pp", [("set", 2.0)]),
        ("mf espr.", [("set", 5.0)]),
        ("p dolce", [("set", 3.0)]),
        ("[ mp ]", [("set", 4.0)]),
        ("più f", [("step", 1.0)]),
        ("meno f", [("step", -1.0)]),
        ("più p", [("step", -1.0)]),
        ("un poco meno p", [("step", 1.0)]),
        ("cresc. al ff", [("swell", 1.0)]),
        ("poco a poco più f", [("swell", 1.0)]),
        ("immer leiser", [("swell", -1.0)]),
        ("dal niente", [("set", 1.0)]),
        ("sehr leise", [("bound", 2.0)]),
        ("pp leise", [("set", 2.0)]),
        ("p sotto voce", [("set", 3.0)]),
        ("con tutta forza", [("bound", 7.0)]),
        ("sempre più f", [("swell", 1.0)]),
        ("sfp", [("accent", 0.0), ("set", 3.0)]),
        ("sff", [("accent", 0.0)]),
        ("fp", [("accent", 0.0), ("set", 3.0)]),
        ("\ue522\ue522", [("set", 7.0)]),  # SMuFL dynamicForte, twice
        ("\ue520", [("set", 3.0)]),  # SMuFL dynamicPiano
        ("\ue52c", [("set", 4.0)]),  # SMuFL dynamicMP
        ("mf \ue536", [("set", 5.0), ("accent", 0.0)]),  # SMuFL dynamicSforzando1
        ("cresc.", [("swell", 1.0)]),
        ("poco a poco cresc.", [("swell", 1.0)]),
        ("molto cresc.", [("swell", 2.0)]),
        ("dimin.", [("swell", -1.0)]),
        ("decresc.", [("swell", -1.0)]),
        ("en diminuant", [("swell", -1.0)]),
        ("abnehmend", [("swell", -1.0)]),
        ("zunehmend", [("swell", 1.0)]),
        ("senza cresc.", []),
        ("marcato ma piano", [("set", 3.0)]),
        ("pppp", [("set", 1.0)]),
        ("F", []),
        ("dolce", []),
        ("sotto voce", [("bound", 3.0)]),
        ("P.", []),
    ],
)
def test_levels_in_words(text: str, expected: list[tuple[str, float]]) -> None:
    """Composite marks and words are read as set, step, swell or accent (common practice)."""
    assert [(kind, value) for kind, value, _ in read_levels(text)] == expected


def test_piu_forte_is_one_step_up() -> None:
    """“più f” after p is mp, after ff is fff; above fff there is nothing."""
    assert _at('p C5/1 | "più f" D5 |', 4) == [4.0]
    assert _at('fff C5/1 | "più f" D5 |', 4) == [8.0]


def test_levels_carry_over_rests() -> None:
    """An entry after rests without a new mark is at the level before them."""
    tones = tones_of(flute("ff C5/1 | R*3 | D5/1 |"), "P1")
    assert (tones[1].level, tones[1].level_known) == (7.0, True)


def test_a_level_on_one_stave_of_a_harp_holds_for_both() -> None:
    """Two staves share a level unless the other has one of its own in the same bar."""
    playing = told("part Harp | staves=2\np C5/1 // C3/1 | D5/1 // ff D3/1 | f E5/1 // pp E3/1 |\n")
    found = {(tone.bar, tone.midi): tone.level for tone in playing.tones}
    assert found == {
        (0, 72.0): 3.0, (0, 48.0): 3.0,
        (1, 74.0): 7.0, (1, 50.0): 7.0,
        (2, 76.0): 6.0, (2, 52.0): 2.0,
    }  # fmt: skip


def test_level_points_interpolate_between_and_hold_after() -> None:
    """`level_at` is right-continuous, `level_before` left-continuous, both inside 1 … 8."""
    points = levels_of("p < C5/1 = | f D5 | pp E5 | > F5 = |")
    for tick in range(points[-1].tick + 8):
        assert 1.0 <= level_at(points, tick).level <= 8.0
    change = points[[p.level for p in points].index(2.0)]
    assert level_before(points, change.tick).level == 6.0
    assert level_at(points, change.tick).level == 2.0


@pytest.mark.parametrize(
    ("text", "goal"),
    [
        ("cresc. al ff", 7.0),
        ("cresc. molto al ff", 7.0),
        ("dim. e rit. al p", 3.0),
        ("cresc. jusqu'au ff", 7.0),
        ("dim. bis pp", 2.0),
        ("dim. al niente", 1.0),
    ],
)
def test_a_swell_may_name_its_own_goal(text: str, goal: float) -> None:
    """The level after "al" is where the swell leads, not where it begins (common practice)."""
    playing = flute(f'f C5/1 | "{text}" D5/1 | E5/1 | R | "mp" C5/1 |')
    levels = [(tone.level, round(tone.level_stop, 6)) for tone in playing.tones]
    assert levels[1][0] == 6.0
    assert levels[2][1] == goal
    assert levels[3][0] == 4.0


def _with_circles(first: str, last: str) -> list[float]:
    """Return the levels at the ends of two notes under hairpins with those attributes."""
    note = "<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note>"
    sign = "<direction><direction-type>{}</direction-type></direction>"
    wedge = '<wedge type="{}"{}/>'
    bars = (
        "<attributes><divisions>1</divisions></attributes>"
        + sign.format("<dynamics><p/></dynamics>") + sign.format(wedge.format("diminuendo", ""))
        + note + sign.format(wedge.format("stop", last)),
        sign.format(wedge.format("crescendo", first)) + note
        + sign.format(wedge.format("stop", "")),
        sign.format("<dynamics><f/></dynamics>") + note,
    )  # fmt: skip
    measures = "".join(f'<measure number="{n}">{bar}</measure>' for n, bar in enumerate(bars, 1))
    score = read_bytes(
        f'<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Flute</part-name>'
        f'</score-part></part-list><part id="P1">{measures}</part></score-partwise>'.encode(),
        "circles.musicxml",
    )
    tones = play(score, Forces()).tones
    return [tones[0].level, tones[0].level_stop, tones[1].level, tones[1].level_stop]


def test_a_circle_at_the_point_of_a_hairpin_is_nothing() -> None:
    """A diminuendo to niente and a crescendo from it (MusicXML 4.0, `niente` of <wedge>)."""
    circle = ' niente="yes"'
    assert _with_circles(circle, circle) == [3.0, 1.0, 1.0, 6.0]
    assert _with_circles("", "") == [3.0, 2.0, 2.0, 6.0]
    assert _with_circles(' niente="no"', "") == [3.0, 2.0, 2.0, 6.0]
