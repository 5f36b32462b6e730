"""The order of bars when repeats are taken."""

import warnings
from collections import defaultdict
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from redstave.model.score import Score
from redstave.players.repeats import (
    passing_name,
    playing_seconds,
    stretches,
    unfold,
)
from redstave.players.tempo import tempo_map
from redstave.reading import read, read_bytes
from tests.players.pages import page


def order(score: Score) -> str:
    """Return the printed numbers of the bars in the order of playing."""
    return " ".join(score.bars[one.bar].number for one in unfold(score).passings)


def written_out(bars: str) -> Score:
    """Return a score from bars such as "|: . . [1 . ] :| [2 . ]": one dot a bar.

    Before a dot: "|:", "[1,2" begins an ending, "$" segno, "O" coda; behind it: ":|", ":|3", "$>"
    and "O>" (the signs at the end of the bar), "]" ends an ending, words in quotes without spaces
    ("D.C._al_Fine"), "!name=value" for playback.
    """
    out: list[str] = []
    for token in bars.split():
        left, right = _sides(token)
        if left is not None:
            out.append(f"OPEN{left}")
        if token == ".":
            out.append("NOTE")
        if right is not None:
            out.append(f"CLOSE{right}")
    measures: list[list[str]] = []
    before: list[str] = []
    for item in out:
        if item.startswith("OPEN"):
            before.append(item[4:])
        elif item == "NOTE":
            note = "<note><rest/><duration>4</duration></note>"
            measures.append([*before, note])
            before = []
        else:
            measures[-1].append(item[5:])
    body = "".join(
        f'<measure number="{number}">{"".join(inside)}</measure>'
        for number, inside in enumerate(measures, 1)
    )
    time = "<time><beats>4</beats><beat-type>4</beat-type></time>"
    head = f"<attributes><divisions>1</divisions>{time}</attributes>"
    body = body.replace('<measure number="1">', f'<measure number="1">{head}', 1)
    xml = (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Flute</part-name>'
        f'</score-part></part-list><part id="P1">{body}</part></score-partwise>'
    )
    return read_bytes(xml.encode(), "repeats.musicxml")


def _sides(token: str) -> tuple[str | None, str | None]:
    """Return what a token writes at the left and at the right of its bar."""
    if token == "|:":
        return '<barline location="left"><repeat direction="forward"/></barline>', None
    if token.startswith(":|"):
        times = f' times="{token[2:]}"' if token[2:] else ""
        repeat = f'<repeat direction="backward"{times}/>'
        return None, f'<barline location="right">{repeat}</barline>'
    if token.startswith("["):
        ending = f'<ending number="{token[1:]}" type="start"/>'
        return f'<barline location="left">{ending}</barline>', None
    if token == "]":
        return None, '<barline location="right"><ending number="0" type="stop"/></barline>'
    if token[0] in "$O":
        sign = {"$": "segno", "O": "coda"}[token[0]]
        drawn = f"<direction><direction-type><{sign}/></direction-type></direction>"
        return (None, drawn) if token.endswith(">") else (drawn, None)
    if token.startswith('"'):
        words = f"<words>{token.strip(chr(34)).replace('_', ' ')}</words>"
        return None, f"<direction><direction-type>{words}</direction-type></direction>"
    if token.startswith("!"):
        name, value = token[1:].split("=")
        return None, f'<sound {name}="{value}"/>'
    assert token == "."
    return None, None


