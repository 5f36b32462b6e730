"""Take the pictures of the documentation from the demonstration's season: docs/images/*.png.

Run by hand after the look of a page has changed (`python -m tools.make_pictures`); it needs
Chromium. The season is laid out anew in a folder that is thrown away.
"""

import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import uvicorn
from playwright.sync_api import Page, ViewportSize, sync_playwright

from redstave.app import letters
from redstave.app.demo_season import demo_season
from redstave.app.seasons import open_season
from redstave.web.desk import Desk
from redstave.web.factory import make_app
from redstave.web.guard.access import Access
from redstave.web.serve import listening

IMAGES = Path(__file__).resolve().parents[1] / "docs" / "images"
ENTRY = "Juniper"
FLAGS = "--no-sandbox --disable-gpu --disable-dev-shm-usage --disable-background-networking"
SIZE: ViewportSize = {"width": 1280, "height": 900}
MARGIN = 40  # pixels of the page round a piece of it
SETTLED_MS = 4000  # systems are painted while one looks
#: By the name of a picture: the page of the desk, with what it is to show.
PAGES = {
    "desk-season": "",
    "desk-reading": f"entries/{ENTRY}/reading?bar=13",
    "desk-hearing": f"entries/{ENTRY}/hearing",
    "desk-letter": f"entries/{ENTRY}/letter",
}


def main() -> None:
    """Take all pictures anew."""
    with TemporaryDirectory() as folder, sync_playwright() as play:
        season = Path(folder, "season")
        demo_season(season).close()
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS.split())
        page = browser.new_page(viewport=SIZE, device_scale_factor=1.25)
        with served(season, Path(folder, "pictures")) as address:
            for name, path in PAGES.items():
                page.goto(f"{address}/{path}", wait_until="networkidle")
                page.wait_for_timeout(SETTLED_MS)
                page.screenshot(path=IMAGES / f"{name}.png")
        page.goto(_letter(season, Path(folder)).as_uri())
        _cut(page, "letter", "article.point:has(table)")
        browser.close()


@contextmanager
def served(season: Path, pictures: Path) -> Iterator[str]:
    """Yield the address of a desk on a season, while it answers."""
    with open_season(season) as opened, listening("127.0.0.1", 0) as listener:
        port = int(listener.getsockname()[1])
        desk = Desk(opened, pictures)
        app = make_app(desk, Access(), port=port)
        server = uvicorn.Server(uvicorn.Config(app, log_level="error", lifespan="off", ws="none"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{port}"
        server.should_exit = True
        thread.join(10)
        desk.close()


def _letter(season: Path, folder: Path) -> Path:
    with open_season(season) as opened:
        letters.write_letters(opened, ENTRY, folder, letters.Wishes(("html",)))
    return folder / f"{ENTRY}.html"


def _cut(page: Page, name: str, what: str) -> None:
    """Take a picture of the first element of a kind, with a margin."""
    shown = page.locator(what).first
    shown.scroll_into_view_if_needed()
    box = shown.bounding_box()
    if box is None:
        raise RuntimeError(f"nothing on the page is {what}")
    page.screenshot(
        path=IMAGES / f"{name}.png",
        clip={
            "x": box["x"] - MARGIN,
            "y": box["y"],
            "width": box["width"] + 2 * MARGIN,
            "height": box["height"] - 2,  # without the rule below it
        },
    )


if __name__ == "__main__":
    main()
