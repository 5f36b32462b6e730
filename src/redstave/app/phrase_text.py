"""The phrase book as plain text: easy to read and to write by hand, and lossless both ways.

::

    ; lines that begin with a semicolon are for the reader only
    phrase tune-lost
    kind: question
    checks: tune-covered, tune-submerged
    criteria: balance
    - {bars}: I lose the tune here. Is {who} meant to lead?
    - First line of another wording;
      its next line begins with two spaces, and a line with ¶ is an empty one.
"""

import re
from collections.abc import Iterable, Sequence
from functools import cache
from importlib.resources import files
from string import Formatter

from redstave.base.errors import InputError
from redstave.model.phrase import PLACE_HOLDERS, Phrase
from redstave.model.remark import RemarkKind

EMPTY = "¶"  # stands for an empty line of a wording; one more where the line holds such signs only
_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_HEAD = ("kind", "checks", "criteria", "used")


def phrases_text(phrases: Sequence[Phrase]) -> str:
    """Return a phrase book as text, from which `phrases_of` makes the same phrases."""
    return "\n".join(map(_phrase_text, phrases))


def phrases_of(text: str, where: str) -> tuple[Phrase, ...]:
    """Return the phrases in a text; InputError names the line and what was expected there."""
    blocks: list[list[tuple[int, str]]] = []
    for number, line in enumerate(text.removeprefix("\ufeff").split("\n"), 1):
        bare = line.removesuffix("\r")
        if not bare.strip() or bare.startswith(";"):
            continue
        if bare.startswith("phrase "):
            blocks.append([])
        if not blocks:
            raise InputError(f'{where}, line {number}: expected "phrase" and a name first')
        blocks[-1].append((number, bare))
    found = tuple(_phrase(block, where) for block in blocks)
    ids = [phrase.id for phrase in found]
    twice = [one for one in ids if ids.count(one) > 1]
    if twice:
        raise InputError(f'{where}: the phrase "{twice[0]}" stands there twice')
    return found


@cache
def starter_phrases() -> tuple[Phrase, ...]:
    """Return the phrases that come with Redstave."""
    text = files("redstave.app").joinpath("starter", "phrases.txt").read_text("utf-8")
    return phrases_of(text, "phrases.txt")


def checked(phrase: Phrase) -> Phrase:
    """Return a phrase that can be kept; InputError says what is wrong with it."""
    if not _ID.fullmatch(phrase.id):
        raise InputError(
            f'"{phrase.id}" cannot be the name of a phrase; write small letters, digits and hyphens'
        )
    if not phrase.variants or not all(one.strip() for one in phrase.variants):
        raise InputError(f"the phrase {phrase.id} has no words; give it at least one wording")
    for variant in phrase.variants:
        for name in names_in(variant, phrase.id):
            if name not in PLACE_HOLDERS:
                raise InputError(
                    f"the phrase {phrase.id} leaves {{{name}}} open, which nothing fills; "
                    f"it may leave open {', '.join(f'{{{one}}}' for one in PLACE_HOLDERS)}"
                )
    return phrase


def names_in(variant: str, where: str) -> tuple[str, ...]:
    """Return the place-holders of a wording; braces that are meant as such are doubled."""
    try:
        pieces = list(Formatter().parse(variant))
    except ValueError as error:
        raise InputError(
            f"the phrase {where} has a brace that is never closed; double it if it is meant"
        ) from error
    if any(spec or conversion for _, _, spec, conversion in pieces):
        raise InputError(f"the phrase {where}: write only a name in braces, such as {{bars}}")
    return tuple(name for _, name, _, _ in pieces if name is not None)


def _phrase_text(phrase: Phrase) -> str:
    lines = [f"phrase {phrase.id}", f"kind: {phrase.kind}"]
    if phrase.checks:
        lines.append(f"checks: {', '.join(phrase.checks)}")
    if phrase.criteria:
        lines.append(f"criteria: {', '.join(phrase.criteria)}")
    if any(phrase.used):
        lines.append(f"used: {', '.join(map(str, phrase.used))}")
    for variant in phrase.variants:
        first, *rest = variant.split("\n")
        lines += [f"- {_escaped(first)}", *(f"  {_escaped(line)}" for line in rest)]
    return "\n".join(lines) + "\n"


def _escaped(line: str) -> str:
    return line + EMPTY if not line.strip(EMPTY) else line


def _unescaped(line: str) -> str:
    return line.removesuffix(EMPTY) if line and not line.strip(EMPTY) else line


def _phrase(block: Sequence[tuple[int, str]], where: str) -> Phrase:
    (_, first), *rest = block
    head: dict[str, str] = {}
    variants: list[list[str]] = []
    for number, line in rest:
        key, colon, value = line.partition(":")
        if line.startswith("- "):
            variants.append([_unescaped(line[2:])])
        elif line.startswith("  ") and variants:
            variants[-1].append(_unescaped(line[2:]))
        elif colon and key in _HEAD and key not in head and not variants:
            head[key] = value.strip()
        else:
            raise InputError(
                f"{where}, line {number}: expected {', '.join(_HEAD)} with a colon, or a wording "
                'that begins with "- "'
            )
    made = Phrase(
        first.removeprefix("phrase ").strip(),
        _kind(head.get("kind", ""), where, block[0][0]),
        tuple("\n".join(lines) for lines in variants),
        _listed(head.get("checks", "")),
        _listed(head.get("criteria", "")),
        _counts(_listed(head.get("used", "")), len(variants), where, block[0][0]),
    )
    try:
        return checked(made)
    except InputError as error:
        raise InputError(f"{where}, line {block[0][0]}: {error}") from error


def _kind(text: str, where: str, line: int) -> RemarkKind:
    try:
        return RemarkKind(text)
    except ValueError:
        kinds = ", ".join(RemarkKind)
        raise InputError(f"{where}, line {line}: its kind must be one of {kinds}") from None


def _counts(words: Iterable[str], variants: int, where: str, line: int) -> tuple[int, ...]:
    counts = list(words)
    if not counts:
        return (0,) * variants
    if len(counts) != variants or not all(word.isdecimal() for word in counts):
        raise InputError(f"{where}, line {line}: used must be one number for each wording")
    return tuple(map(int, counts))


def _listed(text: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in text.split(",") if word.strip())