@pytest.mark.parametrize(
    ("bars", "played"),
    [
        (". . .", "1 2 3"),
        (". . :| .", "1 2 1 2 3"),
        (". |: . . :| .", "1 2 3 2 3 4"),
        (". |: . :|3 .", "1 2 2 2 3"),
        ("|: . :| |: . :|", "1 1 2 2"),
        (". :| . :| .", "1 1 2 2 3"),
        ("|: . [1 . ] :| [2 . ] .", "1 2 1 3 4"),
        ("|: . [1,2 . ] :| [3 . ] .", "1 2 1 2 1 3 4"),
        ("|: . [1-3 . ] :| [4 . ]", "1 2 1 2 1 2 1 3"),
        ("|: . [1 . ] :| [2 . ] :| [3 . ] .", "1 2 1 3 1 4 5"),
        ("|: . [1 . . ] :| [2 . . ] |: . :|", "1 2 3 1 4 5 6 6"),
        ("|: . [1 . ] :| . .", "1 2 1 3 4"),
        ('. . "Fine" . . "D.C._al_Fine"', "1 2 3 4 1 2"),
        ('|: . :| . "Fine" . "D._C._al_Fine"', "1 1 2 3 1 2"),
        ('. $ . . "Fine" . "D.S._al_Fine"', "1 2 3 4 2 3"),
        ('. . "To_Coda" . "D.C._al_Coda" O . .', "1 2 3 1 2 4 5"),
        ('. $ . "To_Coda" . "Dal_segno_al_Coda" O . .', "1 2 3 2 4 5"),
        ('. . O . "D.C._al_Coda" O . .', "1 2 3 1 2 4 5"),
        ('|: . [1 . ] :| [2 . ] "Fine" . "Da_capo_al_Fine"', "1 2 1 3 4 1 3"),
        ('. . "Da_capo"', "1 2 1 2"),
        ('. $ . . O> . "D.S._al_Coda" O . .', "1 2 3 4 2 3 5 6"),
        ('. . O> . "D.C._al_Coda" O . .', "1 2 3 1 2 4 5"),
        ('. . $> . "D.C._al_segno,_poi_Coda" O . .', "1 2 3 1 2 4 5"),
        ('. . $> . "D.C._al_segno"', "1 2 3 1 2"),
        ('|: . . :| . "Fine" . "D.C._al_Fine_con_rep."', "1 2 1 2 3 4 1 2 1 2 3"),
        ('|: . . :| . "Fine" . "D.C._al_Fine_senza_rep."', "1 2 1 2 3 4 1 2 3"),
        ('. . "Fin" . "D.C._al_Fin"', "1 2 3 1 2"),
        ('. . "Ende" . "Von_Anfang_bis_Ende"', "1 2 3 1 2"),
        (". !fine=yes . !dacapo=yes", "1 2 1"),
        (". $ . !fine=yes . !dalsegno=a .", "1 2 3 2"),
        ('. . "Scherzo_da_capo"', "1 2"),
        ('. . "cresc._al_fine" .', "1 2 3"),
    ],
)
def test_orders_of_playing(bars: str, played: str) -> None:
    """Repeats, endings, D.C., D.S., Fine and Coda as players read them (common practice)."""
    assert order(written_out(bars)) == played


@pytest.mark.parametrize(
    ("bars", "code"),
    [
        ('. . "D.S._al_Fine"', "no-segno"),
        ('. . "D.C._al_Fine"', "no-fine"),
        ('. . "D.C._al_Coda"', "no-coda"),
        ('. . "Scherzo_da_capo"', "leap-elsewhere"),
    ],
)
def test_a_leap_without_its_mark_is_a_question(bars: str, code: str) -> None:
    """A leap whose sign is missing is told, with its bar."""
    assert [(one.code, one.bar) for one in unfold(written_out(bars)).questions] == [(code, 1)]


def test_names_and_stretches() -> None:
    """A bar played again says so; runs of bars are told together."""
    score = written_out(". |: . . :|3 .")
    passings = unfold(score).passings
    names = [passing_name(score, one) for one in passings]
    assert names[:4] == ["1", "2", "3", "2 (2nd time)"]
    assert names[6] == "3 (3rd time)"
    assert stretches(passings) == ((0, 2), (1, 2), (1, 3))


def test_seconds_with_repeats() -> None:
    """Two of three bars of four seconds are played twice: 20 seconds instead of 12."""
    score = page("part Flute\n|: C5/1 | C5 :| C5 |\n")
    tempo, _ = tempo_map(score)
    assert tempo.seconds(score.bars[-1].start + score.bars[-1].length) == 12
    assert playing_seconds(score, tempo, unfold(score).passings) == pytest.approx(20)


