"""The pages of the checks: what each looks for, in its own words, and the examples that test it."""

import re
import textwrap
from importlib import resources

from redstave.acoustics.tables import bibliography as hearing_sources
from redstave.analysis.tables import bibliography as table_sources
from redstave.base.citation import Bibliography, read_bibliography
from redstave.checks import catalogue
from redstave.checks.explaining import Reach, rules
from redstave.checks.pages import summary
from redstave.checks.registry import HEADINGS, Check
from redstave.instruments.book import bibliography as instrument_sources
from redstave.model.finding import Claim
from redstave.render.sources import bibliography
from redstave.render.wording import wordings
from tools.examples import original_of, path_of
from tools.pages.markdown import NOTICE, table

#: Where a finding must stand for another to explain it, by the reach of the rule.
NEAR = {
    Reach.BARS: "in the same bars and parts",
    Reach.ONWARD: "in the same part, as long as it is told no new level",
    Reach.PART: "in the same part",
    Reach.SCORE: "anywhere, if they rest on it",
}

INDEX = f"""\
{NOTICE}
# What is looked for

Each check has a page with the same headings: what it reports, why it matters, how it is computed,
where its limits are, and its sources; then its thresholds, the words it speaks in, and two scores,
one in which it speaks and one in which it is silent. The program is tested with the very scores
shown. In the terminal, `redstave checks` lists them all and `redstave checks NAME` shows one page.

All but those that say *stable* on their page are on trial: what they report may still change.

"""


def pages() -> dict[str, str]:
    """Return a page for each check, and their index."""
    checks = catalogue()
    found = {f"checks/{slug}.md": _page(check) for slug, check in checks.items()}
    return found | {"checks/index.md": _index(list(checks.values()))}


def _index(checks: list[Check]) -> str:
    text = INDEX
    for family in sorted({check.family for check in checks}):
        rows = [
            (
                f"[{wordings()[check.slug].title}]({check.slug}.md)<br>`{check.slug}`",
                str(check.claim),
                summary(check) + ("" if check.on else " *Off unless asked for.*"),
            )
            for check in checks
            if check.family == family
        ]
        text += f"## {family.capitalize()}\n\n"
        text += table(("check", "claims", "reports"), rows) + "\n"
    return text.rstrip() + "\n"


def _state(check: Check) -> str:
    return str(check.status) if check.on else f"{check.status}, off by default"


def _page(check: Check) -> str:
    words = wordings()[check.slug]
    parts = [
        f"{NOTICE}\n# {words.title}",
        f"`{check.slug}` · {check.family} · claims: {check.claim} · {_state(check)}",
        *_sections(check),
        _settings(check),
        _explains(check),
        _speaks(check),
        _examples(check),
    ]
    return "\n\n".join(part for part in parts if part).rstrip() + "\n"


def _sections(check: Check) -> list[str]:
    """Return the docstring's first line and its sections under second-level headings."""
    found, heading, body = [], "", list[str]()
    for line in [*check.text.splitlines(), ""]:
        if line in HEADINGS:
            found.append(_section(heading, body))
            heading, body = line, []
        else:
            body.append(line)
    found.append(_section(heading, body))
    found[-1] += "\n\n" + _sources(check)
    return found


def _section(heading: str, body: list[str]) -> str:
    text = textwrap.dedent("\n".join(body)).strip()
    return f"## {heading}\n\n{text}" if heading else text


def _sources(check: Check) -> str:
    return "\n".join(f"- {source_link(key)}: {bibliography()[key].title}" for key in check.sources)


def source_page(key: str) -> str:
    """Return the name of the page that lists a source; ValueError if none does."""
    shelves = {
        "checks": check_sources(),
        "trade": table_sources(),
        "instruments": instrument_sources(),
        "hearing": hearing_sources(),
    }
    for name, sources in shelves.items():
        if key in sources:
            return f"{name}.md"
    raise ValueError(f"the source {key} is in no bibliography")


def check_sources() -> Bibliography:
    """Return the bibliography of the checks."""
    text = (resources.files("redstave.checks") / "sources.toml").read_text("utf-8")
    return read_bibliography(text)


def source_link(key: str) -> str:
    """Return a link to a source, seen from the page of a check."""
    return f"[{key}](../sources/{source_page(key)}#{key})"


def _settings(check: Check) -> str:
    if not check.settings:
        return ""
    rows = [
        (
            f"`{setting.name}`",
            f"{setting.default:g}",
            setting.unit,
            setting.meaning,
            source_link(setting.source),
        )
        for setting in check.settings
    ]
    head = ("setting", "default", "unit", "meaning", "source of the default")
    return f"## Settings\n\n{table(head, rows)}"


#: The place of a verb that goes with the parts; the page shows the form for several players.
VERB = re.compile(r"\{(?:parts|notes):([A-Za-z ]+)\|[A-Za-z ]+\}")


def _explains(check: Check) -> str:
    """Return what a finding of this check explains, and what explains one, with the reasons."""
    mine = [rule for rule in rules() if rule.cause == check.slug]
    others = [rule for rule in rules() if check.slug in rule.others]
    lines = [
        f"It explains findings of {_links(sorted(rule.others))} that stand {NEAR[rule.reach]}, "
        f"because {rule.why}."
        for rule in mine
    ]
    lines += [
        f"It is explained by {_links([rule.cause])} that stands {NEAR[rule.reach]}, "
        f"because {rule.why}."
        for rule in others
    ]
    return "## What it hangs together with\n\n" + "\n\n".join(lines) if lines else ""


def _links(slugs: list[str]) -> str:
    return ", ".join(f"[{slug}]({slug}.md)" for slug in slugs)


def _speaks(check: Check) -> str:
    words = wordings()[check.slug]
    said = {
        "As a statement": words.statement,
        "As a question": words.question,
        "Why": words.why,
        "A way out": words.way_out,
    }
    lines = [f"*{name}.* {VERB.sub(lambda verb: verb[1], text)}" for name, text in said.items()]
    note = "In braces stands what is filled in from the score."
    return "\n\n".join(["## What it says", note, *lines])


def _examples(check: Check) -> str:
    speaks, silent = ("good", "bad") if check.claim is Claim.CREDIT else ("bad", "good")
    return "\n\n".join(
        [
            "## Examples",
            "In the short notation of Redstave's tests.",
            *_original(check.slug),
            _example(check.slug, speaks, "Here it speaks"),
            _example(check.slug, silent, "Here it is silent"),
        ]
    )


def _original(slug: str) -> list[str]:
    """Return the piano piece that both examples are set beside, where there is one."""
    path = original_of(slug)
    if path is None:
        return []
    text = path.read_text("utf-8").strip()
    return [f"### The piano piece they were made from\n\n```tiny\n{text}\n```"]


def _example(slug: str, kind: str, heading: str) -> str:
    text = path_of(slug, kind).read_text("utf-8").strip()
    return f"### {heading}\n\n<!-- picture: {slug}/{kind} -->\n\n```tiny\n{text}\n```"
