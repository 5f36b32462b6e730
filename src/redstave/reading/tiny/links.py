"""What runs from note to note within a voice: ties, slurs, hairpins and glissandi."""

from redstave.base.errors import InputError
from redstave.reading.tiny.tokens import error
from redstave.reading.tiny.values import Event, Pitch

VoiceKey = tuple[int, int]


class Numbers:
    """Gives each open span the lowest number that no other open span of its kind holds."""

    def __init__(self) -> None:
        self._held: set[int] = set()

    def take(self) -> int:
        """Return a free number and hold it."""
        number = next(number for number in range(1, 99) if number not in self._held)
        self._held.add(number)
        return number

    def release(self, number: int) -> None:
        """Make the number free again."""
        self._held.discard(number)


class Links:
    """The open ends of one part."""

    def __init__(self) -> None:
        self._slur_numbers = Numbers()
        self._hairpin_numbers = Numbers()
        self._slurs: dict[VoiceKey, list[tuple[int, int]]] = {}
        self._hairpins: dict[VoiceKey, tuple[int, int]] = {}
        self._ties: dict[VoiceKey, dict[Pitch, int]] = {}
        self._glissandi: dict[VoiceKey, int] = {}

    def slur(self, key: VoiceKey, event: Event, sign: str) -> None:
        """Begin a slur at the event for "(", end the innermost open one for ")"."""
        if sign == "(":
            number = self._slur_numbers.take()
            self._slurs.setdefault(key, []).append((number, event.line))
            event.slurs.append(("start", number))
            return
        if not self._slurs.get(key):
            raise error(event.line, "')' ends a slur that does not begin in this voice")
        number, _ = self._slurs[key].pop()
        self._slur_numbers.release(number)
        event.slurs.append(("stop", number))

    def begin_hairpin(self, key: VoiceKey, line: int) -> int:
        """Return the number of a new hairpin of the voice."""
        number = self._hairpin_numbers.take()
        self._hairpins[key] = (number, line)
        return number

    def end_hairpin(self, key: VoiceKey, line: int) -> int:
        """Return the number of the voice's open hairpin, which is open no longer."""
        if key not in self._hairpins:
            raise error(line, "'=' ends a hairpin that does not begin in this voice")
        number, _ = self._hairpins.pop(key)
        self._hairpin_numbers.release(number)
        return number

    def has_hairpin(self, key: VoiceKey) -> bool:
        """Tell whether a hairpin is open in the voice."""
        return key in self._hairpins

    def connect(self, key: VoiceKey, event: Event) -> None:
        """Let the ties and the glissando that wait in the voice end on the event."""
        waiting = self._ties.pop(key, {})
        for head in event.heads:
            head.tie_stop = waiting.pop(head.pitch, None) is not None
        for line in waiting.values():
            raise error(line, "the note after '~' does not repeat the tied pitch")
        tied = {head.pitch: event.line for head in event.heads if head.tie_start}
        if tied:
            self._ties[key] = tied
        if self._glissandi.pop(key, 0):
            event.gliss.append("stop")
        if "gliss" in event.marks:
            self._glissandi[key] = event.line
            event.gliss.append("start")

    def unfinished(self) -> InputError | None:
        """Return the error for the first thing left open at the end of the part."""
        left = [(line, "slur '('") for slurs in self._slurs.values() for _, line in slurs]
        left += [(line, "hairpin") for _, line in self._hairpins.values()]
        left += [(line, "tie '~'") for ties in self._ties.values() for line in ties.values()]
        left += [(line, "glissando") for line in self._glissandi.values()]
        if not left:
            return None
        line, what = min(left)
        return error(line, f"the {what} that begins here never ends")
