"""Hand-made letters over the invented score of this room."""

from dataclasses import replace
from functools import cache

from redstave.analysis import Analysis
from redstave.app import choose
from redstave.app import review as review_entry
from redstave.model.finding import Spot
from redstave.model.grade import Band, Criteria, Criterion, Grade, GradeSheet
from redstave.model.letter import Letter
from redstave.model.remark import Heard, LinkedTrial, Remark, RemarkKind, Weight, finding_key
from redstave.model.review import Review
from redstave.reading import read_bytes
from redstave.render.critique import Critique, critique
from redstave.render.critique_compose import compose_critique
from redstave.render.critique_template import Design
from tests.render.quay import quay, quay_page

EVIL = "\"><script>alert('x')</script><img src=x onerror=alert(1)> </style> {{ 7 * 7 }} -->"
RTL = "التوازن بين الآلات جيد, but the flute (mf) is lost."
EMOJI = "Brava! 👏🏽🎻 — 𝄞"
LONG_WORD = "Donaudampfschifffahrtsgesellschaft" * 40

TRIAL = LinkedTrial(
    "changes",
    ("Mark the strings one level softer in bars 1–2.",),
    (
        Heard("Flute 1", -4.2, 6.8, 5.4, "covered", "heard"),
        Heard("Violin I", 9.1, 2.0, 4.2, "heard", "doubtful"),
    ),
)
BANDS = (
    Band("Not yet", 0, "Seldom."),
    Band("Sound", 10, "Mostly."),
    Band("Good", 14, "Throughout."),
)
CRITERIA = Criteria(
    "Orchestration",
    (
        Criterion("balance", "Balance and clarity", "What should be heard is heard.", 3, 20, BANDS),
        Criterion("page", "The page", "The players are told what they need.", 1, 10, BANDS[:1]),
    ),
)
GRADES = GradeSheet(CRITERIA, (Grade("balance", 14.5, "Mostly clear.\n\nAlmost always."),))
FULL_GRADES = GradeSheet(CRITERIA, (*GRADES.grades, Grade("page", 6)))


@cache
def analysis() -> Analysis:
    """The analysis of the invented score."""
    return Analysis(read_bytes(quay(), "quay.musicxml"))


@cache
def review() -> Review:
    """What the checks find in it."""
    return review_entry(analysis(), "quay", choose())


def remark(
    number: int = 1,
    kind: RemarkKind = RemarkKind.WAY_OUT,
    weight: Weight = Weight.SMALL,
    text: str = "The flute is lost here.",
    bar: int = 0,
    **more: object,
) -> Remark:
    """Return a remark at the first note of a bar (index) of the flute."""
    spot = Spot(bar, 0, "P1", 1, bar, (f"P1.{bar}.0",))
    made = Remark(f"r{number}", kind, text, (spot,), weight=weight, order=number)
    return replace(made, **more)  # type: ignore[arg-type]


def from_finding(number: int, weight: Weight = Weight.MAIN) -> Remark:
    """Return a remark from a finding of the review that has evidence."""
    found = [one for one in review().faults if one.evidence][number]
    return Remark(
        f"f{number}",
        RemarkKind.FIX,
        "It cannot stay so.",
        found.spots,
        why="The players will ask.",
        way_out="Write what you mean.",
        criterion="page",
        weight=weight,
        order=50 + number,
        finding=finding_key(found),
        slug=found.slug,
    )


def letter(*remarks: Remark, **more: object) -> Letter:
    """Return a letter with the given remarks, or with one of every kind and weight."""
    some = remarks or (
        remark(1, RemarkKind.PRAISE, text="A clear opening.", bar=0, why="It sings."),
        remark(2, RemarkKind.PRAISE, text="The whole is of a piece.", spots=(), place="Bars 1–6"),
        remark(3, RemarkKind.QUESTION, Weight.MAIN, "Is this meant?\n\nOr not?", 1, why="Nobody"),
        remark(4, RemarkKind.WAY_OUT, Weight.MAIN, bar=3, trial=TRIAL, criterion="balance"),
        from_finding(0),
        remark(6, RemarkKind.FIX, bar=5, text="Too low."),
        remark(7, RemarkKind.QUESTION, bar=1, text="Why a rest?", way_out="Write a note."),
    )
    whole = Letter(
        entry="entry-heron",
        season="Morning on the Quay, autumn",
        teacher="M. Quill",
        opening="Thank you for this score.\n\nI read it with pleasure.",
        next_step="Write bar 3 again, three times.",
        remarks=some,
        grades=FULL_GRADES,
        date="2 December 2026",
        closing="With good wishes,",
    )
    return replace(whole, **more)  # type: ignore[arg-type]


def bare() -> Letter:
    """Return a letter in which nothing is said."""
    return Letter("entry-heron", "Autumn", "", "", "", ())


def many(count: int = 200) -> Letter:
    """Return a letter of many small remarks."""
    texts = ("Mark the level.", "Is the slur meant?", "Write div. here; the chord needs two.")
    return letter(*(remark(n, text=texts[n % 3], bar=n % 6) for n in range(count)))


def hostile() -> Letter:
    """Return a letter whose every text tries to be something else."""
    sheet = GradeSheet(
        Criteria(EVIL, (Criterion("x", EVIL, EVIL, 1, 20, (Band(EVIL, 0, EVIL),)),)),
        (Grade("x", 20, f"{EVIL}\n\n{RTL}"),),
    )
    evil_trial = LinkedTrial("", (EVIL,), (Heard(EVIL, -99.0, 40.0, 5.0, "covered", "heard"),))
    texts = (EVIL, RTL, EMOJI, LONG_WORD, "=HYPERLINK(1)", "a\x00b\x0bc\ud800d", "word " * 3000)
    kinds = tuple(RemarkKind)
    remarks = tuple(
        remark(
            n,
            kinds[n % 4],
            Weight.MAIN if n % 2 else Weight.SMALL,
            text,
            n % 6,
            why=text[:5000],
            way_out=EVIL,
            criterion="x",
            place=EVIL if n == 0 else "",
            trial=evil_trial if n == 3 else None,
        )
        for n, text in enumerate(texts)
    )
    return Letter(EVIL, EVIL, EVIL, f"{EVIL}\n\n{RTL}", EVIL, remarks, sheet, EVIL, EVIL)


def made(one: Letter, look: Design | None = None) -> Critique:
    """Return a letter drawn and ready."""
    return critique(compose_critique(one, review(), analysis()), quay_page(), look)
