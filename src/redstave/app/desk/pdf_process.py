"""The PDF of a letter, made in a process of its own.

Laying out pages takes a processor for seconds and a hundred megabytes; the desk goes on meanwhile
and is as small afterwards as before.
"""

import resource
import subprocess
import sys

from redstave.base.errors import InputError
from redstave.render.engraver_child import allow_seconds, limit_memory
from redstave.render.pdf import weasyprint_pdf

MEGABYTES, SECONDS, PATIENCE_S = 3000, 120, 180.0
TOLD = 3  # the exit status of a child that says in a sentence what is wrong


def pdf(html: str) -> bytes:
    """Return a page as PDF; InputError where it could not be made."""
    command = [sys.executable, "-P", "-m", "redstave.app.desk.pdf_process"]
    try:
        done = subprocess.run(
            command, input=html.encode(), capture_output=True, timeout=PATIENCE_S, check=False
        )
    except subprocess.TimeoutExpired:
        raise InputError("the PDF took too long and was given up; export the HTML") from None
    if done.returncode == TOLD:
        raise InputError(done.stderr.decode(errors="replace").strip())
    if done.returncode or not done.stdout.startswith(b"%PDF"):
        raise InputError("the PDF could not be made; export the HTML and print it from the browser")
    return done.stdout


def main() -> None:
    """Read a page from standard input and write its PDF to standard output."""
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    limit_memory(MEGABYTES)
    allow_seconds(SECONDS)
    try:
        made = weasyprint_pdf(sys.stdin.buffer.read().decode())
    except InputError as error:
        sys.stderr.write(str(error))
        sys.exit(TOLD)
    sys.stdout.buffer.write(made)


if __name__ == "__main__":
    main()
