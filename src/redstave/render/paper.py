"""Pictures for a page maker that styles no inline SVG: each stands by itself, as an image.

The rules that apply to the classes of a picture go into it, with the colours of print; so do the
glyphs it uses.
"""

import re
from base64 import b64encode
from collections.abc import Mapping
from html import unescape

from markupsafe import Markup, escape

_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_RULE = re.compile(r"([^{}]+)\{([^{}]*)\}")
_CLASS = re.compile(r"\.([a-z][\w-]*)", re.IGNORECASE)
_PAGE = re.compile(r"^\.critique ")  # the page around the picture
_USED = re.compile(r'class="([^"]*)"')
_ROOT = re.compile(r"(?:@media ([^{]*)\{\s*)?:root\s*\{([^}]*)\}")
_VARIABLE = re.compile(r"--([\w-]+):\s*([^;]+);")
_SVG = re.compile(r"<svg .*?</svg>", re.DOTALL)
_DEFS = re.compile(r"<defs>.*?</defs>", re.DOTALL)
_HEAD = re.compile(r"<svg ([^>]*)>")
_ATTRIBUTE = re.compile(r'([\w:-]+)="([^"]*)"')


def images(svgs: str, sheet: str, glyphs: Mapping[str, str] | None = None) -> Markup:
    """Return one or more inline pictures as images, in their order.

    `sheet` is the style of the page; `glyphs` are outlines by name, as in an `Excerpt`.
    """
    shared = "".join(dict.fromkeys(_DEFS.findall(svgs)))
    pictures = _SVG.findall(_DEFS.sub("", svgs))
    return Markup("").join(_image(one, sheet, shared, glyphs or {}) for one in pictures)


def print_colours(sheet: str) -> dict[str, str]:
    """Return the variables of a style sheet as they are in print."""
    found: dict[str, str] = {}
    for media, body in _ROOT.findall(_COMMENT.sub("", sheet)):
        if not media or "print" in media:
            found |= dict(_VARIABLE.findall(body))
    return found


def rules_for(svg: str, sheet: str) -> str:
    """Return the rules of a style sheet that speak of the classes of a picture and nothing else.

    Rules for certain media or states are left out; variables have their values in print.
    """
    used = {word for words in _USED.findall(svg) for word in words.split()}
    colours = print_colours(sheet)
    kept: list[str] = []
    for selectors, body in _RULE.findall(_plain(sheet)):
        each = (_PAGE.sub("", one.strip()) for one in selectors.split(","))
        ours = [one for one in each if _speaks_of(one, used)]
        if ours:
            kept.append(f"{', '.join(ours)} {{{body}}}")
    text = "\n".join(kept)
    return re.sub(r"var\(--([\w-]+)\)", lambda found: colours.get(found[1], "black"), text)


def _speaks_of(selector: str, used: set[str]) -> bool:
    classes = set(_CLASS.findall(selector))
    return bool(classes) and classes <= used and ":" not in selector


def _plain(sheet: str) -> str:
    """Return a style sheet without comments and without what stands in @-blocks."""
    text = _COMMENT.sub("", sheet)
    pieces: list[str] = []
    at = 0
    while (start := text.find("@", at)) >= 0:
        pieces.append(text[at:start])
        at = _end_of_block(text, start)
    return "".join([*pieces, text[at:]])


def _end_of_block(text: str, start: int) -> int:
    depth = 0
    for at in range(start, len(text)):
        if text[at] == ";" and not depth:
            return at + 1
        depth += {"{": 1, "}": -1}.get(text[at], 0)
        if text[at] == "}" and not depth:
            return at + 1
    return len(text)


def _image(svg: str, sheet: str, shared: str, glyphs: Mapping[str, str]) -> Markup:
    head = _HEAD.match(svg)
    said = dict(_ATTRIBUTE.findall(head[1])) if head else {}
    outlines = "".join(
        f'<path id="g{escape(name)}" transform="scale(1,-1)" d="{escape(outline)}"/>'
        for name, outline in sorted(glyphs.items())
        if f'"#g{name}"' in svg
    )
    style = escape(rules_for(shared + svg, sheet))
    alone = (
        f'<svg xmlns="http://www.w3.org/2000/svg"{_size(said.get("viewBox", ""))}>'
        f"<style>{style}</style>{shared}<defs>{outlines}</defs>"
        f'<g class="{said.get("class", "")}">'  # not the root, whose size is given
        f"{svg[head.end() if head else 0 : -len('</svg>')]}</g></svg>"
    )
    data = b64encode(alone.encode()).decode()
    return Markup('<img class="{}" style="{}" alt="{}" src="data:image/svg+xml;base64,{}">').format(
        said.get("class", ""), said.get("style", ""), unescape(said.get("aria-label", "")), data
    )


def _size(box: str) -> str:
    """Return the attributes of a picture's size: without a height, an image has no proportions."""
    numbers = box.split()
    if len(numbers) != 4:
        return ""
    return f' viewBox="{box}" width="{numbers[2]}" height="{numbers[3]}"'
