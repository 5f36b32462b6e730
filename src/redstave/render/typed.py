"""What the teacher has typed, made fit for pages, files and captions.

Nothing of it is markup: it is escaped where it is written. Paragraphs are kept; characters that no
document can hold are taken out.
"""

import re
from unicodedata import bidirectional

#: Everything but the characters of XML 1.0 (Char), which HTML and WebVTT can hold too.
_UNFIT = re.compile(
    "[^\t\n\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufdcf\ufdf0-\ufffd\U00010000-\U0010ffff]"
)
_LINES = re.compile("\r\n|[\r\x85\u2028]")
_PARAGRAPHS = re.compile(r"\n[ \t]*\n\s*|\u2029")
#: The end of a sentence, and not the dot of "1." or "div.".
_END = re.compile(r"(?:(?<=[^\W\d_]{4})\.|[!?])['\"’”)]*(?= )")

#: Signs of a music font for levels, which other fonts lack (SMuFL 1.4, "Dynamics"; Unicode).
_LEVELS = {
    0xE520: "p",
    0xE521: "m",
    0xE522: "f",
    0xE523: "r",
    0xE524: "s",
    0xE525: "z",
    0xE526: "n",
    0xE527: "pppppp",
    0xE528: "ppppp",
    0xE529: "pppp",
    0xE52A: "ppp",
    0xE52B: "pp",
    0xE52C: "mp",
    0xE52D: "mf",
    0xE52E: "pf",
    0xE52F: "ff",
    0xE530: "fff",
    0xE531: "ffff",
    0xE532: "fffff",
    0xE533: "ffffff",
    0xE534: "fp",
    0xE535: "fz",
    0xE536: "sf",
    0xE537: "sfp",
    0xE538: "sfpp",
    0xE539: "sfz",
    0xE53A: "sfzp",
    0xE53B: "sffz",
    0xE53C: "rf",
    0xE53D: "rfz",
    0x1D18C: "r",
    0x1D18D: "s",
    0x1D18E: "z",
    0x1D18F: "p",
    0x1D190: "m",
    0x1D191: "f",
}


def cleaned(text: str) -> str:
    """Return a text with line feeds only and without characters that no document can hold."""
    return _UNFIT.sub("", _LINES.sub("\n", text))


def paragraphs(text: str) -> tuple[str, ...]:
    """Return the paragraphs of a text; single line breaks inside them stay."""
    return tuple(filter(None, (one.strip() for one in _PARAGRAPHS.split(cleaned(text)))))


def one_line(text: str) -> str:
    """Return a text in one line, its blank space closed up."""
    return " ".join(cleaned(text).split())


def lettered(text: str) -> str:
    """Return a text with levels in letters where it has them in signs of a music font."""
    return text.translate(_LEVELS)


def shortened_to(text: str, most: int) -> str:
    """Return the beginning of a text in one line: its first sentence, or as many words as fit.

    What is cut ends in "…"; the result has at most `most` characters.
    """
    words = one_line(text)
    for end in _END.finditer(words, 0, most):
        if words[end.end() + 1].isupper():
            return words[: end.end()]
    if len(words) <= most:
        return words
    cut = words[:most]
    whole = cut.rpartition(" ")[0]
    return f"{(whole or cut[:-1]).rstrip(' .,;:–-')}…" if len(whole) < most else cut


def direction(text: str) -> str:
    """Return "rtl" where a text's first letter runs from right to left, else "ltr".

    As `dir="auto"` does (HTML Living Standard), which not every maker of pages knows.
    """
    strong = (bidirectional(one) for one in text)
    first = next((one for one in strong if one in ("L", "R", "AL")), "L")
    return "ltr" if first == "L" else "rtl"
