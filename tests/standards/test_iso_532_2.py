"""ISO 532-2:2017: Annex B and Table 5, as transcribed in open implementations (second-hand)."""

import pytest

from redstave.acoustics import loudness
from tools.evidence.iso_532_2 import Case, annex_b, table_5


@pytest.mark.parametrize("case", tuple(annex_b()), ids=lambda case: case.name)
def test_annex_b_is_reproduced(case: Case) -> None:
    """Each sound of Annex B has the loudness printed there."""
    assert case.computed() == pytest.approx(case.printed, abs=case.tolerance)


@pytest.mark.parametrize("case", tuple(table_5()), ids=lambda case: case.name)
def test_table_5_is_reproduced(case: Case) -> None:
    """A tone of 1 kHz has the loudness of Table 5 from 0 to 120 phon."""
    assert case.computed() == pytest.approx(case.printed, abs=case.tolerance)


def test_silence_has_no_loudness() -> None:
    """No component, or components out of hearing, give 0 sone exactly."""
    assert loudness([], []) == 0.0
    assert loudness([10.0, 18_000.0], [80.0, 80.0]) == 0.0


@pytest.mark.parametrize("bad", [{"field": "room"}, {"ears": 3}])
def test_unknown_conditions_are_refused(bad: dict) -> None:
    """A field or a number of ears that the standard does not know is an error."""
    with pytest.raises(ValueError, match=r"must be"):
        loudness([1000.0], [60.0], **bad)
