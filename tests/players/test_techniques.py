"""Techniques in force, in four languages."""

import pytest

from redstave.players.techniques import read_techniques
from tests.players.pages import told, tones_of


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("pizz.", ("pizz",)),
        ("pizzi", ("pizz",)),
        ("arco", ("arco",)),
        ("gestrichen", ("arco",)),
        ("lang gezogen", ("arco",)),
        ("div. pizz.", ("pizz",)),
        ("[arco]", ("arco",)),
        ("con sord.", ("mute",)),
        ("con sordini", ("mute",)),
        ("mit Dämpfer", ("mute",)),
        ("mettez la sourdine", ("mute",)),
        ("1. sourd.", ("mute",)),
        ("muted", ("mute",)),
        ("senza sord.", ("unmute",)),
        ("senza sordini", ("unmute",)),
        ("ohne Dämpfer", ("unmute",)),
        ("ôtez vite la sourdine", ("unmute",)),
        ("sans sourd.", ("unmute",)),
        ("enlevez la Sourdine", ("unmute",)),
        ("col legno, léger", ("col-legno",)),
        ("sul pont.", ("sul-ponticello",)),
        ("am Steg", ("sul-ponticello",)),
        ("sur la touche", ("sul-tasto",)),
        ("sul tasto", ("sul-tasto",)),
        ("gewöhnlich", ("ordinary",)),
        ("trem.", ("tremolo",)),
        ("gestopft", ("stopped",)),
        ("bouché", ("stopped",)),
        ("Flzg. dolce", ("flutter",)),
        ("s. sord.", ("unmute",)),
        ("ôtez sourd.", ("unmute",)),
        ("ôtez les sourd.", ("unmute",)),
        ("levare i sordini", ("unmute",)),
        ("take mutes off", ("unmute",)),
        ("o. Dpf.", ("unmute",)),
        ("via le sord.", ("unmute",)),
        ("remove straight mute", ("unmute",)),
        ("senza sord., poi con sord.", ("unmute", "mute")),
        ("con sord., senza vibr.", ("mute",)),
        ("senza vibr., con sord.", ("mute",)),
        ("mit Dämpfer ab Takt 5", ("mute",)),
        ("No. 2, con sord.", ("mute",)),
        ("cup mute off", ("unmute",)),
        ("mit Dpf.", ("mute",)),
        ("s.p.", ("sul-ponticello",)),
        ("s.t.", ("sul-tasto",)),
        ("c.l.b.", ("col-legno",)),
        ("sul IV", ("string-4",)),
        ("Flatterzunge", ("flutter",)),
        ("frullato", ("flutter",)),
        ("arco, ord.", ("arco", "ordinary")),
        ("Bogen", ("arco",)),
        ("mit Holz", ("col-legno",)),
        ("straight mute", ("straight",)),
        ("cup mute", ("cup",)),
        ("harmon mute", ("harmon",)),
        ("plunger", ("plunger",)),
        ("Dämpfer auf", ("mute",)),
        ("via sord.", ("unmute",)),
        ("m. D.", ("mute",)),
        ("o. D.", ("unmute",)),
        ("open", ("open",)),
        ("ouvert", ("unstopped",)),
        ("offen", ("unstopped",)),
        ("tremolo misurato", ("measured",)),
        ("non trem.", ("untremolo",)),
        ("près de la table", ("near-the-table",)),
        ("l.v.", ("let-ring",)),
        ("laissez vibrer", ("let-ring",)),
        ("klingen lassen", ("let-ring",)),
        ("étouffez", ("damped",)),
        ("sons étouffés", ("damped",)),
        ("snares off", ("no-snares",)),
        ("senza corde", ("no-snares",)),
        ("ohne Schnarrsaiten", ("no-snares",)),
        ("avec timbre", ("snares",)),
        ("sul G", ("string-g",)),
        ("IV. corda", ("string-4",)),
        ("4e corde", ("string-4",)),
        ("sempre pp", ()),
        ("dolce", ()),
        ("arcoiris", ()),
    ],
)
def test_words_of_technique(text: str, expected: tuple[str, ...]) -> None:
    """Words met on real pages (and their usual variants, common practice) are understood."""
    assert read_techniques(text) == expected


