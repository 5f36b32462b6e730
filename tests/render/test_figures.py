"""Evidence as one reads it: nothing said twice, nothing in the units of a computation."""

import pytest

from redstave.model.finding import Evidence
from redstave.render.figures import figures, in_a_line


@pytest.mark.parametrize(
    ("item", "told"),
    [
        (Evidence("notes below the compass", 1, "notes"), "notes below the compass: 1"),
        (Evidence("longest slur", 10.4, "s", 3.0), "longest slur: 10.4 s (limit 3 s)"),
        (Evidence("widest gap", 1, "semitones"), "widest gap: 1 semitone"),
        (Evidence("bars as full as that", 0.12, "share of bars", 0.34), "12 % (limit 34 %)"),
        (Evidence("all tones there", 1.0, "share of the time"), "100 % of the time"),
        (Evidence("level at the peak", 6.3, "level"), "level at the peak: f"),
        (Evidence("loudness over the rest", 2.0, "log2 of the ratio", 1.0), "4 : 1 (limit 2 : 1)"),
        (Evidence("loudness over the rest", -3.0, "log2 of the ratio"), "1 : 8"),
        (Evidence("distance of colours", 0.35, "cosine distance", 0.25), "0.35 of 1"),
        (Evidence("chance of being heard", 0.5, "", 0.7), "50 % (limit 70 %)"),
        (Evidence("words there", "none"), "words there: none"),
    ],
)
def test_evidence_reads_as_a_musician_says_it(item: Evidence, told: str) -> None:
    """Counts stand alone, levels are letters, logarithms proportions, chances in the hundred."""
    assert told in in_a_line([item])


def test_a_margin_stands_with_its_uncertainty() -> None:
    """The uncertainty is no line of its own, and the limit stays."""
    margin = Evidence("margin above masked threshold", -4.2, "dB", 0.0)
    doubt = Evidence("uncertainty of the margin (one sd)", 5.4, "dB")
    (shown,) = figures([margin, doubt])
    assert shown == ("margin above masked threshold", "−4.2 ± 5.4 dB", "0 dB")


@pytest.mark.parametrize(
    ("item", "found", "limit"),
    [
        (Evidence("time", 2.004, "s", 2.0), "2.004 s", "2.000 s"),
        (Evidence("full", 0.6999, "share of bars", 0.7), "69.99 % of bars", "70.00 % of bars"),
        (Evidence("time", 2.0, "s", 2.0), "2 s", "2 s"),
    ],
)
def test_found_and_limit_are_told_apart(item: Evidence, found: str, limit: str) -> None:
    """Where what was found rounds to its limit, it is given as finely as it takes."""
    assert figures([item]) == (("time" if item.unit == "s" else "full", found, limit),)
