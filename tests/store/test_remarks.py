"""Remarks are revised, never overwritten, and no write that comes too late is lost."""

from dataclasses import replace

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from redstave import store
from redstave.base.errors import InputError, StaleError
from redstave.model.finding import Spot
from redstave.model.remark import Heard, LinkedTrial, Remark, RemarkKind, Weight
from redstave.store import Season

TRIAL = LinkedTrial(
    '[[change]]\nwho = "Horns"\n',
    ("Horns p",),
    (Heard("Oboe 1", -2.5, 4.0, 3.1, "covered", "heard"),),
)
REMARK = Remark(
    "", RemarkKind.WAY_OUT, "Quieter, „please“", (Spot(3, 0, "P1", 1, 5, ("P1.3.0",)),),
    "bars 4–6", "Nobody hears it.", "Horns p.", "balance", Weight.MAIN, finding="ab12",
    slug="tune-covered", trial=TRIAL,
)  # fmt: skip


def test_what_is_kept_is_what_was_given(season: Season) -> None:
    """A remark comes back with every field it was given, and an id and a place in the order."""
    made = store.add_remark(season, "Juniper", REMARK)
    (kept,) = store.read_remarks(season, "Juniper")
    assert kept.remark == made
    assert replace(made, id="", order=0) == REMARK


def test_every_revision_stays(season: Season) -> None:
    """Changing a remark adds a revision; all of them can be read, oldest first."""
    made = store.add_remark(season, "Juniper", REMARK)
    second = store.revise_remark(season, "Juniper", replace(made, text="second"), by="A. T.")
    store.revise_remark(season, "Juniper", replace(second, text="third"))
    history = store.remark_history(season, "Juniper", made.id)
    assert [one.remark.text for one in history] == [REMARK.text, "second", "third"]
    assert [one.by for one in history] == ["", "A. T.", ""]
    assert store.read_remark(season, "Juniper", made.id).remark.revision == 3


def test_a_stale_change_is_refused_and_both_texts_are_kept(season: Season) -> None:
    """Two who change the same revision: the second is refused, and his text is kept beside."""
    made = store.add_remark(season, "Juniper", REMARK)
    store.revise_remark(season, "Juniper", replace(made, text="theirs"))
    with pytest.raises(StaleError, match="changed elsewhere") as refused:
        store.revise_remark(season, "Juniper", replace(made, text="mine", why="because"))
    assert refused.value.mine == "mine\n\nbecause\n\nHorns p."
    assert refused.value.theirs.startswith("theirs")
    assert refused.value.revision == 2
    assert store.read_remark(season, "Juniper", made.id).remark.text == "theirs"
    (aside,) = store.texts_set_aside(season, "Juniper")
    assert aside.text == refused.value.mine
    store.done_with_set_aside(season, "Juniper", aside.id)
    assert store.texts_set_aside(season, "Juniper") == ()


def test_a_stale_change_undoes_what_was_begun_with_it(season: Season) -> None:
    """Within one block of writes a refused change takes the others back, and is kept itself."""
    made = store.add_remark(season, "Juniper", REMARK)
    store.revise_remark(season, "Juniper", replace(made, text="theirs"))

    def both() -> None:
        with season.writing():
            store.add_remark(season, "Juniper", replace(REMARK, text="another"))
            store.revise_remark(season, "Juniper", replace(made, text="mine"))

    with pytest.raises(StaleError):
        both()
    assert [one.remark.text for one in store.read_remarks(season, "Juniper")] == ["theirs"]
    assert len(store.texts_set_aside(season, "Juniper")) == 1


def test_a_withdrawn_remark_is_kept_and_can_come_back(season: Season) -> None:
    """Withdrawing takes a remark out of the list only; the next change brings it back."""
    made = store.add_remark(season, "Juniper", REMARK)
    gone = store.withdraw_remark(season, "Juniper", made.id, made.revision)
    assert store.read_remarks(season, "Juniper") == ()
    (kept,) = store.read_remarks(season, "Juniper", withdrawn=True)
    assert kept.withdrawn
    store.revise_remark(season, "Juniper", gone)
    assert [one.withdrawn for one in store.read_remarks(season, "Juniper")] == [False]


def test_order_is_kept_and_is_no_revision(season: Season) -> None:
    """Putting remarks in order moves them, leaves the rest behind them, and revises nothing."""
    ids = [store.add_remark(season, "Juniper", REMARK).id for _ in range(4)]
    store.order_remarks(season, "Juniper", [ids[2], ids[0]])
    kept = [one.remark for one in store.read_remarks(season, "Juniper")]
    assert [one.id for one in kept] == [ids[2], ids[0], ids[1], ids[3]]
    assert [one.order for one in kept] == [1, 2, 3, 4]
    assert {one.revision for one in kept} == {1}


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE remark_revision SET body = ''",
        "DELETE FROM remark_revision",
        "DELETE FROM sealed_name",
        "UPDATE sealed_name SET name = ''",
    ],
)
def test_the_database_itself_refuses_to_forget(season: Season, statement: str) -> None:
    """Whoever goes to the tables directly cannot change or delete what only grows."""
    store.add_remark(season, "Juniper", REMARK)
    with pytest.raises(DBAPIError, match="only grows"), season.writing() as db:
        db.execute(text(statement))
    assert [one.remark.text for one in store.read_remarks(season, "Juniper")] == [REMARK.text]


def test_an_unknown_remark_or_entry_is_told(season: Season) -> None:
    """What is not there is told in one sentence that says what there is."""
    with pytest.raises(InputError, match="remark list"):
        store.read_remark(season, "Juniper", "nothing")
    with pytest.raises(InputError, match="its entries are Juniper"):
        store.read_remarks(season, "Elm")
