"""Who plays on real shared staves: two scores against tables made by reading the files by eye.

The XML of M. Karłowicz, op. 10, II, and of S. Moniuszko's concert polonaise was printed bar by bar
(voices, rests, words with their placement, levels) and read as a conductor reads the page. Each
line of the first table says for one place in one part which written notes begin there and whose
they are; "all" is a whole string section, "a" and "b" its upper and lower half, "-" an instrument
that a stave's first instrument shares it with.
"""

from collections import defaultdict
from functools import cache
from pathlib import Path

import pytest

from redstave.model.line import Forces, Playing, Tone, level_name
from redstave.model.score import Note, Score
from redstave.players import level_at, play
from redstave.players.techniques import technique_at
from redstave.reading import read

pytestmark = pytest.mark.corpus

K, M = "Karlowicz_Op.10_2", "Moniuszko_Polonez"

# File, part, bar as printed, quarters from its start, written notes with their players.
WHO = [
    # Flauti I. e II.: chords, "a 2", voices with rests, "I.", "II.", "Solo."
    (K, "P1", "17", 0, "Db5:2 F5:1"),
    (K, "P1", "31", 0, "Db6:1 Db6:2"),
    (K, "P1", "34", 2, "E5:1 E5:2"),
    (K, "P1", "51", 0, "Bb5:1"),
    (K, "P1", "52", 1, "G5:1 G4:2"),
    (K, "P1", "56", 0, "Db5:2 Db6:1"),
    (K, "P1", "62", 1, "G4:2"),
    (K, "P1", "70", 2, "Eb4:1"),
    (K, "P1", "74", 2, "B4:1"),
    (K, "P1", "85", 0, "D5:1 D5:2"),
    (K, "P1", "91", 2, "F5:1"),
    (K, "P1", "92", 2, "C#5:1 C#5:2"),
    (K, "P1", "93", 0, "C#6:1 C#6:2"),
    (K, "P1", "99", 0, "G#5:1"),
    (K, "P1", "102", 0, "C#6:1"),
    (K, "P1", "103", 0, "F6:1 F6:2"),
    (K, "P1", "119", 2, "Db5:2 F5:1"),
    (K, "P1", "121", 1.5, "E6:1 E6:2"),
    (K, "P1", "147", 0, "E4:2"),
    (K, "P1", "150", 0, "Db4:2"),
    (K, "P1", "192", 2, "Bb5:1 Bb5:2"),
    (K, "P1", "200", 2, "F6:1 F6:2"),
    (K, "P1", "227", 0, "Ab4:1 Ab4:2"),
    (K, "P1", "269", 0, "Db6:1"),
    (K, "P1", "271", 0, "Ab6:1 Db5:2"),
    (K, "P1", "272", 0, "F5:2"),
    (K, "P1", "277", 1, "Ab4:1"),
    (K, "P1", "281", 0, "Ab6:1"),
    # Flauto III. (poi Piccolo): changes of instrument in words
    (K, "P2", "127", 0, "D6:all"),
    (K, "P2", "131", 0, "F5:piccolo"),
    (K, "P2", "164", 0, "F4:all"),
    (K, "P2", "209", 0, "C5:piccolo"),
    (K, "P2", "241", 0, "Db5:all"),
    # 2 Oboi
    (K, "P3", "23", 2, "Eb5:1"),
    (K, "P3", "27", 0, "Db4:2"),
    (K, "P3", "31", 0, "F5:1 Ab4:2"),
    (K, "P3", "39", 1, "Db5:1"),
    (K, "P3", "52", 1, "G5:2"),
    (K, "P3", "55", 2, "C5:1"),
    (K, "P3", "88", 2, "Bb4:1 Bb4:2"),
    (K, "P3", "104", 1, "C5:2 C6:1"),
    # 2 Clarinetti in B
    (K, "P5", "21", 2, "Eb5:1"),
    (K, "P5", "49", 0, "G4:2"),
    (K, "P5", "63", 0, "D4:2"),
    (K, "P5", "70", 2, "F4:1"),
    (K, "P5", "76", 0, "Db4:2"),
    (K, "P5", "98", 0.5, "G5:1 G5:2"),
    # 2 Fagotti
    (K, "P7", "1", 0, "Ab2:1"),
    (K, "P7", "9", 0, "A2:1"),
    (K, "P7", "15", 1, "Db3:1 Db3:2"),
    (K, "P7", "19", 0, "Eb3:1 Eb3:2"),
    (K, "P7", "22", 0, "Db3:2"),
    (K, "P7", "26", 2, "E3:1"),
    (K, "P7", "40", 1, "Eb3:1"),
    # Corni I. II., III. IV.: numbers of the stave
    (K, "P9", "103", 0, "A4:2 Gb5:1"),
    (K, "P9", "117", 1, "F4:1"),
    (K, "P9", "126", 1, "B4:2"),
    (K, "P10", "103", 0, "Eb5:3"),
    (K, "P10", "107", 0, "F4:4"),
    (K, "P10", "108", 2, "Eb5:3"),
    (K, "P10", "111", 0, "C4:4 C5:3"),
    (K, "P10", "140", 0, "Ab4:3 Ab3:4"),
    # Trombe
    (K, "P11", "107", 1.5, "B4:1"),
    (K, "P11", "121", 1.5, "E4:2 G4:1"),
    (K, "P11", "127", 0, "Eb4:1"),
    (K, "P12", "162", 0, "Ab3:3 Ab3:4"),
    # Tromboni tenori; trombone basso e tuba
    (K, "P13", "135", 0, "F2:2"),
    (K, "P13", "137", 2, "Ab3:1 Ab3:2"),
    (K, "P14", "135", 0, "F1:tuba F2:-"),
    (K, "P14", "137", 2, "Ab2:-"),
    (K, "P14", "139", 1, "F2:tuba"),
    # Strings: "div.", "unis..", voices, a division that lasts over single lines
    (K, "P22", "14", 0, "A3:b F4:a"),
    (K, "P22", "31", 0, "F4:b Db5:a"),
    (K, "P22", "48", 1, "F5:all"),
    (K, "P22", "95", 1.5, "E#5:a D5:b"),
    (K, "P22", "97", 2, "G#3:all"),
    (K, "P26", "47", 0, "A3:a F3:b"),
    (K, "P26", "49", 0, "Bb3:all"),
    (K, "P26", "119", 1, "Db4:all"),
    (K, "P27", "1", 0, "Db3:b F3:a"),
    (K, "P27", "6", 0, "F3:a Db3:b"),
    (K, "P27", "47", 0, "A3:all"),
    # Moniuszko: "1mo", "2do", "Solo", names without numbers
    (M, "P4", "43", 0.5, "Bb4:2 F5:1"),
    (M, "P4", "37", 0.5, "Bb4:1"),
    (M, "P4", "49", 0, "Ab4:2"),
    (M, "P5", "30", 0.5, "A3:1"),
    (M, "P5", "36", 0, "A3:1 D3:2"),
    (M, "P9", "7", 0, "F#4:1"),
    (M, "P9", "7", 0.5, "C#4:2"),
    (M, "P9", "67", 1.5, "E3:2"),
    (M, "P17", "25", 0, "C#5:a A4:b"),
]  # fmt: skip

