"""Engraving a letter's excerpts.

Processor time of this process and the engraver's child together: to set the page up once, per
excerpt (cut, engrave, flatten, ring), and, as the reference in the same run, what the engraver
alone needs to load and lay out the whole score once. The excerpts of a letter must cost less.
"""

import resource
import time

from redstave.reading.tiny import to_musicxml
from redstave.render.engraver import Job, Patience, engrave
from redstave.render.excerpt import ExcerptRequest, excerpts
from redstave.render.page_xml import Page, page

BAR = "mf < C5/8:accent( D5 E5) F5:staccato = r/4 [G4 B4]/4~ | [G4 B4]/4 A4/16 B4 C5 D5 r/2 | "
PARTS, BARS = 40, 200
SHAPES = ((1, 2), (2, 2), (4, 4), (8, 6))  # staves, bars
EXCERPTS = 30  # of each shape
WHOLE = (
    ("breaks", "auto"),
    ("adjustPageWidth", False),
    ("pageWidth", 2970),
    ("pageHeight", 4200),
    ("unit", 4.5),
)


def table() -> str:
    """Measure excerpts of four shapes against one load of the whole score."""
    data = to_musicxml(_score())
    start = _seconds()
    source = page(data)
    set_up = _seconds() - start
    start = _seconds()
    engrave([Job(data.decode(), options=WHOLE)], Patience(4000, 300, 600.0))
    whole = _seconds() - start
    rows = [
        f"Score of {PARTS} staves and {BARS} bars, {len(data) / 1e6:.1f} MB. Setting up the page "
        f"{set_up:.2f} s; the engraver's own load and layout of the whole score {whole:.1f} s.",
        "",
        "| staves | bars | ms an excerpt | excerpts in the time of one whole load |",
        "|---:|---:|---:|---:|",
    ]
    for staves, bars in SHAPES:
        each = _each(source, staves, bars)
        rows.append(f"| {staves} | {bars} | {each * 1000:.0f} | {(whole - set_up) / each:.0f} |")
    return "\n".join(rows)


def _each(source: Page, staves: int, bars: int) -> float:
    requests = [
        ExcerptRequest(
            (7 * number) % (BARS - bars),
            (7 * number) % (BARS - bars) + bars - 1,
            tuple(part.id for part in source.parts[number % 10 : number % 10 + staves]),
        )
        for number in range(EXCERPTS)
    ]
    start = _seconds()
    excerpts(source, requests)
    return (_seconds() - start) / EXCERPTS


def _score() -> str:
    music = "\n".join(BAR for _ in range(BARS // 2))
    return "title: Measure\n" + "".join(
        f"part Flute {number}\n{music}\n" for number in range(1, PARTS + 1)
    )


def _seconds() -> float:
    """Return processor seconds of this process and of its finished children."""
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.process_time() + children.ru_utime + children.ru_stime
