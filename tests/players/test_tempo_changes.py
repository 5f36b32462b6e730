"""Tempo that moves: gradual changes, returns, equations of note values, holds and silences."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from redstave.model.line import TempoMap, TempoPoint, ramp_seconds
from redstave.model.score import Score
from redstave.players.tempo import tempo_map, tempo_points
from redstave.players.tempo_course import Stretch
from redstave.players.tempo_pauses import Hold, Silence
from redstave.players.tempo_words import changes, comparisons, pauses, read_words
from redstave.reading import read_bytes
from tests.players.pages import page

BAR = 4  # quarters
SLOWING = changes()["slowing"]


def tempos(bars: str, header: str = "tempo: 100\n") -> tuple[TempoMap, list[str]]:
    """Return the tempo map of one flute, and the codes of the open questions."""
    score = page(f"part Flute\n{bars}\n", "title: A test\nmeter: 4/4\n" + header)
    found, questions = tempo_map(score)
    return found, [question.code for question in questions]


def at_bars(found: TempoMap, *bars: float) -> list[float]:
    """Return the tempo at the beginning of bars, counted from 1."""
    quarter = found.ticks_per_quarter
    return [found.tempo_at((bar - 1) * BAR * quarter) for bar in bars]


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("rit.", "slowing"), ("poco rall.", "slowing"), ("allargando", "slowing"),
        ("Cédez", "slowing"), ("zurückhaltend", "slowing"), ("en retenant", "slowing"),
        ("dim. e rit.", "slowing"), ("poco a poco rit.", "slowing"), ("rallen_tan-do", "slowing"),
        ("accel.", "quickening"), ("string.", "quickening"), ("poco string.", "quickening"),
        ("Serrez", "quickening"), ("drängend", "quickening"), ("sempre più mosso", "quickening"),
        ("immer langsamer", "slowing"), ("ritenuto", "held"), ("riten.", "held"),
        ("a tempo", "back"),
        ("Mouvt", "back"), ("Tempo", "back"), ("Tempo I", "first"), ("Tempo primo", "first"),
        ("1er Mouvt", "first"), ("L'istesso tempo", "same"), ("più mosso", "compared"),
        ("Doppio movimento", "compared"), ("Allegro", "heading"), ("♩ = ♪", "equal"),
        ("ad lib.", "free"), ("quasi recitativo", "free"),
        ("on one string", ""), ("senza rit.", ""), ("sans ralentir", ""), ("nicht schneller", ""),
        ("cresc. al fine", ""), ("dolce", ""), ("Tempo di marcia", "heading"),
    ],
)  # fmt: skip
def test_words_about_tempo(text: str, kind: str) -> None:
    """What a word does to the tempo, in four languages (common practice, no source)."""
    assert [one.kind for one in read_words(text)] == ([kind] if kind else [])


def test_a_text_may_set_and_change() -> None:
    """“a tempo ma più lento e sempre più ritard.” gives a tempo and then a change."""
    kinds = [one.kind for one in read_words("a tempo ma più lento e sempre più ritard.")]
    assert kinds == ["compared", "slowing"]


def test_a_return_behind_a_change_is_for_later() -> None:
    """In “rall. - a tempo” as one text the return stands for a later place."""
    assert [one.kind for one in read_words("rall. a tempo")] == ["slowing"]


def test_a_ritardando_falls_evenly_to_the_a_tempo() -> None:
    """From bar 2 to bar 4 the tempo falls by a quarter, evenly by position; then it is back."""
    found, codes = tempos('C5/1 | "rit." C5 | C5 | "a tempo" C5 | C5 |')
    ratio = SLOWING["plain"].number
    middle = 100 * (1 + ratio) / 2
    assert at_bars(found, 1, 2, 3, 4, 5) == pytest.approx([100, 100, middle, 100, 100])
    before = found.tempo_at(3 * BAR * found.ticks_per_quarter - 0.01)
    assert before == pytest.approx(100 * ratio, rel=0.01)
    assert codes == ["tempo-change-without-goal"]


@pytest.mark.parametrize(
    ("text", "strength"), [("poco rit.", "little"), ("rit.", "plain"), ("rit. molto", "strong")]
)
def test_poco_and_molto(text: str, strength: str) -> None:
    """“poco” changes less, “molto” more."""
    found, _ = tempos(f'"{text}" C5/1 | "a tempo" C5 |')
    assert found.points[0].goal == pytest.approx(100 * SLOWING[strength].number)


def test_a_change_leads_to_the_next_tempo_in_its_direction() -> None:
    """“rit.” before a slower tempo ends there, and nothing about its goal is open."""
    found, codes = tempos('C5/1 | "rit." C5 | %80 C5 |')
    assert found.points[1][2:4] == (100.0, 80.0)
    assert codes == []


def test_a_change_does_not_lead_to_a_tempo_far_away() -> None:
    """A “poco rit.” before half the tempo falls a little; the new tempo is a jump."""
    found, codes = tempos('C5/1 | "poco rit." C5 | %50 C5 |')
    assert found.points[1].goal == pytest.approx(100 * SLOWING["little"].number)
    assert codes == ["tempo-change-without-goal"]


def test_a_change_does_not_lead_against_its_direction() -> None:
    """“rit.” before a faster tempo slows down first."""
    found, _ = tempos('C5/1 | "rit." C5 | %120 C5 |')
    assert found.points[1].goal == pytest.approx(100 * SLOWING["plain"].number)
    assert found.points[2].quarters == 120


def test_a_change_that_nothing_ends_is_a_question() -> None:
    """Without “a tempo” a “rit.” lasts four bars, the old tempo comes back, and it is asked."""
    found, codes = tempos('C5/1 | "rit." C5 |' + " C5 |" * 30)
    assert at_bars(found, 5.999, 6, 7) == pytest.approx([75, 100, 100], rel=0.01)
    assert "tempo-change-without-end" in codes


def test_a_double_bar_ends_a_change() -> None:
    """Without “a tempo” a “rit.” ends at the next double bar."""
    found, codes = tempos('C5/1 | "rit." C5 | C5 ||' + " C5 |" * 30)
    assert at_bars(found, 4) == [100]
    assert "tempo-change-without-end" in codes


def test_a_last_ritardando_goes_to_the_end() -> None:
    """A “rit.” near the end goes up to it; nothing is open but how far."""
    found, codes = tempos('C5/1 | "rit." C5 | C5 | C5 |.')
    assert found.points[-1].tick == 4 * BAR * found.ticks_per_quarter
    assert codes == ["tempo-change-without-goal"]


def test_ritenuto_holds_back_at_once() -> None:
    """“ritenuto” is slower from its first note to the “a tempo”."""
    found, _ = tempos('C5/1 | "ritenuto" C5 | "a tempo" C5 |')
    held = 100 * changes()["held"]["plain"].number
    assert at_bars(found, 2, 2.9, 3) == pytest.approx([held, held, 100])


def test_an_accelerando_then_a_ritardando() -> None:
    """The second change begins where the first has led."""
    found, _ = tempos('"accel." C5/1 | "rit." C5 | "a tempo" C5 |')
    fast = 100 * changes()["quickening"]["plain"].number
    slow = 100 * SLOWING["plain"].number
    assert [point[2:4] for point in found.points] == [
        (100, pytest.approx(fast)),
        (pytest.approx(fast), pytest.approx(slow)),
        (100, 100),
    ]


def test_parts_that_print_a_change_unevenly() -> None:
    """“rit.” a beat later in another part, and “a tempo” too, are one change and one return."""
    score = page(
        'part Flute\nC5/4 "rit." C5 C5 C5 | "a tempo" C5 C5 C5 C5 |\n'
        'part Oboe\nC5/4 C5 "rit." C5 C5 | C5 "a tempo" C5 C5 C5 |\n',
        "title: A test\nmeter: 4/4\ntempo: 100\n",
    )
    found, _ = tempo_map(score)
    assert [point.tick // found.ticks_per_quarter for point in found.points] == [0, 1, 4]


def test_a_tempo_returns_to_the_tempo_before_the_change() -> None:
    """After “Più mosso … rit. … a tempo” the più mosso is back; a bare “a tempo” ends it."""
    found, _ = tempos('C5/1 | "più mosso" C5 | "rit." C5 | "a tempo" C5 | C5 | "a tempo" C5 |')
    faster = 100 * comparisons()["piu", "mosso"].number
    assert at_bars(found, 2, 4, 6) == pytest.approx([faster, faster, 100])


def test_meno_mosso_after_piu_mosso_is_less_fast() -> None:
    """A comparison in the other direction is measured from the tempo in force."""
    found, _ = tempos('C5/1 | "più mosso" C5 | "meno mosso" C5 |')
    up, down = (comparisons()[word, "mosso"].number for word in ("piu", "meno"))
    assert at_bars(found, 3) == [pytest.approx(100 * up * down, abs=0.1)]


def test_a_tempo_behind_a_pickup_is_the_first() -> None:
    """A tempo printed at bar 1 holds for the pickup before it."""
    found, codes = tempos("C5/4 | %72 C5/1 |", "pickup: 1/4\n")
    assert found.points == (TempoPoint(0, 0.0, 72.0, 72.0),)
    assert codes == []


def test_the_beat_goes_on_at_an_istesso_tempo() -> None:
    """“L'istesso tempo” from 2/4 to 6/8: the dotted quarter takes the quarter's time."""
    found, _ = tempos("""C5/1 | meter:6/8 "L'istesso tempo" C5/2. |""", "tempo: 60\n")
    assert at_bars(found, 1, 2) == [60, 90]


def written_out(*directions: str) -> Score:
    """Return a score of one part in 4/4 with these directions, each at the head of a bar."""
    time = "<time><beats>4</beats><beat-type>4</beat-type></time>"
    measures = "".join(
        f'<measure number="{number}">'
        + f"<attributes><divisions>2</divisions>{time}</attributes>" * (number == 1)
        + direction
        + "<note><rest/><duration>8</duration></note></measure>"
        for number, direction in enumerate(directions, 1)
    )
    xml = (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Flute</part-name>'
        f'</score-part></part-list><part id="P1">{measures}</part></score-partwise>'
    )
    return read_bytes(xml.encode(), "written-out.musicxml")


def words(text: str, sound: float = 0.0) -> str:
    """Return a direction in words, with a tempo for playback where one is given."""
    playback = f'<sound tempo="{sound:g}"/>' if sound else ""
    kinds = f"<direction-type><words>{text}</words></direction-type>"
    return f"<direction>{kinds}{playback}</direction>"


def metronomes(*marks: str) -> Score:
    """Return a score of one part with a metronome mark in each bar."""
    inside = "<direction><direction-type><metronome>{}</metronome></direction-type></direction>"
    return written_out(*(inside.format(mark) for mark in marks))


def test_playback_at_the_word_is_the_goal() -> None:
    """A slower tempo for playback at the “rit.” itself is where the change leads."""
    score = written_out(words("", 100), words("rit.", 70), words("a tempo", 100))
    found, questions = tempo_map(score)
    assert [point[2:4] for point in found.points] == [(100, 100), (100, 70), (100, 100)]
    assert not questions


def test_playback_that_ignores_a_comparison_is_not_believed() -> None:
    """“Meno mosso” with the old tempo for playback is slower all the same, and assumed."""
    found, questions = tempo_map(written_out(words("Allegro", 144), words("Meno mosso", 144)))
    assert found.points[1].quarters == pytest.approx(144 * 0.87, abs=0.1)
    assert [one.code for one in questions] == ["tempo-word-without-number"]


@pytest.mark.parametrize(("playback", "doubted"), [(100, False), (180, False), (300, True)])
def test_playback_far_from_the_printed_word_is_doubted(playback: float, doubted: bool) -> None:
    """“Allegro” without number played at 300 quarters a minute is followed, and asked about."""
    found, questions = tempo_map(written_out(words("Allegro", playback)))
    assert found.points[0].quarters == playback
    assert bool(questions) is doubted


def test_evidence_that_contradicts_itself_is_told() -> None:
    """A printed number wins over another tempo for playback; the difference is a question."""
    found, questions = tempo_map(written_out(words("Allegro ♩ = 120", 90)))
    assert found.points[0].quarters == 120
    assert [(one.code, one.bar) for one in questions] == [("tempo-contradicted", 0)]


def test_dashes_show_where_a_change_ends() -> None:
    """A “rit.” with dashes over one bar has slowed at its end and stays so up to “a tempo”."""
    start, stop = (
        f'<direction><direction-type><dashes type="{end}"/></direction-type></direction>'
        for end in ("start", "stop")
    )
    score = written_out(words("", 100), words("rit.") + start, stop, words("a tempo"))
    found, _ = tempo_map(score)
    assert [point[2:4] for point in found.points] == [
        (100, 100), (100, 75), (75, 75), (100, 100)
    ]  # fmt: skip


def _unit(name: str, dots: int = 0) -> str:
    return f"<beat-unit>{name}</beat-unit>" + "<beat-unit-dot/>" * dots


@pytest.mark.parametrize(
    ("unit", "dots", "per_minute", "quarters"),
    [("quarter", 0, "80", 80), ("half", 0, "60", 120), ("quarter", 1, "40", 60),
     ("eighth", 0, "96", 48), ("half", 2, "20", 70), ("quarter", 0, "ca. 72", 72)],
)  # fmt: skip
def test_metronome_marks(unit: str, dots: int, per_minute: str, quarters: float) -> None:
    """A beat unit with dots and its number give quarters a minute (MusicXML 4.0, metronome)."""
    mark = f"{_unit(unit, dots)}<per-minute>{per_minute}</per-minute>"
    found, questions = tempo_map(metronomes(mark))
    assert [point.quarters for point in found.points] == [pytest.approx(quarters)]
    assert not questions


@pytest.mark.parametrize(
    ("old", "new", "quarters"),
    [(("quarter", 0), ("eighth", 0), 60), (("quarter", 0), ("quarter", 1), 180),
     (("eighth", 0), ("quarter", 0), 240), (("quarter", 1), ("half", 0), 160)],
)  # fmt: skip
def test_equations_of_note_values(
    old: tuple[str, int], new: tuple[str, int], quarters: float
) -> None:
    """“♩ = ♪” after ♩ = 120: the old quarter's time goes to the new eighth; the reading is told."""
    first = f"{_unit('quarter')}<per-minute>120</per-minute>"
    found, questions = tempo_map(metronomes(first, _unit(*old) + _unit(*new)))
    assert [point.quarters for point in found.points] == [120, pytest.approx(quarters)]
    assert [one.code for one in questions] == ["tempo-equation"]


