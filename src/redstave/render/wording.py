"""Sentences from findings: templates as data, one TOML file per family of checks.

A template may name, in braces, any fact of the finding and any of its evidence (the quantity's
name with underscores: "strokes a second" becomes `{strokes_a_second}`, value with unit), and
always `{bars}`, `{parts}` and `{instrument}`. A name that the finding does not supply is an
error, never a gap in a sentence. `{parts:have|has}` gives the form of a verb that goes with the
parts: the first for several players, the second for one name in the singular.
"""

import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from functools import cache
from importlib.resources import files
from string import Formatter

from redstave.base.errors import DataError
from redstave.instruments import resolve_name
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.score import Score
from redstave.players.lines import printed_name

FOLDER = "wording"
MOST_BARS = 8  # stretches named before the rest is counted
MOST_PARTS = 5
OTHER_EDITION = (
    "This was found by another edition of Redstave, whose words are not known here; compute the "
    "entry again to read it."
)


class Names(str):
    """Names of parts or notes that know their number.

    Formatted as "have|has" they give the fitting verb.
    """

    plural: bool

    def __new__(cls, words: str, plural: bool) -> "Names":
        """Keep the words and whether a verb after them stands in the plural."""
        names = super().__new__(cls, words)
        names.plural = plural
        return names

    def __format__(self, form: str) -> str:
        many, bar, one = form.partition("|")
        if not bar:
            return super().__format__(form)
        return many if self.plural else one


@dataclass(frozen=True, slots=True)
class Wording:
    """The words for one check, as templates or filled for one finding."""

    title: str
    statement: str
    question: str
    why: str
    way_out: str


@cache
def wordings() -> Mapping[str, Wording]:
    """Load every template by the slug of its check; raises DataError for a faulty file."""
    found: dict[str, Wording] = {}
    for file in sorted(files("redstave.render").joinpath(FOLDER).iterdir(), key=lambda f: f.name):
        if not file.name.endswith(".toml"):
            continue
        for slug, table in tomllib.loads(file.read_text(encoding="utf-8")).items():
            if slug in found:
                raise DataError(f"{file.name}: the words for {slug} are given twice")
            found[slug] = _wording(table, f"{file.name}, {slug}")
    return found


def words_for(finding: Finding, score: Score) -> Wording:
    """Fill the templates of a finding's check; raises DataError where a fact is missing."""
    template = wordings().get(finding.slug)
    if template is None:
        raise DataError(f"there are no words for the check {finding.slug}")
    words = placeholders(finding, score)
    return Wording(
        *(_filled(getattr(template, field.name), words, finding.slug) for field in fields(template))
    )


def kept_words(finding: Finding, score: Score) -> Wording:
    """Return the words for a finding of a kept review.

    One that another edition of Redstave has found may lack what our templates ask for, or come from
    a check we no longer have: then its name is told, and that the entry should be computed anew.
    """
    try:
        return words_for(finding, score)
    except DataError:
        title = finding.slug.replace("-", " ").capitalize()
        return Wording(title, OTHER_EDITION, OTHER_EDITION, "", "")


def can_be_told(finding: Finding) -> bool:
    """Tell whether a finding supplies all that its words ask for.

    One that an earlier Redstave has found need not.
    """
    template = wordings().get(finding.slug)
    if template is None:
        return False
    known = {"bars", "parts", "instrument", *dict(finding.facts)}
    known |= {_name(item.quantity) for item in finding.evidence}
    asked = {
        name
        for field in fields(template)
        for _, name, _, _ in Formatter().parse(getattr(template, field.name))
        if name
    }
    return asked <= known


def sentence(words: Wording, claim: Claim) -> str:
    """Return the form a claim may speak in: only a question asks."""
    return words.question if claim is Claim.QUESTION else words.statement


def placeholders(finding: Finding, score: Score) -> dict[str, str]:
    """Return every name a template may use for this finding."""
    parts = part_list(finding.spots, score)
    words = {"bars": bar_list(finding.spots, score), "parts": parts, "instrument": parts}
    words |= {_name(item.quantity): quantity(item) for item in finding.evidence}
    words |= dict(finding.facts)
    if "notes" in words:
        words["notes"] = Names(words["notes"], " and " in words["notes"])
    return words


