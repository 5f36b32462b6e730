"""The letter of an entry, put together from what the teacher has written in its season."""

from collections.abc import Sequence

from redstave import store
from redstave.model.letter import Letter
from redstave.model.remark import Remark, RemarkKind, Weight
from redstave.store import Season

OPENING, NEXT_STEP, CLOSING = "opening", "next-step", "closing"


def letter_of(season: Season, code: str, date: str = "") -> Letter:
    """Return the letter of an entry as it stands; `date` is printed as it is.

    Where the teacher has not written an opening or a next step, one is suggested from his remarks,
    and named in `Letter.suggested`. The remarks are those on the newest version; what was not
    carried over to it was answered.
    """
    facts = store.read_facts(season)
    texts = {draft.field: draft.text for draft in store.read_drafts(season, code)}
    number = store.read_entry(season, code).newest.number
    kept = [one.remark for one in store.read_remarks(season, code)]
    remarks = tuple(one for one in kept if one.version == number)
    sheet = store.read_sheet(season, code)
    opening, next_step = texts.get(OPENING, ""), texts.get(NEXT_STEP, "")
    suggested = {
        "opening": "" if opening.strip() else opening_from(remarks),
        "next_step": "" if next_step.strip() else next_step_from(remarks),
    }
    return Letter(
        entry=code,
        season=facts.name,
        teacher=facts.teacher,
        opening=opening if opening.strip() else suggested["opening"],
        next_step=next_step if next_step.strip() else suggested["next_step"],
        remarks=remarks,
        grades=sheet,
        date=date,
        closing=texts.get(CLOSING, ""),
        answered=tuple(
            one for one in kept if one.version < number and one.kind is not RemarkKind.PRAISE
        ),
        suggested=tuple(name for name, text in suggested.items() if text),
    )


def opening_from(remarks: Sequence[Remark]) -> str:
    """Return an opening made from the strengths and main points, "" where there are no remarks."""
    if not remarks:
        return ""
    praise = [one for one in remarks if one.kind is RemarkKind.PRAISE]
    main = [one for one in remarks if one not in praise and one.weight is Weight.MAIN]
    sentences = ["Thank you for your score; I have read it from the first bar to the last."]
    if praise:
        sentences.append("I will begin with what works: build on it.")
    if main:
        points = "one point" if len(main) == 1 else f"{_word(len(main))} points"
        sentences.append(
            f"{'Then there' if praise else 'There'} {'is' if len(main) == 1 else 'are'} {points} "
            f"that matter{'s' if len(main) == 1 else ''} most."
        )
    if len(remarks) > len(praise) + len(main):
        follow = "Smaller things follow at the end" if praise or main else "What follows is small"
        sentences.append(f"{follow}, in the order of the bars.")
    return " ".join(sentences)


def next_step_from(remarks: Sequence[Remark]) -> str:
    """Return one next step: the way out of the first main point, "" where there is none."""
    main = _by_order(
        [
            one
            for one in remarks
            if one.kind is not RemarkKind.PRAISE and one.weight is Weight.MAIN and one.way_out
        ]
    )
    if not main:
        return ""
    first = main[0]
    where = f"Begin with {first.place}. " if first.place else ""
    return f"{where}{first.way_out}"


def _by_order(remarks: Sequence[Remark]) -> list[Remark]:
    return sorted(remarks, key=lambda one: one.order)


def _word(count: int) -> str:
    return {2: "two", 3: "three", 4: "four", 5: "five"}.get(count, str(count))
