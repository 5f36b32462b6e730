"""The letter as a PDF (A4, tagged for screen readers).

By WeasyPrint, which needs no browser; or by Chromium, where it is asked for. Neither fetches
anything: a letter holds all that it shows.
"""

import os
import shutil
import subprocess
from enum import StrEnum
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from redstave.base.errors import InputError

VARIANT = "pdf/ua-1"
NOWHERE = "letter:/"  # where a letter lies, for what it asks for by a bare name: refused as well
BROWSERS = ("chromium", "chromium-browser", "google-chrome")
PATIENCE_S = 120.0
_QUIET = (
    "--headless",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-extensions",
    "--no-first-run",
    "--no-pdf-header-footer",
    "--host-resolver-rules=MAP * ~NOTFOUND",
)


class Printer(StrEnum):
    """Who makes the PDF."""

    WEASYPRINT = "weasyprint"
    CHROMIUM = "chromium"


def weasyprint_pdf(html: str) -> bytes:
    """Return a page as PDF/UA; its pictures must be images, as those for paper are.

    InputError where WeasyPrint lacks its libraries, or where the page asks for something that it
    does not hold itself.
    """
    weasyprint = _weasyprint()
    refused: list[str] = []
    fetcher = _fetcher(weasyprint, refused)
    document = weasyprint.HTML(string=html, base_url=NOWHERE, url_fetcher=fetcher)
    made: bytes = document.write_pdf(pdf_variant=VARIANT)
    if refused:
        raise InputError(
            f"the letter asks for {refused[0]}, but a letter must hold all it shows; put "
            "it into the template as a data: address"
        )
    return made


def chromium_pdf(html: str) -> bytes:
    """Return a page as PDF, printed by Chromium; InputError where there is none or it fails."""
    browser = next(filter(None, map(shutil.which, BROWSERS)), None)
    if browser is None:
        raise InputError(
            "there is no Chromium to print the PDF; install it (Debian: chromium), or leave out "
            "--printer chromium"
        )
    with TemporaryDirectory() as folder:
        page, made = Path(folder, "letter.html"), Path(folder, "letter.pdf")
        page.write_text(html, encoding="utf-8")
        command = [browser, *_QUIET, f"--user-data-dir={folder}/profile", f"--print-to-pdf={made}"]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            command.append("--no-sandbox")  # it refuses to run as root with one
        try:
            subprocess.run(
                [*command, page.as_uri()], check=True, capture_output=True, timeout=PATIENCE_S
            )
            return made.read_bytes()
        except (OSError, subprocess.SubprocessError) as error:
            raise InputError(
                f"Chromium could not print the PDF ({type(error).__name__}); leave out "
                "--printer chromium"
            ) from error


def _weasyprint() -> Any:
    try:
        import weasyprint
    except (ImportError, OSError) as error:
        raise InputError(
            "the PDF needs Pango and HarfBuzz, which are not installed; install them (Debian: "
            "libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0), or take --printer chromium"
        ) from error
    return weasyprint


def _fetcher(weasyprint: Any, refused: list[str]) -> Any:
    """Return what reads data: addresses, refuses all others and notes them."""

    class DataOnly(weasyprint.URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: Any = None) -> Any:
            if not url.lower().startswith("data:"):
                refused.append(url)
                raise ValueError("only data: addresses are read")
            return super().fetch(url, headers)

    return DataOnly()
