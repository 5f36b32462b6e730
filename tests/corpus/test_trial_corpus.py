"""Trials on real scores: law 1 holds, and every way out is what it promises."""

from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest

from redstave.analysis import Analysis
from redstave.analysis.hearing import Judged
from redstave.analysis.leading import buried_tunes
from redstave.analysis.passages import heard
from redstave.analysis.state import State
from redstave.app import choose, review
from redstave.app.remedies import BRASS
from redstave.model.change import Alteration, Change, LeftOut, Octave, Step
from redstave.reading import read
from redstave.trial import attempt, select_lines, ways_out
from redstave.trial.compare import rows_of

pytestmark = pytest.mark.corpus


@pytest.fixture(scope="module")
def brahms(scores: Path) -> Analysis:
    """A movement for orchestra."""
    return Analysis(read(scores / "orchestra" / "Brahms_Op.90_3.mxl"))


@pytest.mark.parametrize("what", [Step(-2.0), LeftOut(), Octave(1)])
@pytest.mark.parametrize("who", ["strings", "woodwind"])
def test_a_trial_equals_a_full_recomputation(brahms: Analysis, who: str, what: Alteration) -> None:
    """Sixteen bars changed: the numbers are those of the changed score heard from nothing."""
    trial = attempt(brahms, [Change(select_lines(brahms.playing, who), 20, 35, what)])
    whole = replace(trial.after, earlier=None)
    np.testing.assert_array_equal(trial.after.hearing.strand, whole.hearing.strand)
    for field in fields(Judged):
        mine, theirs = (getattr(each.hearing.rows, field.name) for each in (trial.after, whole))
        np.testing.assert_allclose(mine, theirs, rtol=1e-6, atol=1e-6, err_msg=field.name)


def test_ways_out_of_a_real_score_do_what_they_promise(scores: Path) -> None:
    """Covered tunes of a modern score: some have a way out, each heard from nothing, pp to ff."""
    name = "Boulanger_Dun_matin_de_printemps.mxl"
    analysis = Analysis(read(scores / "orchestra" / name))
    tunes = buried_tunes(analysis)
    found = [way for tune in tunes for way in ways_out(analysis, *tune)]
    assert found
    for way in found[:4]:
        hearing = replace(way.trial.after, earlier=None).hearing
        rows = rows_of(hearing, way.line, way.trial.first, way.trial.last)
        assert heard(hearing, rows).state is State.HEARD
    for way in found:
        assert way.before.state is not State.HEARD
        assert way.after.margin_db > way.before.margin_db
        assert all(-3.0 <= c.what.steps <= 2.0 for c in way.changes if isinstance(c.what, Step))


def test_no_way_out_lets_the_tune_be_heard_less(scores: Path) -> None:
    """Where players who double the tune would be made softer, that is not called a way out."""
    entry = scores / "orchestra" / "Schubert_D.485_1.mxl"
    done = review(Analysis(read(entry)), "Schubert", choose(only=("tune-submerged", BRASS)))
    texts = [text for _, texts in done.ways for text in texts]
    assert texts
    assert not [text for text in texts if " falls from " in text]
