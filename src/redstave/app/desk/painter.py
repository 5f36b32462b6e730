"""Systems painted ahead of the reader: a few threads, each with a child process of its own.

What a reader waits for goes before what he will only need later. A painted system is kept on disk
and is not painted again. The children are limited in memory and time; a system that kills one is
told as a failure and the next one gets a fresh child.
"""

import itertools
import threading
from collections.abc import Iterable
from concurrent.futures import Future
from dataclasses import dataclass, field, replace
from queue import PriorityQueue

from redstave.app.desk.opened import Opened
from redstave.render.engraver import Engraver, Patience
from redstave.render.systems import Layout, Picture, PictureStore, System
from redstave.render.systems.paint import job_of, picture

NOW = 0
WAIT_S = 60.0
PATIENCE = Patience(megabytes=1500, processor_s=20, wall_s=40.0)
BEHIND = 10  # POSIX niceness of all painters but the first: the browser shows what is there first


@dataclass(order=True, slots=True)
class _Task:
    """One system to be painted; an empty one tells a worker to stop."""

    urgency: int
    number: int
    opened: Opened | None = field(compare=False, default=None)
    system: System = field(compare=False, default=System(0, 0, 0, ()))
    layout: Layout = field(compare=False, default=Layout())
    begun: bool = field(compare=False, default=False)
    found: "Future[Picture]" = field(compare=False, default_factory=Future)


class Painter:
    """Paints systems in the background and on demand. Close it when done."""

    def __init__(self, store: PictureStore, workers: int = 2, patience: Patience = PATIENCE):
        self._store = store
        self._patience = patience
        self._waiting: PriorityQueue[_Task] = PriorityQueue()
        self._numbers = itertools.count()
        self._asked: dict[tuple[str, str, int], _Task] = {}
        self._lock = threading.Lock()  # over what is asked for
        self._page = threading.Lock()  # XML is read by one thread at a time
        self._workers = [
            threading.Thread(
                target=self._work, args=(number > 0,), name=f"painter-{number}", daemon=True
            )
            for number in range(workers)
        ]
        for worker in self._workers:
            worker.start()

    def picture(self, opened: Opened, number: int, layout: Layout) -> Picture:
        """Return a painted system, waiting for it where it is not there yet."""
        system = opened.systems(layout)[number]
        kept = self._store.get(opened.sha256, system, layout)
        return kept or self._ask(opened, system, layout, NOW).result(WAIT_S)

    def ahead(self, opened: Opened, numbers: Iterable[int], layout: Layout) -> None:
        """Have systems painted in the given order, after whatever somebody waits for."""
        systems = opened.systems(layout)
        for place, number in enumerate(numbers, 1):
            if 0 <= number < len(systems):
                self._ask(opened, systems[number], layout, place)

    def close(self) -> None:
        """Stop: what is being painted is finished, the rest is left."""
        for _ in self._workers:
            self._waiting.put(_Task(-1, next(self._numbers)))
        for worker in self._workers:
            worker.join()

    def _ask(
        self, opened: Opened, system: System, layout: Layout, urgency: int
    ) -> "Future[Picture]":
        """Put a system on the list, or move it up where it stands there already."""
        key = (opened.sha256, layout.key, system.number)
        with self._lock:
            known = self._asked.get(key)
            if known is not None and (known.begun or known.urgency <= urgency):
                return known.found
            task = _Task(urgency, next(self._numbers), opened, system, layout)
            if known is not None:
                task.found = known.found
            self._asked[key] = task
        self._waiting.put(task)
        return task.found

    def _work(self, behind: bool) -> None:
        patience = replace(self._patience, niceness=BEHIND) if behind else self._patience
        with Engraver(patience) as engraver:
            while (task := self._waiting.get()).opened is not None:
                self._do(task, task.opened, engraver)

    def _do(self, task: _Task, opened: Opened, engraver: Engraver) -> None:
        key = (opened.sha256, task.layout.key, task.system.number)
        with self._lock:
            if self._asked.get(key) is not task:
                return  # it was moved up: another entry of the list stands for it
            task.begun = True
        try:
            task.found.set_result(self._painted(opened, task.system, task.layout, engraver))
        except Exception as error:  # told to whoever waits for it; the worker goes on
            task.found.set_exception(error)
        finally:
            with self._lock:
                self._asked.pop(key, None)

    def _painted(
        self, opened: Opened, system: System, layout: Layout, engraver: Engraver
    ) -> Picture:
        kept = self._store.get(opened.sha256, system, layout)
        if kept is not None:
            return kept
        with self._page:
            job = job_of(opened.page, system, layout)
        engraving = engraver.engrave(job)
        with self._page:
            made = picture(opened.page, system, engraving)
        if not made.failure:
            self._store.put(opened.sha256, system, layout, made)
        return made
