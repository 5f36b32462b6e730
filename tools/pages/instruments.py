"""The pages of instruments and halls: every number of the data, with where it is from."""

from collections.abc import Mapping

from redstave.base.citation import Cited
from redstave.instruments import load
from redstave.instruments.book import NOT_INSTRUMENTS, cited_file
from redstave.instruments.record import Instrument
from tools.pages.markdown import NOTICE, NUMBERS_HEAD, number_row, number_rows, table

SOURCES = "../sources/instruments.md"
FAMILIES = {
    "woodwind": "Woodwind",
    "brass": "Brass",
    "percussion": "Percussion",
    "harp": "Harp",
    "keyboard": "Keyboards",
    "strings": "Strings",
    "voice": "Voices",
}
HEAD_WORDS = ("id", "name", "family", "kind", "seat")
TITLES = {"halls": "Halls and seats", "conventions": "What holds for all"}
MARKS = "at pp, p, mp, mf, f, ff"
LABELS = {
    "pitch.practical": "practical range, sounding",
    "pitch.extreme": "extreme range, sounding",
    "pitch.registers": "first notes of the middle and the upper register",
    "pitch.transpositions": "from written to sounding pitch",
    "level.power": f"sound power of one player {MARKS}",
    "level.bounds": "softest and loudest sound power",
    "level.tilt": "louder with each octave up",
    "level.by_pitch": "louder at a pitch",
    "spectrum.form": "kind of spectrum",
    "spectrum.marks": "levels for which the spectrum is known",
    "spectrum.corner": "corner of the spectral envelope at these levels",
    "spectrum.rise": "rise below the corner",
    "spectrum.fall": "fall above the corner",
    "spectrum.even_drop": "even partials weaker by",
    "spectrum.even_below": "even partials are weak below",
    "spectrum.ratios": "frequencies of the modes, the first being 1",
    "spectrum.levels": "levels of the modes",
    "radiation.front_gain": "direct sound to the front at 250, 500, 1000, 2000, 4000 Hz",
    "decay.attack": "time of the attack",
    "decay.t60": "time to fall by 60 dB",
    "section.players": "usual players of a section",
    "section.effort": "a player among many is louder by",
    "section.effort_from": "from so many players on",
    "power": f"sound power of one player {MARKS}",
    "t60": "time to fall by 60 dB",
    "filter": "gain at a frequency in Hz",
    "fall": "steeper above the corner by",
    "listener": "listener's distance from the stage front",
    "reverberation": "reverberation time, mid frequencies",
}

INDEX = f"""\
{NOTICE}
# Instruments and halls

What Redstave takes each instrument and hall to be: every number it computes with, its unit, its
uncertainty (one standard deviation), its source, and [how it is known](../sources/index.md).
Levels are sound power levels of one player in dB re 1 pW; pitches are sounding, C4 being middle C.
Whoever has a better number is welcome to put it in: each stands in one place, a data file of
`src/redstave/instruments/data`.

"""


def pages() -> dict[str, str]:
    """Return a page for each family, one for halls and one for conventions, and their index."""
    book = load()
    by_family: dict[str, list[Instrument]] = {}
    for id_ in book:
        by_family.setdefault(book[id_].family, []).append(book[id_])
    found = {
        f"instruments/{family}.md": _family(family, members)
        for family, members in by_family.items()
    }
    for name in _others():
        found[f"instruments/{name}.md"] = _other(_other_title(name), cited_file(f"{name}.toml"))
    return found | {"instruments/index.md": _index(by_family)}


def _others() -> list[str]:
    """Return the data files that are no instruments, by name without ending."""
    return sorted(name.removesuffix(".toml") for name in NOT_INSTRUMENTS - {"sources.toml"})


def _other_title(name: str) -> str:
    return TITLES.get(name, name.replace("_", " ").capitalize())


def _index(by_family: Mapping[str, list[Instrument]]) -> str:
    order = [family for family in FAMILIES if family in by_family]
    order += sorted(by_family.keys() - FAMILIES.keys())
    text = INDEX
    for family in order:
        rows = [_line(one, family) for one in sorted(by_family[family], key=lambda one: one.name)]
        head = ("instrument", "id", "practical range", "mf")
        text += f"## {_title(family)}\n\n{table(head, rows)}\n"
    others = (f"- [{_other_title(name)}]({name}.md)\n" for name in _others())
    return text + "## Besides\n\n" + "".join(others)


def _line(one: Instrument, family: str) -> tuple[str, str, str, str]:
    pitch = cited_file(f"{one.id}.toml").get("pitch", {})
    practical = pitch.get("practical") if isinstance(pitch, Mapping) else None
    compass = number_row("", practical, SOURCES)[1] if practical else ""
    return (
        f"[{one.name}]({family}.md#{one.id})",
        f"`{one.id}`",
        compass,
        f"{one.level.power[3]:g} dB",
    )


def _title(family: str) -> str:
    return FAMILIES.get(family, family.capitalize())


def _family(family: str, members: list[Instrument]) -> str:
    text = f"{NOTICE}\n# {_title(family)}\n\n[All instruments](index.md)\n\n"
    for one in sorted(members, key=lambda one: one.name):
        text += _instrument(one)
    return text


def _instrument(one: Instrument) -> str:
    tree = cited_file(f"{one.id}.toml")
    numbers = {key: item for key, item in tree.items() if key not in HEAD_WORDS}
    return (
        f'<a id="{one.id}"></a>\n\n## {one.name}\n\n'
        f"`{one.id}`, {one.kind}; sits with: {one.seat}.\n\n{_numbers(numbers)}\n"
    )


def _other(title: str, tree: Mapping[str, Cited]) -> str:
    text = f"{NOTICE}\n# {title}\n\n[All instruments](index.md)\n\n"
    for key, item in tree.items():
        name = item.get("name", "") if isinstance(item, Mapping) else ""
        section = {key: item} if not isinstance(item, Mapping) else item
        text += f"## {name or key.replace('_', ' ')}\n\n{_numbers(section)}\n"
    return text


def _numbers(tree: Mapping[str, Cited]) -> str:
    return table(NUMBERS_HEAD, number_rows(tree, LABELS, SOURCES))
