"""The style sheet: contrast in both schemes, and a class for everything that is drawn."""

import re
from importlib.resources import files

import pytest

from redstave.render.letter import letter
from redstave.render.sources import bibliography, cited
from tests.render.quay import quay_page
from tests.render.views import review

SHEET = files("redstave.render").joinpath("templates", "letter.css").read_text(encoding="utf-8")
LEAST_CONTRAST = 4.5  # WCAG 2.2, success criterion 1.4.3, level AA


def schemes() -> dict[str, dict[str, str]]:
    """Return the colours of every scheme (light, dark, print) by name."""
    blocks = re.findall(r":root \{([^}]*)\}", SHEET)
    colours = [dict(re.findall(r"--(\w+): (#[0-9a-f]{3,6})\b", block)) for block in blocks]
    return dict(zip(("light", "dark", "print"), colours, strict=True))


def luminance(colour: str) -> float:
    """Return the relative luminance of a colour, as WCAG 2.2 defines it."""
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(digit * 2 for digit in digits)
    channels = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, as WCAG 2.2 defines it."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_formula_is_the_standard_s() -> None:
    """Black on white is 21:1, and mid grey #767676 is the known lightest grey that passes AA."""
    assert contrast("#000", "#fff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("scheme", ["light", "dark", "print"])
@pytest.mark.parametrize("ink", ["ink", "soft", "red"])
def test_words_stand_out(scheme: str, ink: str) -> None:
    """Ink, soft ink and red are readable on paper in every scheme."""
    colours = schemes()[scheme]
    assert contrast(colours[ink], colours["paper"]) >= LEAST_CONTRAST


def test_there_is_one_red() -> None:
    """All other colours are paper and ink: close to grey."""
    for colours in schemes().values():
        for name, colour in colours.items():
            if not name.startswith("red"):
                digits = colour[1:] if len(colour) == 7 else "".join(c * 2 for c in colour[1:])
                channels = [int(digits[at : at + 2], 16) for at in (0, 2, 4)]
                assert max(channels) - min(channels) <= 32, (name, colour)


def test_every_class_has_a_rule() -> None:
    """No class is drawn that the style sheet has forgotten, and the engraver's rules are there."""
    html = letter(review(), quay_page())
    used = {word for words in re.findall(r'class="([^"]+)"', html) for word in words.split()}
    structural = {"staff", "note", "rest", "mRest", "notehead", "measure"}  # for our geometry
    structural |= {"excerpt", "wide", "lead", "begin", "works", "cell", "dot", "contents"}
    structural |= {"impossible", "risk", "question"}
    missing = {word for word in used - structural if not re.search(rf"\.{word}\b", SHEET)}
    assert not missing
    for name in ("tempo", "reh", "dynam", "mNum"):
        assert f".score .{name}" in SHEET


def test_the_letter_s_rules_leave_the_music_alone() -> None:
    """No rule made for the page's own words applies to a class inside the engraving."""
    html = letter(review(), quay_page())
    pictures = re.findall(r'<svg class="score".*?</svg>', html, re.DOTALL)
    inside = {
        word
        for picture in pictures
        for words in re.findall(r'<(?!svg)\w+[^>]* class="([^"]+)"', picture)
        for word in words.split()
    }
    assert {"note", "mNum"} <= inside
    rules = re.sub(r"/\*.*?\*/", "", SHEET, flags=re.DOTALL)
    for selectors in re.findall(r"([^{}]+)\{", rules):
        for selector in selectors.split(","):
            if ".score" not in selector:
                assert not inside & set(re.findall(r"\.([\w-]+)", selector)), selector


def test_sources_are_known() -> None:
    """Every source of every check is in a bibliography, with what of it was really read."""
    from redstave.checks import catalogue

    for check in catalogue().values():
        for source in cited(check.sources):
            assert source.title
            assert source.read
    assert "common-practice" in bibliography()
