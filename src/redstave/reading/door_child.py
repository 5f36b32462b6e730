"""The process in which kern and MEI are turned into plain MEI; it reads standard input.

The engraving library, which knows these formats, can kill its process and may never return from a
hostile file, so it is loaded here and nowhere else in this room. Arguments: megabytes of memory and
seconds of processor time. The answer on standard output is the MEI, or nothing.
"""

import os
import resource
import sys


def convert(text: str) -> str:
    """Return a score in kern or MEI as MEI in parts, or "" where it cannot be understood."""
    import verovio  # here, so that the limits are in force before it loads

    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    toolkit.setOptions({"xmlIdSeed": 1, "breaks": "encoded", "header": "none", "footer": "none"})
    if not toolkit.loadData(text):
        return ""
    return str(toolkit.getMEI({"scoreBased": True}))


def main() -> None:
    """Convert what stands on standard input."""
    megabytes, seconds = (int(word) for word in sys.argv[1:3])
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_AS, (megabytes << 20, megabytes << 20))
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
    text = sys.stdin.buffer.read().decode("utf-8-sig", "replace")
    answer = os.fdopen(os.dup(1), "wb")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # whatever else is printed goes nowhere
    answer.write(convert(text).encode())
    answer.close()


if __name__ == "__main__":
    main()
