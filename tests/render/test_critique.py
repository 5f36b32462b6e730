"""The finished letter as a page: complete, in order, self-contained, safe, and always the same."""

import re
from collections import Counter

import pytest

from redstave.model.finding import Spot
from redstave.model.remark import RemarkKind, Weight
from redstave.render.critique import critique, css_string
from redstave.render.critique_compose import compose_critique
from redstave.render.critique_pictures import Medium
from redstave.render.critique_view import Strip
from tests.render.letters import (
    EVIL,
    LONG_WORD,
    RTL,
    TRIAL,
    analysis,
    bare,
    from_finding,
    hostile,
    letter,
    made,
    many,
    remark,
    review,
)
from tests.render.quay import quay_page
from tests.render.test_letter import Reader, read


@pytest.fixture(scope="module")
def html() -> str:
    """A letter with a remark of every kind and weight."""
    return made(letter()).html()


def check_page(html: str) -> Reader:
    """Return a page as read; it is well-formed, leads nowhere outside and runs nothing."""
    found = read(html)
    assert [one for one, count in Counter(found.ids).items() if count > 1] == []
    for tag, name, value in found.attributes:
        assert not name.startswith("on"), (tag, name)
        targets = [value[1:]] if name == "href" else []
        targets += value.split() if name == "aria-labelledby" else []
        assert set(targets) <= set(found.ids), (tag, name, value)
    forbidden = {"script", "iframe", "object", "embed", "link", "image", "form", "base"}
    assert not forbidden & found.tags.keys()
    outside = re.sub(r"url\(data:[^)]*\)|\"data:[^\"]*\"", "", html)
    assert not re.search(r"""(?:src|href|url\()\s*=?["']?\s*(?:https?:|//)""", outside)
    return found


def test_the_page_is_whole_and_keeps_to_itself(html: str) -> None:
    """It is well-formed, without script, and every link inside it leads somewhere."""
    found = check_page(html)
    assert html.startswith("<!DOCTYPE html>")
    assert "default-src 'none'" in html
    assert found.tags["h1"] == found.tags["main"] == found.tags["header"] == 1
    steps = zip(found.headings, found.headings[1:], strict=False)
    assert all(after - before <= 1 for before, after in steps)


def test_its_parts_stand_in_order(html: str) -> None:
    """Opening, strengths, main points, smaller ones, criteria, next step, piece, sources."""
    text = read(html).text
    order = [
        "Thank you for this score.",
        "1 Bar 1 · Flute 1. 2",
        "A clear opening.",
        "Is this meant?",
        "It cannot stay so.",
        "Smaller points, bar by bar 6",
        "Why a rest?",
        "Too low.",
        "By criterion Orchestration",
        "One next step Write bar 3 again",
        "With good wishes,",
        "The whole piece",
        "Sources, and a caution Whatever",
    ]
    places = [text.rindex(words) for words in order]
    assert places == sorted(places)


def test_every_remark_has_its_number_and_anchor(html: str) -> None:
    """Each number stands in the page beside its remark, and can be linked to."""
    found = read(html)
    for number, _ in letter().numbered:
        assert f"remark-{number}" in found.ids


def test_a_main_point_says_all_that_it_should(html: str) -> None:
    """Evidence of the finding, why, way out, criterion, trial with states, and paragraphs."""
    text = read(html).text
    finding = next(one for one in review().faults if one.evidence)
    for words in (
        finding.evidence[0].quantity,
        "What was measured",
        "Why it matters The players will ask.",
        "A way out Write what you mean.",
        "Balance and clarity",
        TRIAL.words[0],
        "covered, −4 ± 5 dB",
        "heard, +7 ± 5 dB",
        "doubtful, +2 ± 4 dB",
    ):
        assert words in text.replace("\N{NO-BREAK SPACE}", " "), words
    assert '<p dir="ltr" class="typed said">Or not?</p>' in html
    assert 'aria-label="Audibility margins before and after.' in html


def test_grades_are_shown_with_bands_points_notes_and_total(html: str) -> None:
    """Points as given, the band they reach, the share of the whole, the note, the total."""
    text = read(html).text
    for words in ("Good 14.5 of 20", "75 % of the whole", "Almost always.", "6 of 10"):
        assert words in text, words
    assert "Altogether 69 of 100" in text  # 75 % of 14.5/20 and 25 % of 6/10
    assert 'aria-label="14.5 of 20 points"' in html


def test_the_teacher_s_places_show_the_very_notes(html: str) -> None:
    """Main points have an excerpt in which their notes are marked."""
    for bar in (1, 3):
        assert re.search(rf'data-n="P1\.{bar}\.0" class="note asked"', html), bar


def test_praise_of_the_whole_has_no_picture() -> None:
    """A strength without notes or few bars, or with a place only in words, needs no excerpt."""
    whole = remark(1, RemarkKind.PRAISE, text="All sings.", spots=(), place="Everywhere")
    view = compose_critique(letter(whole), review(), analysis())
    assert not any(point.requests for point in view.points)


