"""Open questions by theme."""

import re
from pathlib import Path

from redstave.model.line import OpenQuestion
from redstave.reading import read_bytes
from redstave.render.open_questions import OTHER, OpenPoint, open_themes, theme_of

SCORE = read_bytes(b"title: T\nmeter: 4/4\n\npart Flute\nR*12 |\n", "test.tiny")
CODE = re.compile(
    r'OpenQuestion\(\s*"([a-z-]+)"|self\._ask\("([a-z-]+)"|^[A-Z_]+ = "([a-z]+(?:-[a-z]+)+)"$', re.M
)


def test_equal_questions_are_told_once_with_their_bars() -> None:
    """Three fermatas are one point; themes come in their own order."""
    questions = [
        OpenQuestion("fermata-length", "A fermata is long.", 2),
        OpenQuestion("no-first-level", "No level.", part="P1"),
        OpenQuestion("fermata-length", "A fermata is long.", 7),
        OpenQuestion("fermata-length", "A fermata is long.", 4),
    ]
    themes = open_themes(questions, SCORE)
    assert [theme.title for theme in themes] == ["How loud", "How fast"]
    assert themes[0].points == (OpenPoint("No level.", ""),)
    assert themes[1].points == (OpenPoint("A fermata is long.", "bars 3, 5 and 8"),)


def test_a_short_list_counts_what_it_leaves_out() -> None:
    """With at most two points on a theme the others are counted."""
    questions = [OpenQuestion("tempo-free", f"“{word}”.", 0) for word in "abcde"]
    (theme,) = open_themes(questions, SCORE, most=2)
    assert (len(theme.points), theme.more) == (2, 3)


def test_every_question_of_the_players_has_a_theme(root: Path) -> None:
    """No code in the players' room falls to “Besides”; an unknown one does."""
    files = (root / "src" / "redstave" / "players").rglob("*.py")
    found = {
        code for file in files for codes in CODE.findall(file.read_text("utf-8")) for code in codes
    }
    found = {code for code in found if code}
    assert {"fermata-length", "no-segno", "single-line-unlabelled"} <= found
    assert [code for code in sorted(found) if theme_of(code) == OTHER] == []
    assert theme_of("never-heard-of") == OTHER