def _techniques(part: str, bars: str) -> list[str]:
    return [tone.technique for tone in tones_of(told(f"part {part}\n{bars}\n"), "P1")]


def test_pizzicato_lasts_until_arco() -> None:
    """The word pizz. holds over bars and rests until arco."""
    assert _techniques("Violin 1", 'C5/1 | "pizz." D5 | R | E5 | "arco" F5 |') == [
        "", "pizz", "pizz", "",
    ]  # fmt: skip


def test_mute_lasts_until_it_is_taken_off() -> None:
    """The words con sord. hold until senza sord.; pizzicato with mute counts as pizzicato."""
    bars = '"con sord." C5/1 | "pizz." D5 | "arco" E5 | "senza sord." F5 |'
    assert _techniques("Viola", bars) == ["mute", "pizz", "mute", ""]


def test_col_legno_is_cancelled_by_arco_and_by_ordinario() -> None:
    """Both words end col legno."""
    assert _techniques("Violin 1", '"col legno" C5/1 | "arco" D5 |') == ["col-legno", ""]
    assert _techniques("Violin 1", '"col legno" C5/1 | "ord." D5 |') == ["col-legno", ""]


def test_signs_hold_for_their_note_only() -> None:
    """Tremolo strokes, the plus of stopped notes and the circle of harmonics are for one note."""
    assert _techniques("Violin 1", "C5/2:tremolo3 D5 |") == ["tremolo", ""]
    assert _techniques("Horn in F", "C5/2:stopped D5 |") == ["stopped", ""]
    assert _techniques("Violin 1", "D5/2:harmonic E5 |") == ["harmonic", ""]


def test_a_sign_on_a_chord_is_for_all_its_notes() -> None:
    """Both notes of a chord under one tremolo sign are tremolo."""
    assert _techniques("Violin 1", "[C5 E5]/1:tremolo3 |") == ["tremolo", "tremolo"]


def test_string_words_in_a_wind_part_change_nothing() -> None:
    """A copied “pizz.” does not make a flute pluck."""
    assert _techniques("Flute", '"pizz." C5/1 |') == [""]


def test_points_keep_everything_in_force() -> None:
    """The points of a line show mute, place and bow at once, with the mark that set them."""
    playing = told('part Violin 1\n"con sord." C5/1 | "sul pont." D5 | "pizz." E5 |\n')
    last = playing.techniques["P1"][-1]
    assert (last.bow, last.mute, last.place) == ("pizz", True, "sul-ponticello")
    assert last.cause.startswith("P1.2.m")


def test_pizzicato_and_mutes_outlast_any_rest() -> None:
    """The page says when to take the bow or the mutes off; a rest of any length does not."""
    assert _techniques("Violin 1", '"pizz." C5/1 | R*12 | D5 |') == ["pizz", "pizz"]
    assert _techniques("Viola", '"con sord." C4/1 | R*12 | D4 |') == ["mute", "mute"]


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("con sord.", ""), ("straight mute", "straight"), ("cup mute", "cup"),
        ("harmon mute", "harmon"), ("plunger", "plunger"), ("bucket mute", "bucket"),
    ],
)  # fmt: skip
def test_which_mute_a_trumpet_has(word: str, kind: str) -> None:
    """The mute named is the one in force until “senza sord.” or “open”."""
    for end in ("senza sord.", "open"):
        playing = told(f'part Trumpet 1\n"{word}" C5/1 | "{end}" D5 |\n')
        points = [(point.mute, point.mute_kind) for point in playing.techniques["P1"]]
        assert points[-2:] == [(True, kind), (False, "")]
        assert [tone.technique for tone in playing.tones] == ["mute", ""]


def test_a_brass_mute_on_a_string_stave_is_nothing() -> None:
    """“plunger” over violins is a slip of the pen; “con sord.” over flutes is one as well."""
    assert _techniques("Violin 1", '"plunger" C5/1 |') == [""]
    assert _techniques("Flute", '"con sord." C5/1 |') == [""]