def test_a_fermata_stretches_its_note() -> None:
    """The half note under a fermata lasts twice as long; before and after nothing changes."""
    found, codes = tempos("C5/2 D5:fermata | C5/1 |", "tempo: 60\n")
    times = pauses()["fermata"]["plain"].number
    quarter = found.ticks_per_quarter
    seconds = [found.seconds(at * quarter) for at in (0, 2, 3, 4, 8)]
    assert seconds == pytest.approx([0, 2, 2 + times, 2 + 2 * times, 6 + 2 * times])
    assert codes == ["fermata-length"]


def test_fermatas_on_unequal_notes_hold_together() -> None:
    """A fermata on a half note and one on its second quarter stretch the time they share, once."""
    score = page(
        "part Flute\nC5/2 D5:fermata |\npart Oboe\nC5/2 D5/4 D5/4:fermata |\n",
        "title: A test\nmeter: 4/4\ntempo: 60\n",
    )
    found, _ = tempo_map(score)
    times = pauses()["fermata"]["plain"].number
    assert found.seconds(4 * found.ticks_per_quarter) == pytest.approx(3 + times)


def test_lunga_is_longer() -> None:
    """“lunga” at a fermata makes it longer."""
    found, _ = tempos('"lunga" C5/1:fermata |', "tempo: 60\n")
    assert found.seconds(4 * found.ticks_per_quarter) == 4 * pauses()["fermata"]["long"].number