# File, part, bar, quarters from its start, line (after the part's id), level by name.
LEVELS = [
    (K, "P1", "51", 0, "1", "mp"),  # above: the first flute's, the second rests
    (K, "P1", "52", 1, "2", "mp"),  # below, at the second flute's entry
    (K, "P1", "61", 1.25, "1", "p"),
    (K, "P1", "70", 2, "1", "pp"),
    (K, "P1", "170", 0, "1", "p"),  # above
    (K, "P1", "170", 0, "2", "pp"),  # still the common pp of bar 162
    (K, "P1", "171", 0, "2", "p"),  # below, as the second flute enters
    (K, "P1", "259", 0, "1", "mp"),  # mp above, p below
    (K, "P1", "259", 0, "2", "p"),
    (K, "P1", "260", 0, "2", "mp"),
    (K, "P3", "31", 0, "1", "mp"),
    (K, "P3", "35", 0, "1", "p"),
    (K, "P5", "27", 0, "1", "mp"),
    (K, "P5", "26", 2, "2", "mp"),
    (K, "P7", "31", 0, "1", "mp"),
    (K, "P7", "49", 0, "1", "p"),  # p above, mp below
    (K, "P7", "49", 0, "2", "mp"),
    (K, "P7", "71", 0, "1", "pp"),
    (K, "P7", "71", 0, "2", "pp"),
    (K, "P10", "127", 0, "3", "f"),
    (M, "P17", "25", 0, "a", "p"),
]  # fmt: skip