def test_stopped_by_word_and_opened_again() -> None:
    """“gestopft” holds until “offen”; a small o over one note opens that note only."""
    bars = '"gestopft" C5/2 D5:open | E5 F5 | "offen" G5/1 |'
    assert _techniques("Horn in F", bars) == ["stopped", "", "stopped", "stopped", ""]


def test_a_cross_over_a_string_players_note_is_plucked() -> None:
    """The plus sign is stopping for a horn, pizzicato of the left hand for a violin."""
    assert _techniques("Violin 1", "C5/2:stopped D5 |") == ["pizz", ""]
    assert _techniques("Violin 1", "C5/2:snap-pizzicato D5 |") == ["pizz", ""]


def test_flutter_tonguing_lasts_until_ordinario() -> None:
    """In force over the following notes, and only for those who blow."""
    assert _techniques("Flute", '"flz." C5/1 | D5 | "ord." E5 |') == ["flutter", "flutter", ""]
    assert _techniques("Violin 1", '"frull." C5/1 |') == [""]


def _tremolos(part: str, bars: str) -> list[tuple[str, bool]]:
    return [(t.technique, t.measured) for t in tones_of(told(f"part {part}\n{bars}\n"), "P1")]


@pytest.mark.parametrize(
    ("note", "measured"),
    [
        ("C5/2:tremolo1", True), ("C5/2:tremolo2", True), ("C5/2:tremolo3", False),
        ("C5/4:tremolo2", True), ("C5/8:tremolo1", True), ("C5/8:tremolo2", False),
    ],
)  # fmt: skip
def test_a_tremolo_is_measured_below_three_strokes(note: str, measured: bool) -> None:
    """Beams and strokes together: fewer than a demisemiquaver's are counted (common practice)."""
    rest = {"2": "r/2", "4": "r/4 r/2", "8": "r/8 r/4 r/2"}[note[3]]
    assert _tremolos("Violin 1", f"{note} {rest} |") == [("tremolo", measured)]


def test_words_decide_whether_a_tremolo_is_measured() -> None:
    """“trem.” over two strokes is unmeasured, “misurato” over three is measured."""
    assert _tremolos("Violin 1", '"trem." C5/1:tremolo2 |') == [("tremolo", False)]
    assert _tremolos("Violin 1", '"misurato" C5/1:tremolo3 |') == [("tremolo", True)]
    assert _tremolos("Violin 1", '"misurato" C5/1 |') == [("", False)]


def test_snares_lie_on_until_they_are_taken_off() -> None:
    """A snare drum begins with its snares on; words take them off and put them back."""
    playing = told('part Snare Drum\nC5/1 | "snares off" C5 | "mit Schnarrsaiten" C5 |\n')
    assert [point.snares for point in playing.techniques["P1"]] == [True, False, True]
    violin = told('part Violin 1\n"senza corde" C5/1 |\n')
    assert all(point.snares for point in violin.techniques["P1"])


def test_near_the_table_until_ordinario() -> None:
    """A harp's “près de la table” ends with “ord.”."""
    playing = told('part Harp\n"près de la table" C5/1 | D5 | "ord." E5 |\n')
    assert [point.place for point in playing.techniques["P1"]] == ["", "near-the-table", ""]


def test_let_ring_is_for_one_place_unless_always() -> None:
    """“l.v.” is for what stands there, “sempre l.v.” until it is cancelled."""
    one = told('part Harp\n"l.v." C5/1 | D5 |\n').techniques["P1"]
    assert [(point.tick, point.ringing) for point in one][-2:] == [(0, "let-ring"), (1, "")]
    always = told('part Harp\n"sempre l.v." C5/1 | D5 | "étouffez" E5 | F5 |\n').techniques["P1"]
    assert [point.ringing for point in always][-3:] == ["let-ring", "damped", "let-ring"]


def test_the_string_named_stays_in_force() -> None:
    """“sul G” holds until another string or “ord.”."""
    playing = told('part Violin 1\n"sul G" C5/1 | "sul D" D5 | "ord." E5 |\n')
    assert [point.string for point in playing.techniques["P1"]][-3:] == ["G", "D", ""]
