"""The phrase book of a season: searched, suggested where it fits, taken out and brought in."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from redstave import store
from redstave.app.files import write_whole
from redstave.app.phrase_text import checked, phrases_of, phrases_text
from redstave.app.wordings import filled, fitting
from redstave.base.errors import InputError
from redstave.model.phrase import Phrase
from redstave.model.remark import RemarkKind
from redstave.store import Season

Json = dict[str, object]


class Suggestion(NamedTuple):
    """A wording that fits: of which phrase, which one (index), and its text with all filled in."""

    phrase: str
    variant: int
    text: str


def find_phrases(
    season: Season, words: str = "", check: str = "", criterion: str = ""
) -> tuple[Phrase, ...]:
    """Return the phrases that hold all of the words, fit the check and speak to the criterion."""
    wanted = words.casefold().split()
    return tuple(
        phrase
        for phrase in store.read_phrases(season)
        if all(word in _searched(phrase) for word in wanted)
        and (not check or check in phrase.checks)
        and (not criterion or criterion in phrase.criteria)
    )


def suggestions(
    phrases: Sequence[Phrase],
    fill: Mapping[str, str],
    slug: str = "",
    criterion: str = "",
    kind: RemarkKind | None = None,
) -> tuple[Suggestion, ...]:
    """Return the wordings that fit a remark, one for each phrase, the most fitting first.

    A phrase for the check comes before one that only speaks to the criterion; phrases of another
    kind come after those of the same; among equals the one used least is first, so that letters do
    not repeat themselves.
    """
    ranked = []
    for at, phrase in enumerate(phrases):
        for_check = bool(slug) and slug in phrase.checks
        for_criterion = bool(criterion) and criterion in phrase.criteria and not phrase.checks
        variant = fitting(phrase, fill)
        text = None if variant is None else filled(phrase.variants[variant], fill)
        if (for_check or for_criterion) and variant is not None and text:
            rank = (not for_check, kind not in (None, phrase.kind), sum(phrase.used), at)
            ranked.append((rank, Suggestion(phrase.id, variant, text)))
    return tuple(one for _, one in sorted(ranked))


def phrase_named(season: Season, name: str) -> Phrase:
    """Return a phrase by its name; InputError where the book has none."""
    found = [one for one in store.read_phrases(season) if one.id == name]
    if not found:
        raise InputError(f'there is no phrase "{name}"; "redstave phrases list" shows the book')
    return found[0]


def add_phrase(season: Season, phrase: Phrase) -> None:
    """Add a phrase to the book, or put it in the place of the one of its name."""
    store.write_phrases(season, [checked(phrase)])


def export_phrases(season: Season, path: Path) -> int:
    """Write the phrase book into a file and return how many phrases it holds."""
    phrases = store.read_phrases(season)
    try:
        write_whole(path, phrases_text(phrases))
    except OSError as error:
        raise InputError(f"{path} cannot be written ({error.strerror}); choose another") from error
    return len(phrases)


def import_phrases(season: Season, path: Path) -> int:
    """Bring the phrases of a file into the book; all or, if one is faulty, none. Return how many.

    A phrase takes the place of the one of its name.
    """
    try:
        text = path.read_bytes().decode("utf-8")
    except OSError as error:
        raise InputError(f"{path} cannot be read ({error.strerror}); check the name") from error
    except UnicodeDecodeError as error:
        raise InputError(f"{path} is not UTF-8 text; save it as UTF-8") from error
    phrases = phrases_of(text, path.name)
    store.write_phrases(season, phrases)
    return len(phrases)


def phrase_json(phrase: Phrase) -> Json:
    """Return a phrase as plain data; see docs/json.md."""
    return {
        "id": phrase.id,
        "kind": str(phrase.kind),
        "checks": list(phrase.checks),
        "criteria": list(phrase.criteria),
        "variants": [
            {"text": text, "used": used}
            for text, used in zip(phrase.variants, _padded(phrase), strict=True)
        ],
    }


def _padded(phrase: Phrase) -> tuple[int, ...]:
    return (*phrase.used, *(0 for _ in phrase.variants))[: len(phrase.variants)]


def _searched(phrase: Phrase) -> str:
    return " ".join((phrase.id, *phrase.variants, *phrase.checks, *phrase.criteria)).casefold()
