"""Numbers that are none, that divide by nothing, that never end."""

from collections.abc import Iterator

from tests.reading.hostile.case import WHOLE, Case, changed, repaired, sound, with_bar
from tests.reading.inline import xml_of_parts

BAD = {"missing": "", "nought": "0", "negative": "-4", "words": "many", "huge": "9" * 400}
TIME = "<beats>4</beats><beat-type>4</beat-type>"


def cases() -> Iterator[Case]:
    """Yield the cases."""
    for name, text in BAD.items():
        yield repaired(
            f"divisions, {name}",
            changed("<divisions>1<", f"<divisions>{text}<"),
            "bad-divisions",
        )
    yield repaired("no divisions", changed("<divisions>1</divisions>", ""), "no-divisions")
    for name, text in BAD.items():
        if name != "nought":
            yield repaired(
                f"duration, {name}", changed("<duration>4<", f"<duration>{text}<"), "bad-duration"
            )
    yield repaired(
        "duration that never ends",
        changed("<duration>4<", "<duration>25000000<"),
        "endless-duration",
    )
    yield repaired("duration in powers", changed("<duration>4<", "<duration>4e9<"), "bad-duration")
    yield repaired("no duration", changed("<duration>4</duration>", ""), "no-duration")
    yield sound("duration nought", changed("<duration>4<", "<duration>0<"))
    forward = "<forward><duration>{}</duration></forward>"
    yield repaired(
        "forward without end", with_bar(forward.format(25_000_000) + WHOLE), "endless-duration"
    )
    yield repaired("forward backwards", with_bar(forward.format(-4) + WHOLE), "bad-duration")
    yield repaired("forward without a duration", with_bar("<forward/>" + WHOLE), "bad-duration")
    back = "<backup><duration>{}</duration></backup>"
    yield repaired("back before the bar", with_bar(back.format(9) + WHOLE), "backup-too-far")
    yield repaired("back without end", with_bar(back.format(10**14) + WHOLE), "backup-too-far")
    many = (forward.format(200) + WHOLE) * 500
    yield sound("five hundred long leaps", with_bar(many), notes=500)
    for name, time in {
        "nought by nought": "<beats>0</beats><beat-type>0</beat-type>",
        "four by nought": "<beats>4</beats><beat-type>0</beat-type>",
        "negative": "<beats>-4</beats><beat-type>4</beat-type>",
        "words": "<beats>common</beats><beat-type>time</beat-type>",
        "empty": "",
        "beats alone": "<beats>4</beats>",
        "huge": f"<beats>{'9' * 50}</beats><beat-type>4</beat-type>",
    }.items():
        yield repaired(f"metre, {name}", changed(TIME, time), "bad-meter")
    long_sum = f"<beats>{'1+' * 5000}1</beats><beat-type>4</beat-type>"
    yield sound("metre, a long sum", changed(TIME, long_sum))
    yield from _heights()
    yield from _marks()


def _heights() -> Iterator[Case]:
    yield repaired("step H", changed("<step>C<", "<step>H<"), "bad-pitch")
    yield repaired("no step", changed("<step>C</step>", ""), "bad-pitch")
    yield repaired("empty pitch", changed("<step>C</step><octave>5</octave>", ""), "bad-pitch")
    yield repaired("octave 99", changed("<octave>5<", "<octave>99<"), "bad-pitch")
    yield repaired("octave in words", changed("<octave>5<", "<octave>high<"), "bad-pitch")
    for name, text in {"words": "much", "huge": "9" * 300, "not a number": "NaN"}.items():
        yield repaired(
            f"alteration, {name}", changed("</step>", f"</step><alter>{text}</alter>"), "bad-alter"
        )
    yield repaired(
        "neither pitch nor rest",
        changed("<pitch><step>C</step><octave>5</octave></pitch>", ""),
        "no-pitch",
    )
    yield repaired(
        "both pitch and rest twice",
        changed("</pitch>", "</pitch><rest/><rest/>"),
        "repeated-element",
        None,
    )
    yield sound("a type that is none", changed("<type>whole<", "<type>enormous<"))
    yield repaired("empty note", with_bar("<note/>" + WHOLE), "no-pitch", 2)


def _marks() -> Iterator[Case]:
    modification = (
        "<time-modification><actual-notes>{}</actual-notes>"
        "<normal-notes>{}</normal-notes></time-modification><type>"
    )
    for name, (actual, normal) in {"0:0": (0, 0), "-3:2": (-3, 2), "x:y": ("x", "y")}.items():
        data = changed("<type>", modification.format(actual, normal))
        yield repaired(f"tuplet {name}", data, "bad-tuplet")
    yield repaired("tempo in words", with_bar("<sound tempo='fast'/>" + WHOLE), "bad-tempo")
    yield repaired("tempo below nought", with_bar("<sound tempo='-9'/>" + WHOLE), "bad-tempo")
    yield repaired("tempo infinite", with_bar("<sound tempo='1e999'/>" + WHOLE), "bad-tempo")
    yield repaired("key in words", changed("<fifths>0<", "<fifths>none<"), "bad-key")
    yield sound("key of a thousand flats", changed("<fifths>0<", "<fifths>-1000<"))
    transpose = "<transpose><chromatic>{}</chromatic></transpose><clef>"
    yield repaired(
        "transposition in words", changed("<clef>", transpose.format("up")), "bad-transposition"
    )
    yield repaired(
        "transposition to the moon", changed("<clef>", transpose.format(10**9)), "bad-transposition"
    )
    yield repaired(
        "a million staves", changed("<clef>", "<staves>1000000</staves><clef>"), "bad-stave"
    )
    yield repaired("stave nought", changed("<voice>", "<staff>0</staff><voice>"), "bad-stave")
    offset = (
        "<direction><direction-type><words>x</words></direction-type>"
        "<offset>{}</offset></direction>"
    )
    yield repaired("offset in words", with_bar(offset.format("later") + WHOLE), "bad-offset")
    yield repaired("offset before time", with_bar(offset.format(-(10**12)) + WHOLE), "")
    yield sound(
        "ending in words",
        with_bar(WHOLE + "<barline><ending number='1,x' type='start'/></barline>"),
    )
    yield sound(
        "repeat minus one times",
        with_bar(WHOLE + "<barline><repeat direction='backward' times='-1'/></barline>"),
    )
    parts = {
        name: f"<measure number='1'><attributes><divisions>{number}</divisions></attributes>"
        f"{WHOLE}</measure>"
        for name, number in (("A", 9973), ("B", 9967), ("C", 9949), ("D", 9941))
    }
    yield repaired(
        "divisions without a common multiple", xml_of_parts(parts), "rounded-duration", None
    )
