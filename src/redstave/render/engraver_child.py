"""The engraver's own process: jobs in on standard input, SVG out on standard output.

The engraving library can kill its process and may never return from a hostile page, so it is
imported here and nowhere else. One line of JSON per job and one per answer:

    {"id": "a", "text": "<score-partwise …", "bars": "4-7", "options": {…}}
    {"id": "a", "svg": "<svg …"}        or        {"id": "a", "error": "…"}

Limits are the process's own: memory once, processor time anew before every job.
"""

import json
import os
import resource
import sys
from typing import Any, TextIO

FILLED: dict[str, Any] = {
    "breaks": "auto",
    "adjustPageWidth": False,
    "minLastJustification": 0.0,
}
TRIES, WIDER = 4, 1.2


def limit_memory(megabytes: int) -> None:
    """Refuse to grow beyond `megabytes` of address space."""
    size = megabytes * 1024 * 1024
    resource.setrlimit(resource.RLIMIT_AS, (size, size))


def allow_seconds(seconds: int) -> None:
    """Give the process `seconds` of processor time from now on; beyond them it is stopped."""
    used = resource.getrusage(resource.RUSAGE_SELF)
    spent = int(used.ru_utime + used.ru_stime) + 1
    _, hard = resource.getrlimit(resource.RLIMIT_CPU)
    resource.setrlimit(resource.RLIMIT_CPU, (spent + seconds, hard))


def answer(job: dict[str, Any]) -> dict[str, Any]:
    """Engrave one job with a toolkit of its own, so that no job can colour the next."""
    import verovio  # here, so that the limits are in force before it loads

    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    toolkit.setOptions(job["options"])
    if not toolkit.loadData(job["text"]):
        return {"id": job["id"], "error": "the page could not be loaded"}
    svg = fitted(toolkit, job) if job.get("fitted") else shown(toolkit, job)
    if 'class="measure"' not in svg:
        return {"id": job["id"], "error": "there is no bar in it"}
    return {"id": job["id"], "svg": svg}


def shown(toolkit: Any, job: dict[str, Any]) -> str:
    """Return the bars asked for as wide as they come out."""
    if job.get("bars"):
        toolkit.select({"measureRange": job["bars"]})
        toolkit.redoLayout()
    return str(toolkit.renderToSVG(1))


def fitted(toolkit: Any, job: dict[str, Any]) -> str:
    """Return the bars asked for as one system that fills a page of the width asked for.

    The engraver breaks bars that do not fit into two systems: the page is then made wider.
    """
    width = int(job["fitted"])
    for _ in range(TRIES):
        toolkit.setOptions(FILLED | {"pageWidth": width})
        toolkit.select({"measureRange": job["bars"]})
        toolkit.redoLayout()
        svg = str(toolkit.renderToSVG(1))
        if svg.count('class="system"') == 1 and toolkit.getPageCount() == 1:
            return svg
        width = round(width * WIDER)
    toolkit.setOptions({"breaks": "none", "adjustPageWidth": True})
    return shown(toolkit, job)


def private_output() -> TextIO:
    """Take standard output for the answers alone; whatever else is printed goes nowhere."""
    sys.stdout.flush()
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    return answers


def main() -> None:
    """Answer jobs until standard input ends; arguments: megabytes, seconds per job, niceness."""
    megabytes, seconds, niceness = (int(word) for word in sys.argv[1:4])
    os.nice(niceness)
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    limit_memory(megabytes)
    answers = private_output()
    for line in sys.stdin:
        job = json.loads(line)
        allow_seconds(seconds)
        try:
            reply = answer(job)
        except (MemoryError, RuntimeError, ValueError, TypeError, AttributeError) as error:
            reply = {"id": job["id"], "error": f"{type(error).__name__}: {error}"}
        answers.write(json.dumps(reply) + "\n")
        answers.flush()


if __name__ == "__main__":
    main()