def test_a_caesura_is_a_silence() -> None:
    """Behind a caesura time stops: what ends there ends before it, what begins there after it."""
    found, codes = tempos("C5/1:caesura | C5/1 |", "tempo: 60\n")
    bar = 4 * found.ticks_per_quarter
    silence = pauses()["silence"]["caesura"].number
    assert found.seconds_before(bar) == pytest.approx(4)
    assert found.seconds(bar) == pytest.approx(4 + silence)
    assert found.tick_at(4 + silence / 2) == bar
    assert codes == ["silence-length"]


def test_free_time_is_a_question() -> None:
    """“ad lib.” cannot be put into seconds: it is asked about, with its bar."""
    score = page('part Flute\nC5/1 | "ad lib." C5 |\n', "title: T\nmeter: 4/4\ntempo: 60\n")
    _, questions = tempo_map(score)
    assert [(one.code, one.bar) for one in questions] == [("tempo-free", 1)]


def test_bars_without_metre_are_a_question() -> None:
    """Under <senza-misura> the notes are taken as long as written, and it is said."""
    free = "<attributes><time><senza-misura/></time></attributes>"
    _, questions = tempo_map(written_out(words("", 60), free))
    assert [(one.code, one.bar) for one in questions] == [("tempo-free", 1)]


STRETCH = st.tuples(st.integers(1, 40), st.floats(20, 300), st.floats(20, 300))


