"""The tune in an entry is where the original's tune is; the teacher's word goes before it."""

from dataclasses import replace

import pytest

from redstave.analysis import Analysis
from redstave.analysis.teacher import settled
from redstave.model.role import Role, RoleOverride
from redstave.original.roles import roles_from_original
from redstave.reading import read_bytes

HEAD = "title: Two hands\nmeter: 3/4\nkey: 0\ntempo: 90\npitch: sounding\n\n"
TUNE = (
    "E5/4( G5 F5 | A5/2 G5/4) | F5/4( E5 D5 | E5/2.) | "
    "D5/4( F5 E5 | G5/2 F5/4) | E5/4( D5 B4 | C5/2.) |."
)
CHORDS = "[E4 G4]/2. | [F4 A4] | [F4 A4] | [E4 G4] | [F4 A4] | [D4 G4] | [D4 F4] | [C4 E4] |."
BASS = "C3/2. | F3 | D3 | C3 | D3 | G2 | G2 | C3 |."


def piano() -> str:
    """Return a piano piece of eight bars with the tune above chords and a bass."""
    bars = zip(
        TUNE.removesuffix(" |.").split(" | "),
        CHORDS.removesuffix(" |.").split(" | "),
        BASS.removesuffix(" |.").split(" | "),
        strict=True,
    )
    first = True
    written = []
    for tune, chord, bass in bars:
        chord = chord if chord.endswith("/2.") else f"{chord}/2."
        bass = bass if bass.endswith("/2.") else f"{bass}/2."
        written.append(f"{'mf ' if first else ''}{tune} // {chord} & {bass}")
        first = False
    return (
        HEAD
        + "part Piano | staves=2 | clef=treble | sound=keyboard.piano\n"
        + (" | ".join(written) + " |.\n")
    )


ENTRY = HEAD + "\n\n".join(
    [
        "part Oboe | clef=treble\nR*4 | mf D5/4( F5 E5 | G5/2 F5/4) | E5/4( D5 B4 | C5/2.) |.",
        "part Violin I | clef=treble\nmf " + CHORDS,
        "part Viola | clef=alto\nmf E4/4( G4 F4 | A4/2 G4/4) | F4/4( E4 D4 | E4/2.) | R*4 |.",
        "part Violoncello | clef=bass\nmf " + BASS,
    ]
)


@pytest.fixture(scope="module")
def beside() -> Analysis:
    """An entry whose violas, below the violins' chords, hand the piano's tune to the oboe."""
    entry = read_bytes(ENTRY.encode(), "entry.tiny")
    return Analysis(entry, original=read_bytes(piano().encode(), "piano.tiny"))


def names(analysis: Analysis, roles: tuple[RoleOverride, ...]) -> list[tuple[str, int, int]]:
    """Return the name of the line and the bars of each role."""
    called = {line.id: line.name for line in analysis.playing.lines}
    return [(called[one.line], one.first, one.last) for one in roles]


def test_the_tune_is_with_those_who_carry_it(beside: Analysis) -> None:
    """The violas have the tune for four bars and the oboe for the next four; nobody else has."""
    found = roles_from_original(beside)
    assert sorted(names(beside, found)) == [("Oboe", 4, 7), ("Viola", 0, 3)]
    assert {one.role for one in found} == {Role.TUNE}


def test_the_analysis_follows(beside: Analysis) -> None:
    """With the original's word the tune is followed into the violas, under the violins' chords."""
    told = replace(beside, from_original=roles_from_original(beside), earlier=beside)
    viola = next(at for at, line in enumerate(told.playing.lines) if line.name == "Viola")
    early = told.slices.bar < 4
    assert set(told.tune.line[early].tolist()) == {viola}


def test_without_an_original_nothing_is_said() -> None:
    """An entry by itself has no roles from anywhere."""
    assert roles_from_original(Analysis(read_bytes(ENTRY.encode(), "entry.tiny"))) == ()


def test_the_teacher_goes_before_the_original() -> None:
    """In bars where the teacher names a tune the original's word is dropped, elsewhere it holds."""
    original = RoleOverride("P1", 0, 7, Role.TUNE)
    teacher = RoleOverride("P2", 2, 3, Role.TUNE)
    bass = RoleOverride("P4", 0, 7, Role.BASS)
    assert settled((original,), (teacher, bass)) == (
        RoleOverride("P1", 0, 1, Role.TUNE),
        RoleOverride("P1", 4, 7, Role.TUNE),
        teacher,
        bass,
    )