def test_ready_pictures_are_taken_in(html: str) -> None:
    """Strips drawn elsewhere stand on the page of the whole piece, on screen and on paper."""
    head = '<svg class="mine" role="img" aria-label="Carriers" viewBox="0 0 9 9">'
    svg = f'{head}<path d="M0 0"/></svg>'
    strip = Strip("Who carries what", "Each row a voice.", svg, ".mine path { fill: var(--red); }")
    view = compose_critique(letter(), review(), analysis(), (strip,))
    done = critique(view, quay_page())
    assert svg in done.html()
    assert "Who carries what" in read(done.html()).text
    assert 'alt="Carriers"' in done.html(Medium.PAPER)
    assert "Who carries what" not in html


def test_nothing_typed_is_markup() -> None:
    """Brackets, quotes, style ends and template braces are shown as they were typed."""
    html = made(hostile()).html()
    found = check_page(html)
    assert found.tags["img"] == 0
    text = found.text
    assert text.count("alert('x')") > 10
    assert "{{ 7 * 7 }}" in text
    assert RTL in text
    assert LONG_WORD in text
    assert "abcd" in text
    assert html.count("</style>") == 1


@pytest.mark.parametrize("one", [bare(), many(), letter(grades=None), letter(opening="")])
def test_a_letter_may_lack_anything(one: object) -> None:
    """No remarks, no grades, no opening or two hundred small remarks: a page all the same."""
    html = made(one).html()  # type: ignore[arg-type]
    found = check_page(html)
    assert "The ear and the rehearsal decide." in found.text
    assert ("By criterion" in found.text) == bool(getattr(one, "grades", None))


def test_only_the_code_name_is_in_the_head(html: str) -> None:
    """Title and metadata name the entry and nobody else; the score's own title stands nowhere."""
    head = html[: html.index("</head>")]
    assert re.findall(r"<title>(.*?)</title>", head) == ["entry-heron"]
    assert set(re.findall(r'<meta name="([^"]+)"', head)) == {"viewport", "color-scheme"}
    assert "Quill" not in head


def test_suggested_words_are_said_to_be_so() -> None:
    """Words that are not the teacher's own are marked, until he has written his."""
    html = made(letter(suggested=("opening",))).html()
    assert html.count("not yet the teacher") == 1


def test_a_lost_finding_leaves_the_remark() -> None:
    """A remark whose finding is no longer made stands without evidence."""
    lost = letter(from_finding(0), remark(2, finding="0" * 16, text="Still true."))
    text = read(made(lost).html()).text
    assert "Still true." in text
    assert text.count("What was measured") == 1


def test_the_letter_is_the_same_every_time(html: str) -> None:
    """The same values give the same bytes, for screen and paper."""
    again = made(letter())
    assert again.html() == html
    assert again.html(Medium.PAPER) == made(letter()).html(Medium.PAPER)


def test_a_name_in_the_margin_of_the_page_is_a_string() -> None:
    """A code name that looks like CSS stays a string of it."""
    assert css_string('a"; } body { x') == '"a\\22 \\3b  \\7d  body \\7b  x"'
    assert EVIL not in css_string(EVIL)


def test_a_remark_on_whole_bars_names_the_bars_alone() -> None:
    """A place of no part is told by its bars, without excerpt; a lost place is said to be lost."""
    whole = remark(1, RemarkKind.FIX, Weight.MAIN, spots=(Spot(2, 0, "", 0, 3),))
    lost = remark(2, RemarkKind.FIX, Weight.MAIN, spots=(Spot(99, 0, "P1", 1, 99),))
    view = compose_critique(letter(whole, lost), review(), analysis())
    assert [point.place for point in view.main] == [
        "Bars 3–4",
        "A place that this version of the score does not have",
    ]
    assert not any(point.requests for point in view.main)


def test_what_was_taken_up_is_named() -> None:
    """Remarks on an earlier version that this one has answered stand after the opening."""
    old = remark(9, text="The horns are too loud. Bring them down.", place="bars 9–12, Horns")
    text = read(made(letter(answered=(old,))).html()).text
    assert "Taken up since the earlier version bars 9–12, Horns The horns are too loud." in (
        text.replace("\N{NO-BREAK SPACE}", " ")
    )
    assert "Taken up" not in read(made(letter()).html()).text


def test_what_holds_nearly_all_bars_is_of_the_whole_piece() -> None:
    """A finding without notes over nearly all bars names no stave; over a few it does."""
    spots = (Spot(0, 0, "P1", 1, 5),)
    view = compose_critique(
        letter(
            remark(1, spots=spots, finding="x"),
            remark(2, spots=(Spot(0, 0, "P1", 1, 1),), finding="x"),
            remark(3, RemarkKind.PRAISE, spots=(Spot(0, 0, "P1", 1, 1),), finding="x"),
        ),
        review(),
        analysis(),
    )
    assert {point.place for point in view.smaller} == {"The whole piece", "Bars 1–2 · Flute 1. 2"}
    assert [point.place for point in view.strengths] == ["Bars 1–2"]