@given(st.lists(STRETCH, min_size=1, max_size=6), st.integers(0, 3), st.floats(0.1, 3))
def test_time_runs_forward_and_back(
    pieces: list[tuple[int, float, float]], hold: int, pause: float
) -> None:
    """Whatever the tempo does, later is later, and tick_at undoes seconds."""
    stretches, tick = [], 0
    for length, quarters, goal in pieces:
        stretches.append(Stretch(tick, quarters, goal))
        tick += 4 * length
    stretches.append(Stretch(tick, 60.0, 60.0))
    points = tempo_points(stretches, [Hold(hold, hold + 2, 2.0)], [Silence(2, pause, "caesura")], 4)
    found = TempoMap(4, points, False)
    seconds = [found.seconds(at) for at in range(tick + 8)]
    assert all(earlier < later for earlier, later in pairwise(seconds))
    assert [found.tick_at(second) for second in seconds] == pytest.approx(range(tick + 8), abs=1e-6)


@given(st.floats(20, 300), st.floats(20, 300), st.floats(0.5, 40))
def test_the_seconds_of_a_ramp_are_the_integral(start: float, goal: float, length: float) -> None:
    """The closed form agrees with a sum over a thousand short steps of steady tempo."""
    steps = 1000
    step = length / steps
    speeds = [start + (goal - start) * (i + 0.5) / steps for i in range(steps)]
    assert ramp_seconds(start, goal, length, length) == pytest.approx(
        math.fsum(step * 60 / speed for speed in speeds), rel=1e-4
    )