# File, part, bar, quarters from its start, line, technique in words: "pizz", "mute" or "".
TECHNIQUES = [
    (K, "P9", "103", 0, "1", ""),
    (K, "P9", "139", 2, "2", "mute"),  # con sord. over the rest before
    (K, "P9", "146", 0, "1", "mute"),
    (K, "P9", "151", 0.5, "1", ""),  # senza sord. over the rest before
    (K, "P10", "139", 0, "3", "mute"),
    (K, "P10", "151", 0.5, "4", ""),
    (K, "P11", "140", 0, "1", "mute"),
    (K, "P11", "162", 0, "2", ""),
    (M, "P17", "1", 1, "all", "pizz"),
    (M, "P17", "2", 0, "all", ""),
    (M, "P17", "26", 1, "all", "pizz"),
    (M, "P17", "27", 0, "all", ""),
    (M, "P18", "3", 1, "all", "pizz"),
    (M, "P18", "4", 0, "all", ""),
]  # fmt: skip

# File, part, bar: an open question of this code concerns the bar.
OPEN = [
    (K, "P1", "226", "single-line-unlabelled"),  # after two voices, one bar before "a 2"
    (K, "P12", "121", "single-line-unlabelled"),  # no word before the first entry
    (K, "P14", "162", "single-line-unlabelled"),
    (K, "P26", "31", "double-notes-unlabelled"),
    (K, "P26", "126", "double-notes-unlabelled"),  # after "unis.."
    (M, "P17", "24", "double-notes-unlabelled"),
]  # fmt: skip


@cache
def _played(folder: Path, name: str) -> tuple[Score, Playing]:
    score = read(folder / "shared-staves" / f"{name}.musicxml")
    return score, play(score, Forces())


@cache
def _by_place(folder: Path, name: str) -> dict[tuple[str, int], list[Tone]]:
    _, playing = _played(folder, name)
    found: dict[tuple[str, int], list[Tone]] = defaultdict(list)
    for tone in playing.tones:
        if tone.start != tone.stop:
            found[playing.lines[tone.line].part, tone.start].append(tone)
    return found


def _tick(score: Score, bar: str, quarter: float) -> int:
    starts = {one.number: one.start for one in score.bars}
    return round(starts[bar] + quarter * score.ticks_per_quarter)


def _suffix(line: str, part: str) -> str:
    return line.removeprefix(part).removeprefix(".") or "all"


def _name(note: Note) -> str:
    accidental = "#" * int(note.alter) if note.alter > 0 else "b" * int(-note.alter)
    return f"{note.step}{accidental}{note.octave}"


@pytest.mark.parametrize(("name", "part", "bar", "quarter", "who"), WHO)
def test_who_begins_what(
    scores: Path, name: str, part: str, bar: str, quarter: float, who: str
) -> None:
    """At this place these players begin these notes, and nobody else begins any."""
    score, playing = _played(scores, name)
    tones = _by_place(scores, name)[part, _tick(score, bar, quarter)]
    shared = any(line.id == f"{part}.tuba" for line in playing.lines)
    found = {
        f"{_name(score.notes_by_id[tone.notes[0]])}:{_suffix(playing.lines[tone.line].id, part)}"
        for tone in tones
    }
    if shared:
        found = {one.replace(":all", ":-") for one in found}
    assert found == set(who.split())


@pytest.mark.parametrize(("name", "part", "bar", "quarter", "line", "level"), LEVELS)
def test_how_loud_each_player_is_told_to_be(
    scores: Path, name: str, part: str, bar: str, quarter: float, line: str, level: str
) -> None:
    """At this place this level is in force for this player."""
    score, playing = _played(scores, name)
    found = level_at(playing.levels[f"{part}.{line}"], _tick(score, bar, quarter))
    assert found.known
    assert level_name(found.level) == level
    assert found.level == round(found.level)


@pytest.mark.parametrize(("name", "part", "bar", "quarter", "line", "technique"), TECHNIQUES)
def test_how_each_player_is_told_to_play(
    scores: Path, name: str, part: str, bar: str, quarter: float, line: str, technique: str
) -> None:
    """At this place this technique is in force for this player by words."""
    score, playing = _played(scores, name)
    id_ = part if line == "all" else f"{part}.{line}"
    point = technique_at(playing.techniques[id_], _tick(score, bar, quarter))
    assert (point.bow or ("mute" if point.mute else "")) == technique


@pytest.mark.parametrize(("name", "part", "bar", "code"), OPEN)
def test_what_the_page_leaves_open(scores: Path, name: str, part: str, bar: str, code: str) -> None:
    """The bar is among those that a question of this code names."""
    _, playing = _played(scores, name)
    texts = [q.text for q in playing.open_questions if q.code == code and q.part == part]
    assert any(bar in text.split(":")[0].replace(",", " ").split() for text in texts)


def test_the_tables_are_large_enough() -> None:
    """At least sixty facts read by hand."""
    assert len(WHO) + len(LEVELS) + len(TECHNIQUES) + len(OPEN) >= 60
