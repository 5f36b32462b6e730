"""Roles: who leads, fills, figures, holds; page order is no sign; the teacher decides."""

from dataclasses import replace

import numpy as np
import pytest

from redstave.analysis import Analysis
from redstave.analysis.roles import ORDER
from redstave.base.errors import InputError
from redstave.model.role import Role, RoleOverride
from redstave.model.score import Score
from redstave.reading import read_bytes

TEXTURE = """\
meter: 4/4
part Flute
mf G5/4( A5 B5 G5) | C6/4.( B5/8 A5/2) | G5/4( F#5 G5 A5) | B5/2( A5) |.
part Oboe
mf r/2 D5/4( B4) | r/4 A4/8( G4 E4/4 C5) | B4/8( C5 D5/4) r B4/8( D5) | G4/4. A4/8 F#4/2 |.
part Horn
mf D4/1~ | D4/1~ | D4/1~ | D4/1 |.
part Violin II
mf {B} | {B} | {B} | {B} |.
part Viola | clef=alto
mf B3/2 G3 | C4 A3 | B3 A3 | G3 D4 |.
part Cello | clef=bass
mf G2/2 E2 | A2 D2 | G2 D2 | E2 D2 |.
""".replace("{B}", "G4/8 B4 D5 B4 G4 B4 D5 B4")

EXPECTED = {
    "Flute": Role.TUNE,
    "Oboe": Role.COUNTER,
    "Horn": Role.PEDAL,
    "Violin II": Role.FIGURE,
    "Viola": Role.INNER,
    "Cello": Role.BASS,
}


def read(text: str = TEXTURE) -> Score:
    """Read a score in the short notation."""
    return read_bytes(text.encode(), "roles.tiny")


def mostly(analysis: Analysis) -> dict[str, Role]:
    """Return the role that each line has for most of the time."""
    found = {}
    length = analysis.slices.stop - analysis.slices.start
    for at, line in enumerate(analysis.playing.lines):
        time = [length[analysis.roles.role[:, at] == number].sum() for number in range(len(ORDER))]
        found[line.name] = ORDER[int(np.argmax(time))]
    return found


def test_a_texture_of_six_lines_has_six_roles() -> None:
    """Tune, counter-melody, held horn, broken chords, filling and bass are told apart."""
    assert mostly(Analysis(read())) == EXPECTED


def test_the_order_of_the_page_changes_no_role() -> None:
    """Turned upside down, every line has the same role and confidence in every slice."""
    score = read()
    turned = replace(score, parts=score.parts[::-1])
    first, second = Analysis(score).roles, Analysis(turned).roles
    np.testing.assert_array_equal(first.role, second.role[:, ::-1])
    np.testing.assert_allclose(first.confidence, second.confidence[:, ::-1], atol=1e-9)


def test_lines_of_one_strand_have_one_role() -> None:
    """A double bass an octave under the cello is bass with it, not by itself."""
    bass = "part Double Bass | clef=bass | transpose=-12\nmf G3/2 E3 | A3 D3 | G3 D3 | E3 D3 |.\n"
    analysis = Analysis(read(TEXTURE + bass))
    role, names = analysis.roles.role, [line.name for line in analysis.playing.lines]
    cello, double = (role[:, names.index(name)] for name in ("Cello", "Double Bass"))
    np.testing.assert_array_equal(cello, double)


def test_silence_has_no_role_and_confidence_is_a_share() -> None:
    """Where a line rests its role is -1; elsewhere the confidence lies between 0 and 1."""
    analysis = Analysis(read())
    sounding = analysis.line_strand >= 0
    assert (analysis.roles.role[~sounding] == -1).all()
    assert (analysis.roles.confidence[sounding] > 0.0).all()
    assert (analysis.roles.confidence <= 1.0).all()


def test_the_teacher_gives_the_tune_to_whom_he_wants() -> None:
    """Called the tune in bars 2 and 3 the viola has it there, for sure, and no other line has."""
    word = (RoleOverride("P5", 1, 2, Role.TUNE),)
    analysis = Analysis(read(), overrides=word)
    inside = (analysis.slices.bar == 1) | (analysis.slices.bar == 2)
    tune = ORDER.index(Role.TUNE)
    assert (analysis.tune.line[inside] == 4).all()
    assert (analysis.roles.role[inside, 4] == tune).all()
    assert (analysis.roles.confidence[inside, 4] == 1.0).all()
    assert (analysis.roles.role[inside][:, :4] != tune).all()
    assert mostly(analysis)["Flute"] is Role.TUNE


def test_the_teacher_takes_the_tune_away() -> None:
    """A flute that is said to fill has no tune; another line gets it."""
    word = (RoleOverride("P1", 0, 3, Role.INNER),)
    analysis = Analysis(read(), overrides=word)
    assert mostly(analysis)["Flute"] is Role.INNER
    assert Role.TUNE in mostly(analysis).values()
    assert (analysis.tune.line != 0).all()


def test_a_word_on_a_line_that_is_not_there_is_refused() -> None:
    """An unknown line gives one sentence that names the lines there are."""
    analysis = Analysis(read(), overrides=(RoleOverride("P9", 0, 1, Role.TUNE),))
    with pytest.raises(InputError, match="P9"):
        _ = analysis.roles
