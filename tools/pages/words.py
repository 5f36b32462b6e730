"""The pages of the words that are understood: what players read, and how parts are named."""

import tomllib
from collections.abc import Iterator, Mapping
from importlib.resources import files
from typing import Any

from redstave.instruments.lexicon import LANGUAGES
from tools.pages.markdown import NOTICE, table

LANGUAGE = {"en": "English", "it": "Italian", "de": "German", "fr": "French"}
TITLES = {
    "technique": "Techniques",
    "level": "Levels",
    "sharing": "Who plays",
    "tempo": "Tempo",
}
WORDS = f"""\
{NOTICE}
# The words players read

Words over the stave tell players what to do, and Redstave reads those of this page as they do:
common practice, no source. Accents, capitals and full stops do not matter, except that a single
capital is no level; the longest phrase counts. What is not here is printed in the stand and changes
nothing. Tempo words without a number, and what is assumed for them, are among
[the numbers](../sources/tempo.md); names of instruments have [a page of their own](names.md).

"""
NAMES = f"""\
{NOTICE}
# The names of parts

A part's instrument is read from its name, then from its abbreviation, then from what the file says
for playback. Plurals, numbers ("III. IV", "2nd", "Secondi"), keys ("in F", "in Si bémol"),
doublings ("poi Piccolo") and sections ("div. in 4") are read beside these names; what is not
understood is asked about, and an instrument that is not recognised is never guessed.

"""


def pages() -> dict[str, str]:
    """Return the page of words and the page of names."""
    return {"words/index.md": _words(), "words/names.md": _names()}


def _words() -> str:
    said = tomllib.loads(files("redstave.players").joinpath("words.toml").read_text("utf-8"))
    text = WORDS
    for heading, title in TITLES.items():
        rows = [(meaning, ", ".join(words)) for meaning, words in _flat(said[heading])]
        text += f"## {title}\n\n{table(('meaning', 'words'), rows)}\n"
    return text.rstrip("\n") + "\n"


def _flat(meanings: Mapping[str, Any]) -> Iterator[tuple[str, list[str]]]:
    for meaning, words in meanings.items():
        if isinstance(words, Mapping):
            bound = meaning == "manner"
            yield from (
                (_bound(name) if bound else name, list(more)) for name, more in words.items()
            )
        else:
            string = meaning.removeprefix("string-").upper()
            told = f"on the {string} string" if meaning.startswith("string-") else meaning
            yield told.replace("-", " "), list(words)


def _bound(level: str) -> str:
    return f"{level} at {'most' if level.startswith('p') else 'least'}"


def _names() -> str:
    tables = {language: _vocabulary(language) for language in LANGUAGES}
    known = dict.fromkeys(name for one in tables.values() for name in one)
    rows = [
        (name.replace("-", " "), *(_forms(tables[one].get(name, {})) for one in LANGUAGES))
        for name in known
    ]
    head = ("instrument", *(LANGUAGE[one] for one in LANGUAGES))
    return NAMES + table(head, rows)


def _vocabulary(language: str) -> dict[str, Mapping[str, list[str]]]:
    path = files("redstave.instruments").joinpath("vocabulary", f"{language}.toml")
    found: dict[str, Mapping[str, list[str]]] = tomllib.loads(path.read_text("utf-8"))[
        "instruments"
    ]
    return found


def _forms(forms: Mapping[str, list[str]]) -> str:
    return ", ".join(word for form in ("one", "many", "short") for word in forms.get(form, ()))
