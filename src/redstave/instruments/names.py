"""From the name of a part to its instrument, its players' numbers and its key.

The printed name is the first evidence, the abbreviation the second, the sound ids of the file the
third and its MIDI programs the last; a name that stays unknown gives the empty instrument "" and
never a guess. A bare "in F." under other horns stays unknown: "in F" may be horn, trumpet or cor
anglais, and only the page's layout, which a file rarely gives, would tell.

Keys: "B" is read as B flat, as German, Italian and Polish pages have it and as English names do
whose flat sign was lost; it is B natural when the name says so or when the transposition of the
part (semitones from written to sounding) says so. "H" is always B natural.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from redstave.instruments.lexicon import lexicon
from redstave.instruments.wording import Reading, read_name

_PITCH_CLASSES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
ASSUMED_PLURAL = 2  # common practice, no source: "Oboi" without a number is a pair


@dataclass(frozen=True, slots=True)
class Naming:
    """What a part's name says.

    `instruments` is the instrument and the others its players change to; `companions` are other
    instruments that share the stave with players of their own ("e Piatti"); `players` counts all
    heads on the stave, `counted` is false when a plural without a number left it open. `key` is
    the key of the instrument ("Bb"), or the tunings of the timpani ("Ab, Db"). `role` is "solo"
    or "". `divided` is the number after "div.", 1 when the name only says "div.". `candidates`
    are the instruments between which an ambiguous word ("Basso") leaves the choice; `confidence`
    runs from 0 to 1; `leftover` are words not understood.
    """

    instruments: tuple[str, ...] = ()
    companions: tuple[str, ...] = ()
    numbers: tuple[int, ...] = ()
    players: int = 1
    counted: bool = True
    plural: bool = False
    key: str = ""
    role: str = ""
    divided: int = 0
    candidates: tuple[str, ...] = ()
    confidence: float = 0.0
    evidence: str = ""
    leftover: tuple[str, ...] = ()

    @property
    def instrument(self) -> str:
        """The instrument the part begins with, "" when unknown."""
        return self.instruments[0] if self.instruments else ""


def resolve_name(
    name: str,
    abbreviation: str = "",
    *,
    sounds: Sequence[str] = (),
    programs: Sequence[int] = (),
    transposition: int | None = None,
) -> Naming:
    """Resolve one part from all that the file says about it; see the module for the rules.

    `transposition` is the interval from written to sounding pitch in semitones, None if the file
    gives none.
    """
    printed, short = read_name(name), read_name(abbreviation)
    naming = _merged(printed, short)
    naming = _with_file_evidence(naming, sounds, programs)
    return _checked_key(naming, transposition)


def _merged(printed: Reading, short: Reading) -> Naming:
    """Join name and abbreviation; the abbreviation fills what the name leaves open."""
    lead, other = (printed, short) if printed.instruments else (short, printed)
    instruments, candidates = lead.instruments, lead.candidates
    if _narrows(other, lead):
        instruments, candidates = (other.instruments[0], *lead.instruments[1:]), ()
    numbers = printed.numbers or _numbers(printed.count) or short.numbers
    count = len(numbers) or printed.count or short.count
    plural = printed.plural or (short.plural and not printed.instruments)
    leftover = printed.leftover if printed.instruments or not short.instruments else ()
    heads = count or (ASSUMED_PLURAL if plural else 1)
    return _small_clarinet(
        Naming(
            instruments=instruments,
            companions=lead.companions,
            numbers=numbers,
            players=heads + len(lead.companions),
            counted=bool(count) or not plural,
            plural=plural,
            key=printed.key or short.key,
            role=printed.role or short.role,
            divided=printed.divided or short.divided,
            candidates=candidates,
            confidence=_confidence(lead, lead is printed, bool(leftover)),
            evidence=_evidence(printed, short, lead),
            leftover=leftover,
        )
    )


def _narrows(other: Reading, lead: Reading) -> bool:
    """Whether the other evidence names a special kind ("b-trb") of what the first names."""
    if not (lead.instruments and other.instruments) or other.candidates:
        return False
    special, general = other.instruments[0], lead.instruments[0]
    return special in lead.candidates or special.endswith(f"-{general}")


def _numbers(count: int) -> tuple[int, ...]:
    return tuple(range(1, count + 1)) if count > 1 else ()


def _small_clarinet(naming: Naming) -> Naming:
    """Give the clarinet in E flat, an instrument of its own, its own id."""
    if naming.instrument == "clarinet" and naming.key == "Eb":
        return replace(naming, instruments=("e-flat-clarinet", *naming.instruments[1:]))
    return naming


def _confidence(lead: Reading, from_name: bool, leftover: bool) -> float:
    """How far the words can be trusted; our own scale, no source."""
    if not lead.instruments:
        return 0.0
    base = 0.9 if lead.short else 0.98
    base = min(base, 0.6) if lead.candidates else base
    return round(base - (0.0 if from_name else 0.05) - (0.15 if leftover else 0.0), 2)


def _evidence(printed: Reading, short: Reading, lead: Reading) -> str:
    if lead.instruments:
        source = "name" if lead is printed else "abbreviation"
        text = f"{source} “{lead.text}”: {', '.join(lead.instruments + lead.companions)}"
    else:
        text = f"name “{printed.text or short.text}” names no instrument"
    left = f"; not understood: {' '.join(lead.leftover)}" if lead.leftover else ""
    return text + left


def _with_file_evidence(naming: Naming, sounds: Sequence[str], programs: Sequence[int]) -> Naming:
    """Use sound ids, then MIDI programs: to fill a gap, to narrow, or to doubt."""
    for kind, instrument, trust in _file_evidence(sounds, programs):
        if not instrument:
            continue
        agrees = instrument in (*naming.instruments, *naming.companions)
        if not naming.instruments:
            return replace(
                naming,
                instruments=(instrument,),
                confidence=trust,
                evidence=f"{naming.evidence}; {kind}: {instrument}",
            )
        if instrument in naming.candidates or instrument.endswith(f"-{naming.instrument}"):
            return replace(
                naming,
                instruments=(instrument, *naming.instruments[1:]),
                candidates=(),
                confidence=max(naming.confidence, trust),
                evidence=f"{naming.evidence}; {kind}: {instrument}",
            )
        if kind == "sound id" and not agrees and not _related(instrument, naming.instrument):
            return replace(
                naming,
                confidence=0.5,
                evidence=f"{naming.evidence}; the {kind} says {instrument}",
            )
    return naming


def _related(one: str, other: str) -> bool:
    """Whether two ids belong to one kind, so that a coarse sound id does not contradict."""
    kin = lexicon().kin
    return (
        one.endswith(f"-{other}")
        or other.endswith(f"-{one}")
        or (one in kin and kin.get(one) == kin.get(other))
    )


def _file_evidence(sounds: Sequence[str], programs: Sequence[int]) -> list[tuple[str, str, float]]:
    found = [("sound id", _by_sound(sound), 0.8) for sound in sounds]
    known = lexicon().programs
    return found + [("MIDI program", known.get(program, ""), 0.6) for program in programs]


def _by_sound(sound: str) -> str:
    """Return the instrument of a MusicXML sound id by its longest known prefix."""
    words = sound.split(".")
    known = lexicon().sounds
    for end in range(len(words), 0, -1):
        if instrument := known.get(".".join(words[:end])):
            return instrument
    return ""


def _checked_key(naming: Naming, transposition: int | None) -> Naming:
    """Let the transposition decide whether B is B flat or B natural, and note a contradiction."""
    if not naming.key or transposition is None or "," in naming.key:
        return naming
    if naming.key == "Bb" and transposition % 12 == 11:
        return replace(naming, key="B", evidence=f"{naming.evidence}; B natural by transposition")
    if pitch_class(naming.key) != transposition % 12:
        text = f"in {naming.key}, but the file transposes by {transposition} semitones"
        return replace(naming, evidence=f"{naming.evidence}; {text}")
    return naming


def pitch_class(key: str) -> int:
    """Return the pitch class 0–11 of a key name such as "Bb" or "F#"."""
    return (_PITCH_CLASSES[key[0]] + key.count("#") - key[1:].count("b")) % 12
