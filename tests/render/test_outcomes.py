"""What was not assessed and not found, in words."""

from redstave.model.finding import NotAssessed
from redstave.render.outcomes import in_a_sentence, not_found, title_of, unjudged
from redstave.render.units import explained


def test_a_few_checks_are_called_by_their_titles() -> None:
    """Reasons begin like sentences, and no slug is shown."""
    missing = [
        NotAssessed("slide-glissando-impossible", "no part was recognised as a trombone"),
        NotAssessed("harp-low-blur", "no part was recognised as a harp"),
        NotAssessed("harp-set-impossible", "no part was recognised as a harp"),
    ]
    trombone, harp = unjudged(missing)
    assert trombone == ("No part was recognised as a trombone", "“A glissando no slide can make”")
    assert harp.which == "“Quick notes on strings that ring on”, “A chord the harp does not have”"


def test_many_are_counted() -> None:
    """More than three with one reason are told by their number."""
    missing = [NotAssessed(f"check-{at}", "no harp") for at in range(8)]
    assert unjudged(missing) == (("No harp", "8 checks"),)


def test_praise_that_was_not_earned_is_not_told() -> None:
    """What was looked for in vain are faults."""
    assert not_found(["tune-heard-throughout", "nested-arcs"]) == (title_of("nested-arcs"),)


def test_a_title_goes_into_a_sentence() -> None:
    """Only its first letter changes."""
    assert in_a_sentence("Brass at the level of the tune") == "brass at the level of the tune"


def test_units_are_explained_where_they_occur() -> None:
    """A letter without decibels does not explain them."""
    assert explained(["longest slur: 3 s"]) == ()
    (decibels,) = explained(["it rises by 3 dB"])
    assert "decibels" in decibels
    assert len(explained(["3 dB", "from 2 to 4 sone"])) == 2
