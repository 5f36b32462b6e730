"""A teacher's settings: what they change, and how a mistake in them is told."""

from pathlib import Path

import pytest

from redstave import app
from redstave.app.review import shortened
from redstave.app.settings import read_settings
from redstave.base.errors import InputError


def written(folder: Path, text: str) -> Path:
    """Write a settings file."""
    path = folder / "season.toml"
    path.write_text(text, "utf-8")
    return path


def test_thresholds_and_switches_are_read(tmp_path: Path) -> None:
    """A moved threshold, a check turned off, and the longest letter come out as written."""
    settings = read_settings(
        written(
            tmp_path,
            "[check.tune-covered]\nleast_chance = 0.8\n"
            "[check.slur-over-equal-notes]\non = false\n[letter]\nmost_findings = 3\n",
        )
    )
    assert settings.changed == {"tune-covered": {"least_chance": 0.8}}
    assert settings.most_findings == 3
    slugs = {check.slug for check in app.choose(settings=settings)}
    assert "tune-covered" in slugs
    assert "slur-over-equal-notes" not in slugs


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[check.no-such-check]\non = false", "no-such-check"),
        ("[check.tune-covered]\nloudness = 3", "loudness"),
        ('[check.tune-covered]\nleast_chance = "much"', "must be a number"),
        ("[check.tune-covered]\non = 1", "true or false"),
        ("[letter]\nmost_findings = 0", "whole number"),
        ("[colour]\nred = true", "colour"),
        ("check = 3", "must be a table"),
        ("[check", "not a settings file"),
    ],
)
def test_a_mistake_is_told_in_one_sentence(tmp_path: Path, text: str, told: str) -> None:
    """Nothing in a settings file is passed over in silence."""
    with pytest.raises(InputError, match=told) as raised:
        read_settings(written(tmp_path, text))
    assert "\n" not in str(raised.value)


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    """A settings file that is not there is named."""
    with pytest.raises(InputError, match="season"):
        read_settings(tmp_path / "season.toml")


def test_a_short_letter_keeps_the_gravest_and_counts_the_rest(root: Path) -> None:
    """With a limit, impossible faults stay, credits stay, and what is left out is counted."""
    entry = root / "src/redstave/app/demo/orchestra.musicxml"
    done = app.review(app.open_entry(entry), "entry", app.choose())
    short = shortened(done, 3)
    assert len(short.faults) == 3
    assert short.left_out == len(done.faults) - 3
    assert short.credits == done.credits
    graver = [finding for finding in done.faults if finding.claim == "impossible"]
    assert set(graver[:3]) <= set(short.faults)
    assert shortened(done, None) is done
