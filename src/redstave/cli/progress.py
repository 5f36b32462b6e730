"""The line on the terminal that says what is being done, where it takes more than a second."""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Timer

from rich.console import Console
from rich.markup import escape

from redstave.app import Tell

PATIENCE_S = 1.0  # what is done sooner needs no line


@contextmanager
def progress(shown: bool = True) -> Iterator[Tell]:
    """Yield a function that is told each step as it begins.

    Nothing is written where `shown` is false, or where the standard error is no terminal.
    """
    console = Console(stderr=True)
    if not shown or not console.is_terminal:
        yield lambda _: None
        return
    line = console.status("", spinner="line")
    done: list[str] = []

    def tell(step: str) -> None:
        line.update(" ".join([*(f"[dim]{escape(one)} ·[/]" for one in done), f"{escape(step)} …"]))
        if step.split()[0] not in done:
            done.append(step.split()[0])

    patience = Timer(PATIENCE_S, line.start)
    patience.start()
    try:
        yield tell
    finally:
        patience.cancel()
        patience.join()
        line.stop()
