"""The painter: what somebody waits for goes first, nothing is painted twice, a failure is told."""

import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from redstave.app.desk import Opened, Painter
from redstave.app.desk import painter as room
from redstave.render.engraver import Engraver, Engraving, Job
from redstave.render.systems import Layout, Notes, PictureStore
from tests.app.desk.entry import opened

LONG = "meter: 4/4\npart Flute\n" + "C5/8 D5 E5 F5 G5 A5 B5 C6 | " * 60 + "C5/1 |.\n"


@pytest.fixture(scope="module")
def long() -> Opened:
    """Return an entry of many systems."""
    return opened(LONG)


@pytest.fixture
def painter(tmp_path: Path) -> Iterator[Painter]:
    """Return a painter with one child."""
    one = Painter(PictureStore(tmp_path / "pictures"), workers=1)
    yield one
    one.close()


def test_a_system_is_painted_when_asked_for(painter: Painter, long: Opened) -> None:
    """The picture shows the bars of the system that was asked for."""
    layout = Layout(notes=Notes.LARGE)
    system = long.systems(layout)[2]
    shown = painter.picture(long, 2, layout)
    assert shown.failure == ""
    assert [box.bar for box in shown.bars] == list(range(system.first, system.last + 1))


class Slow(Engraver):
    """An engraver that waits to be let go, and notes what it was asked for."""

    def __init__(self, *_: object) -> None:
        super().__init__()
        self.gate, self.asked = GATE, ASKED

    def engrave(self, job: Job) -> Engraving:
        """Note the bars and fail."""
        self.gate.wait(10)
        self.asked.append(job.text.count("<measure"))
        return Engraving("", f"job {len(self.asked)}")


GATE, ASKED = threading.Event(), []  # type: ignore[var-annotated]


@pytest.fixture
def slow(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[Painter]:
    """Return a painter that begins when GATE is set."""
    GATE.clear()
    ASKED.clear()
    monkeypatch.setattr(room, "Engraver", Slow)
    one = Painter(PictureStore(tmp_path / "pictures"), workers=1)
    yield one
    GATE.set()
    one.close()


def test_what_is_waited_for_goes_first(slow: Painter, long: Opened) -> None:
    """Of a long list painted ahead, the system that somebody asks for is painted next."""
    layout = Layout(notes=Notes.LARGE)
    count = len(long.systems(layout))
    assert count > 5
    slow.ahead(long, range(count), layout)
    while slow._waiting.qsize() >= count:  # until the first is begun
        threading.Event().wait(0.005)
    found: list[str] = []
    reader = threading.Thread(
        target=lambda: found.append(slow.picture(long, count - 1, layout).failure)
    )
    reader.start()
    while slow._waiting.qsize() < count:  # the reader's wish stands on the list
        threading.Event().wait(0.005)
    GATE.set()
    reader.join(10)
    assert found == ["job 2"]  # the first was begun already


def test_nothing_is_painted_twice(
    slow: Painter, long: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A system that several ask for is engraved once."""
    found: list[str] = []
    answered: list[object] = []
    ask = slow._ask

    def asked(*what: Any) -> Any:
        answered.append(answer := ask(*what))
        return answer

    monkeypatch.setattr(slow, "_ask", asked)
    readers = [
        threading.Thread(target=lambda: found.append(slow.picture(long, 0, Layout()).failure))
        for _ in range(3)
    ]
    slow.ahead(long, [0], Layout())
    for reader in readers:
        reader.start()
    while len(answered) < 1 + len(readers):
        threading.Event().wait(0.005)
    GATE.set()
    for reader in readers:
        reader.join(10)
    assert found == ["job 1"] * 3


def test_a_failure_is_not_kept(slow: Painter, long: Opened) -> None:
    """A system that failed is tried again when it is asked for again."""
    GATE.set()
    assert slow.picture(long, 0, Layout()).failure == "job 1"
    assert slow.picture(long, 0, Layout()).failure == "job 2"


def test_what_was_painted_is_kept_for_the_next_desk(long: Opened, tmp_path: Path) -> None:
    """A second painter finds the picture on disk and engraves nothing."""
    store = PictureStore(tmp_path)
    first = Painter(store, workers=1)
    shown = first.picture(long, 0, Layout())
    first.close()
    second = Painter(store, workers=0)  # could not paint
    assert second.picture(long, 0, Layout()) == shown
    second.close()


def test_systems_that_are_not_there_are_not_painted(slow: Painter, long: Opened) -> None:
    """Numbers beyond either end are passed over."""
    slow.ahead(long, [-1, 10_000], Layout())
    assert slow._waiting.qsize() == 0
