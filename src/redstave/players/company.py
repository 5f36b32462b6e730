"""Names that only the rest of the page explains: ambiguous words, and staves that share a name."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from redstave.instruments.names import Naming, resolve_name
from redstave.model.score import Part, Score
from redstave.players.pitch import first_shift

STRINGS = frozenset({"violin", "viola", "cello", "double-bass"})


def namings_of(score: Score) -> list[Naming]:
    """Return what the names of all parts say, in the order of the score."""
    return split_pairs(score, settle_by_company([name_of(part) for part in score.parts]))


def name_of(part: Part) -> Naming:
    """Resolve a part from its names, sounds, programs and transposition."""
    return resolve_name(
        part.name,
        part.abbreviation,
        sounds=[instrument.sound for instrument in part.instruments if instrument.sound],
        programs=[one.midi_program for one in part.instruments if one.midi_program],
        transposition=first_shift(part),
    )


def settle_by_company(namings: Sequence[Naming]) -> list[Naming]:
    """Decide ambiguous names by what else is on the page, whatever the order of the parts.

    "Basso" beside a double bass and other voices is a voice, else a double bass when there are
    strings; "Alto" is a viola when strings have none, else a voice.
    """
    certain = {n.instrument for n in namings if n.instrument and not n.candidates}
    return [_settled(naming, certain) if naming.candidates else naming for naming in namings]


def _settled(naming: Naming, certain: set[str]) -> Naming:
    strings = bool(certain & STRINGS) or "voice" not in certain
    chosen = naming.candidates[0]
    if "voice" in naming.candidates and "voice" in certain:
        taken = chosen in certain and chosen != "violin"
        chosen = "voice" if taken or not strings else chosen
    text = f"{naming.evidence}; {chosen} by the company it keeps"
    return replace(naming, instruments=(chosen, *naming.instruments[1:]), evidence=text)


def split_pairs(score: Score, namings: list[Naming]) -> list[Naming]:
    """Give two staves of one name "Violoncello e Basso" to one instrument each.

    The stave that sounds an octave lower is the companion's; without such evidence the second is.
    """
    twins: dict[str, list[int]] = defaultdict(list)
    for index, (part, naming) in enumerate(zip(score.parts, namings, strict=True)):
        if len(naming.companions) == 1 and not naming.numbers:
            twins[part.name].append(index)
    result = list(namings)
    for pair in twins.values():
        if len(pair) == 2:
            low = min(pair, key=lambda i: (first_shift(score.parts[i]) or 0, -i))
            for index in pair:
                result[index] = _half(namings[index], index == low)
    return result


def _half(naming: Naming, companion: bool) -> Naming:
    instrument = naming.companions[0] if companion else naming.instrument
    text = f"{naming.evidence}; two staves, one each"
    heads = max(1, naming.players - 1)
    return replace(naming, instruments=(instrument,), companions=(), players=heads, evidence=text)
