"""The letter as a browser shows it: drawn, red where it should be, and silent on the network."""

import html
import json
import re
import shutil
import subprocess
import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

from redstave.render.letter import letter
from tests.render.quay import quay_page
from tests.render.views import review

pytestmark = pytest.mark.browser

QUIET = (
    "--headless --no-sandbox --disable-gpu --disable-quic --no-first-run --hide-scrollbars "
    "--disable-background-networking --disable-component-update --disable-dev-shm-usage"
)


@pytest.fixture(scope="module")
def chromium() -> str:
    """Return the path of Chromium; the tests are skipped where there is none."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        pytest.skip("Chromium is not installed")
    return found


@pytest.fixture(scope="module")
def text() -> str:
    """Return a letter."""
    return letter(review(), quay_page())


def opened(chromium: str, address: str, profile: Path, width: int = 1280) -> str:
    """Open an address and return the page as the browser has it at the end."""
    command = [chromium, *QUIET.split(), f"--user-data-dir={profile}", f"--window-size={width},900"]
    command += ["--virtual-time-budget=3000", "--dump-dom", address]
    done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=60)
    return done.stdout


def asked(chromium: str, text: str, folder: Path, look: str, width: int = 1280) -> Any:
    """Return what a piece of script sees in the letter.

    The letter itself forbids scripts, so the script is put into a copy without that rule.
    """
    copy = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text)
    assert copy != text
    script = f"<script>document.fonts.ready.then(async () => {{ const seen = await ({look})();"
    script += "document.body.innerHTML = '<pre></pre>';"
    script += "document.querySelector('pre').textContent = JSON.stringify(seen); });</script>"
    file = folder / "copy.html"
    file.write_text(copy.replace("</body>", f"{script}</body>"), encoding="utf-8")
    shown = opened(chromium, file.as_uri(), folder / "profile", width)
    answer = re.search(r"<pre>(.*?)</pre>", shown, re.DOTALL)
    assert answer, "the browser gave no answer"
    return json.loads(html.unescape(answer[1]))


def test_nothing_is_asked_for(chromium: str, text: str, tmp_path: Path) -> None:
    """The browser asks the server for the letter and for nothing else."""
    (tmp_path / "letter.html").write_text(text, encoding="utf-8")
    paths: list[str] = []

    class Listening(SimpleHTTPRequestHandler):
        """Serves the folder and notes what was asked for."""

        def do_GET(self) -> None:
            """Note the path and answer."""
            paths.append(self.path)
            super().do_GET()

        def log_message(self, *_: object) -> None:
            """Print nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Listening, directory=str(tmp_path)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        address = f"http://127.0.0.1:{server.server_port}/letter.html"
        shown = opened(chromium, address, tmp_path / "profile")
    finally:
        server.shutdown()
        server.server_close()
    assert "Morning on the Quay" in shown
    assert [path for path in paths if path != "/favicon.ico"] == ["/letter.html"]


def test_the_music_is_drawn(chromium: str, text: str, tmp_path: Path) -> None:
    """Stave lines have a stroke, note heads a size, a note in question is red, levels a font."""
    look = """async () => {
      const style = where => getComputedStyle(document.querySelector(where));
      const box = where => document.querySelector(where).getBoundingClientRect();
      return {
        line: style('.score .staff > path').stroke,
        length: box('.score .staff > path').width,
        head: [box('.score .notehead use').width, box('.score .notehead use').height],
        asked: style('.score .asked use').fill,
        ring: style('.score .ring').stroke,
        font: (await document.fonts.load('20px Leipzig', '\\uE520')).length,
      };
    }"""
    seen = asked(chromium, text, tmp_path, look)
    assert seen["line"] != "none"
    assert seen["length"] > 20
    assert min(seen["head"]) > 3
    assert seen["asked"] == seen["ring"] != seen["line"]
    assert seen["font"] == 1


@pytest.mark.parametrize("width", [1280, 600])
def test_the_page_never_scrolls_sideways(
    chromium: str, text: str, tmp_path: Path, width: int
) -> None:
    """On a 13-inch screen and in a narrow window wide pictures scroll by themselves."""
    look = "() => [document.documentElement.scrollWidth, innerWidth]"
    scroll, inner = asked(chromium, text, tmp_path, look, width)
    assert inner == width
    assert scroll <= inner
