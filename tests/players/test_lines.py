"""Lines: instruments, families, players and sections of whole pages."""

from pathlib import Path

import pytest

from redstave.instruments import resolve_name
from redstave.model.line import Forces
from redstave.players import play
from redstave.players.company import settle_by_company
from redstave.reading import read
from tests.players.pages import page, told


def test_a_small_orchestra() -> None:
    """Each wind player has a line, strings have the forces' strength."""
    playing = told(
        "part 2 Oboi\nC5/1 |\npart Corni in F III. IV. | transpose=-7\nC5/1 |\n"
        "part Timpani\nC3/1 |\npart Arpa | staves=2\nC5/1 // C3/1 |\npart Violini I.\nC5/1 |\n"
    )
    found = [
        (line.instrument, line.family, line.numbers, line.players, line.section)
        for line in playing.lines
    ]
    assert found == [
        ("oboe", "woodwind", (1,), 1, False),
        ("oboe", "woodwind", (2,), 1, False),
        ("horn", "brass", (3,), 1, False),
        ("horn", "brass", (4,), 1, False),
        ("timpani", "percussion", (), 1, False),
        ("harp", "harp", (), 1, False),
        ("violin", "strings", (1,), 14, True),
    ]


def test_a_solo_string_part_is_one_player() -> None:
    """“Solo Violin” stands beside the section and is none."""
    playing = told("part Solo Violin\nC5/1 |\npart Violin 1\nC5/1 |\npart Violin 2\nC5/1 |\n")
    assert [(line.players, line.section) for line in playing.lines] == [
        (1, False), (14, True), (12, True),
    ]  # fmt: skip


def test_other_forces_change_the_sections_only() -> None:
    """A chamber orchestra has fewer strings and the same winds."""
    score = page("part Flute\nC5/1 |\npart Violin 1\nC5/1 |\npart Violoncello\nC3/1 |\n")
    small = play(score, Forces("8.6.4.3.2", 8, 6, 4, 3, 2))
    assert [line.players for line in small.lines] == [1, 8, 3]


def test_an_unknown_part_is_a_line_and_a_question() -> None:
    """“in F.” has no instrument, family unknown, and is asked about."""
    playing = told("part in F.\nC5/1 |\n")
    assert (playing.lines[0].instrument, playing.lines[0].family) == ("", "unknown")
    assert any("which instrument" in question.text for question in playing.open_questions)


@pytest.mark.parametrize(
    ("company", "word", "instrument"),
    [
        (["Soprano", "Violino I", "Contrabasso"], "Bassi", "voice"),
        (["Violino I", "Violoncello"], "Bassi", "double-bass"),
        (["Soprano", "Tenore"], "Basso", "voice"),
        (["Violons I", "Violoncelles"], "Altos", "viola"),
        (["Soprano", "Viola", "Violin 1"], "Alto", "voice"),
        (["Cello"], "V. 1.", "violin"),
    ],
)
def test_ambiguous_names_are_settled_by_company(
    company: list[str], word: str, instrument: str
) -> None:
    """“Basso” and “Alto” are read by what else is on the page, in any order of the parts."""
    namings = [resolve_name(name) for name in (word, *company)]
    assert settle_by_company(namings)[0].instrument == instrument
    assert settle_by_company(namings[::-1])[-1].instrument == instrument


def test_three_violin_staves_share_all_violins() -> None:
    """With violins 1 to 3 the 26 violins are shared by three."""
    names = ["Violin 1", "Violin 2", "Violin 3"]
    playing = told("\n".join(f"part {name}\nC5/1 |" for name in names) + "\n")
    assert [tone.players for tone in playing.tones] == [pytest.approx(26 / 3)] * 3


def test_two_staves_of_one_double_name_are_one_instrument_each() -> None:
    """“Violoncello e Basso” twice: the stave that sounds an octave lower is the bass's."""
    playing = told(
        "part Violoncello e Basso.\nC3/1 |\npart Violoncello e Basso. | transpose=-12\nC3/1 |\n"
    )
    assert [line.instrument for line in playing.lines] == ["cello", "double-bass"]


@pytest.mark.corpus
def test_the_orchestra_of_a_shared_stave_score(scores: Path) -> None:
    """Karłowicz op. 10: 3 flutes, 2 oboes, cor anglais, 3 clarinets, … as its first page lists."""
    playing = play(read(scores / "shared-staves" / "Karlowicz_Op.10_2.musicxml"), Forces())
    heads: dict[str, int] = {}
    for line in playing.lines:
        heads[line.instrument] = heads.get(line.instrument, 0) + line.players
    expected = {
        "flute": 3, "oboe": 2, "cor-anglais": 1, "clarinet": 2, "bass-clarinet": 1, "bassoon": 2,
        "contrabassoon": 1, "horn": 4, "trumpet": 4, "trombone": 2, "timpani": 1,
    }  # fmt: skip
    assert {name: heads[name] for name in expected} == expected


@pytest.mark.corpus
@pytest.mark.parametrize("folder", ["orchestra", "pairs"])
def test_every_line_of_the_scores_has_an_instrument(scores: Path, folder: str) -> None:
    """No part of these scores stays unknown, and every tone belongs to a line."""
    for file in sorted((scores / folder).iterdir())[:8]:
        playing = play(read(file), Forces())
        assert all(line.instrument for line in playing.lines), file.name
        assert {tone.line for tone in playing.tones} <= set(range(len(playing.lines)))