def bar_list(spots: Iterable[Spot], score: Score) -> str:
    """Return "bar 5" or "bars 3–5, 9 and 12", in order, overlapping stretches joined."""
    stretches: list[tuple[int, int]] = []
    for first, last in sorted((spot.bar, max(spot.bar, spot.last_bar)) for spot in spots):
        if stretches and first <= stretches[-1][1] + 1:
            stretches[-1] = (stretches[-1][0], max(last, stretches[-1][1]))
        else:
            stretches.append((first, last))
    names = [_stretch(first, last, score) for first, last in stretches]
    single = len(stretches) == 1 and stretches[0][0] == stretches[0][1]
    return f"{'bar' if single else 'bars'} {listed(names, MOST_BARS)}"


def part_list(spots: Iterable[Spot], score: Score) -> Names:
    """Return the names of the parts concerned, in the order of the page."""
    concerned = {spot.part for spot in spots}
    names = [printed_name(part) for part in score.parts if part.id in concerned]
    different = list(dict.fromkeys(names))
    plural = len(different) > 1 or any(map(_several, different))
    return Names(listed(different, MOST_PARTS), plural)


def _several(name: str) -> bool:
    """Tell whether a printed name stands for several players in so many words: "Horn 1. 2"."""
    naming = resolve_name(name)
    return naming.plural or naming.players > 1


def bar_name(index: int, score: Score) -> str:
    """Return a bar's number as printed, or its place in the file where none is printed."""
    bar = score.bars[index]
    return bar.number or str(bar.index + 1)


def listed(names: Sequence[str], most: int) -> str:
    """Return "a, b and c"; beyond `most` names the rest is counted."""
    if len(names) > most + 1:
        return f"{', '.join(names[:most])} and {len(names) - most} more"
    return " and ".join(filter(None, [", ".join(names[:-1]), *names[-1:]]))


def quantity(item: Evidence) -> str:
    """Return a measured value with its unit: "6.2 dB", "14 strokes a second"."""
    return measured(item.value, item.unit)


def measured(value: float | int | str, name: str) -> str:
    """Return a value with its unit as one reads it: "6.2 dB", "1 note", "96 % of time"."""
    if isinstance(value, str):
        return f"{value} {name}".strip()
    if name == "ratio":
        return f"{number(value)} : 1"
    if name.startswith("share"):
        return f"{number(round(100 * value))} %{name.removeprefix('share')}"
    return f"{number(value)} {unit(name, value)}".strip()


def unit(name: str, value: float | int | str) -> str:
    """Return a unit in the singular where the value is one: "1 note", "2 entries"."""
    if value != 1 or len(name) < 3 or not name.endswith("s"):
        return name
    return f"{name[:-3]}y" if name.endswith("ies") else name[:-1]


def number(value: float | int | str) -> str:
    """Return a number with two or three figures that matter and a true minus sign."""
    if isinstance(value, str):
        return value
    decimals = 2 if abs(value) < 1 else 1 if abs(value) < 100 else 0
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.replace("-", "−") if text != "-0" else "0"


def _wording(table: object, where: str) -> Wording:
    names = [field.name for field in fields(Wording)]
    if not isinstance(table, dict) or sorted(table) != sorted(names):
        raise DataError(f"{where}: expected exactly {', '.join(names)}")
    if not all(isinstance(value, str) and value.strip() for value in table.values()):
        raise DataError(f"{where}: every text must be a sentence")
    return Wording(**table)


def _filled(template: str, words: Mapping[str, str], slug: str) -> str:
    try:
        text = template.format_map(words)
    except (KeyError, IndexError, ValueError, AttributeError) as error:
        raise DataError(f"the words for {slug} need {error}, which the finding lacks") from error
    text = re.sub(r"(?<!\.)\.\.(?!\.)", ".", " ".join(text.split()))  # after "VIOLINO 1°."
    return text[:1].upper() + text[1:]


def _stretch(first: int, last: int, score: Score) -> str:
    if first == last:
        return bar_name(first, score)
    return f"{bar_name(first, score)}–{bar_name(last, score)}"


def _name(quantity_name: str) -> str:
    return re.sub(r"\W+", "_", quantity_name).strip("_")
