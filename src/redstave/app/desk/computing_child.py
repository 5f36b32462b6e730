"""The process that computes entries for the desk: code names in, a line of JSON for each step out.

It is a process of its own so that reading goes on without a stutter, so that it can be stopped at
any moment, and so that a file that wants too much memory or time takes nothing with it. What was
made is kept entry by entry; whatever stops it loses the entry it was at and no other.

    {"code": "Agate", "step": "hearing"}    {"code": "Agate", "done": "reviewed"}
"""

import json
import os
import resource
import sys
from pathlib import Path
from typing import TextIO

from redstave.app.compute import compute
from redstave.app.season import open_season
from redstave.base.errors import RedstaveError
from redstave.render.engraver_child import allow_seconds, limit_memory, private_output

BEHIND = 5  # POSIX niceness: who reads meanwhile goes first
REVIEWED, UP_TO_DATE, FAILED = "reviewed", "up to date", "failed"


def main() -> None:
    """Compute entries; arguments: folder, megabytes, seconds for each entry, code names."""
    folder, megabytes, seconds, *codes = sys.argv[1:]
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    os.nice(BEHIND)
    limit_memory(int(megabytes))
    answers = private_output()
    with open_season(Path(folder)) as season:
        for code in codes:
            allow_seconds(int(seconds))

            def tell(step: str, code: str = code) -> None:
                _say(answers, code=code, step=step.partition(": ")[2])

            _say(answers, code=code, step="reading")
            try:
                made = compute(season, [code], tell)
            except (RedstaveError, MemoryError, RecursionError) as error:
                _say(answers, code=code, done=FAILED, words=str(error) or type(error).__name__)
                continue
            if made.problems:
                _say(answers, code=code, done=FAILED, words=made.problems[0].partition(": ")[2])
            else:
                _say(answers, code=code, done=REVIEWED if made.reviewed else UP_TO_DATE)


def _say(answers: TextIO, **said: str) -> None:
    answers.write(json.dumps(said) + "\n")
    answers.flush()


if __name__ == "__main__":
    main()
