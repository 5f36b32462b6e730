"""The collector of measured tables."""

from pathlib import Path

import pytest

from tools.make_evidence import main, scripts

SCRIPT = '''"""Two and two.

A sum that needs no source.
"""


def table() -> str:
    """Measure."""
    return "| sum |\\n|---|\\n| " + str(2 + 2) + " |"
'''


def folder(tmp_path: Path, **texts: str) -> Path:
    """Write scripts into a new folder."""
    place = tmp_path / "measures"
    place.mkdir()
    for name, text in texts.items():
        (place / f"{name}.py").write_text(text, encoding="utf-8")
    return place


def test_page_holds_heading_text_and_table(tmp_path: Path) -> None:
    """A script's docstring becomes heading and text, its table is run, in order of name."""
    place = folder(tmp_path, b_sum=SCRIPT, a_sum=SCRIPT.replace("Two and two", "First"))
    out = tmp_path / "page.md"
    main(["--folder", str(place), "--out", str(out)])
    text = out.read_text(encoding="utf-8")
    assert "## Two and two\n\nA sum that needs no source.\n\n| sum |\n|---|\n| 4 |\n" in text
    assert text.index("## First") < text.index("## Two and two")


def test_failing_measure_stops_the_page(tmp_path: Path) -> None:
    """A script that fails is an error, and no page without its table is written."""
    place = folder(tmp_path, broken=SCRIPT.replace("2 + 2", "2 / 0"))
    out = tmp_path / "page.md"
    with pytest.raises(ZeroDivisionError):
        main(["--folder", str(place), "--out", str(out)])
    assert not out.exists()


def test_unknown_name_is_refused(tmp_path: Path) -> None:
    """Asking for a script that does not exist names it instead of measuring nothing."""
    with pytest.raises(ValueError, match="no measuring script called nothing"):
        scripts(folder(tmp_path, a_sum=SCRIPT), ["nothing"])


def test_empty_folder_is_refused(tmp_path: Path) -> None:
    """Nothing to measure is an error, not an empty page."""
    with pytest.raises(ValueError, match="no measuring script in"):
        scripts(folder(tmp_path))