def test_nothing_repeated_changes_nothing() -> None:
    """Without signs every bar is played once, in order."""
    score = page("part Flute\nC5/1 | C5 | C5 |\n")
    assert [(one.bar, one.time) for one in unfold(score).passings] == [(0, 1), (1, 1), (2, 1)]


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["", "|: ", "[1 ", "[1,2 ", "[3 ", "$ ", "O "]),
            st.sampled_from(
                ["", " :|", " :|9", " ]", ' "D.C._al_Fine"', ' "D.S._al_Coda"', ' "Fine"',
                 ' "To_Coda"', ' "D.S."']
            ),
        ),
        min_size=1,
        max_size=12,
    )
)  # fmt: skip
def test_any_page_comes_to_an_end(bars: list[tuple[str, str]]) -> None:
    """However the signs stand, playing comes to an end, and every time is counted."""
    score = written_out(" ".join(f"{left}.{right}" for left, right in bars))
    played = unfold(score).passings
    times: dict[int, int] = defaultdict(int)
    for bar, time in played:
        times[bar] += 1
        assert time == times[bar]
    assert len(played) < 1000


# What each file's own description says ("the third, fifth, and seventh until bar 9 …").
SUITE = [
    ("45a-SimpleRepeat.xml", "1 1 1 1 1 2"),
    ("45b-RepeatWithAlternatives.xml", "1 2 1 3 4"),
    ("45d-Repeats-MultipleEndings.xml",
     "1 2 1 3 4 5 1 6 7 8 9 1 10 1 6 7 8 9 1 10 1 6 7 8 9 1 11 12"),
    ("45e-Repeats-Combination.xml", "1 2 1 3 4 5 5 6 7 6 8 9 8 9 10"),
    ("45g-Repeats-NotEnded.xml", "1 2"),
    ("45h-Repeats-Partial.xml", "0 1 2 0 1 2 X1 3"),
    ("45j-SimpleRepeat-Start.xml", "1 1 2"),
    ("45k-Repeats-Chords-FiguredBass.xml", "1 2 1 3 4"),
]  # fmt: skip


@pytest.mark.corpus
@pytest.mark.parametrize(("name", "played"), SUITE)
def test_the_unofficial_suite(scores: Path, name: str, played: str) -> None:
    """The files on repeats of the unofficial MusicXML test suite (R. Kainhofer, MIT)."""
    assert order(read(scores / "suite" / name)) == played


# music21 unfolds these too; the others of the suite it gives up as badly formed.
UNFOLDED_ELSEWHERE = [
    "suite/45a-SimpleRepeat.xml",
    "suite/45b-RepeatWithAlternatives.xml",
    "suite/45j-SimpleRepeat-Start.xml",
]


@pytest.mark.corpus
@pytest.mark.parametrize("name", UNFOLDED_ELSEWHERE)
def test_an_independent_library_unfolds_alike(scores: Path, name: str) -> None:
    """The order of bars is the one music21 gives."""
    music21 = pytest.importorskip("music21")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        part = music21.converter.parse(scores / name).parts[0].expandRepeats()
    bars = [str(bar.measureNumber) for bar in part.getElementsByClass("Measure")]
    assert order(read(scores / name)).split() == bars


# Read from the printed repeat signs of each movement.
REAL = [
    ("Beethoven_Op.67_1.mxl", [("1", "124"), ("1", "502")]),
    ("Haydn_104_1.mxl", [("1", "124"), ("18", "295")]),
    ("Beethoven_Op.21_1.mxl", [("1", "109"), ("13", "107"), ("110", "300")]),
    ("Beach_Op.32_2.mxl", [("1", "56"), ("37", "53"), ("57", "214")]),
]


@pytest.mark.corpus
@pytest.mark.parametrize(("name", "runs"), REAL)
def test_real_movements(scores: Path, name: str, runs: list[tuple[str, str]]) -> None:
    """Expositions are repeated from where the repeat begins; a first ending is left out then."""
    score = read(scores / "orchestra" / name)
    found = stretches(unfold(score).passings)
    assert [(score.bars[a].number, score.bars[b].number) for a, b in found] == runs


@pytest.mark.corpus
def test_the_first_movement_of_beethovens_fifth(scores: Path) -> None:
    """With its repeat it is longer by its 124 bars: at the printed tempo about 72 seconds."""
    score = read(scores / "orchestra" / "Beethoven_Op.67_1.mxl")
    tempo, _ = tempo_map(score)
    plain = tempo.seconds(score.bars[-1].start + score.bars[-1].length)
    repeated = playing_seconds(score, tempo, unfold(score).passings)
    holds = 4  # fermatas before bar 124, each one bar twice as long
    bar = 2 * 60 / 216
    assert repeated - plain == pytest.approx((124 + holds) * bar, abs=2 * bar)
