"""The counts of a score, against what a small file plainly holds."""

from redstave.reading import counts
from tests.reading.inline import score_of_bars

QUARTER = (
    "<note>{}<pitch><step>C</step><octave>5</octave></pitch><duration>1</duration>{}"
    "<voice>1</voice><notations>{}</notations></note>"
)
BAR = (
    "<direction><direction-type><dynamics><other-dynamics>sempre</other-dynamics><p/></dynamics>"
    "</direction-type><direction-type><words>dolce</words></direction-type></direction>"
    "<direction><direction-type><words>\ue522</words></direction-type></direction>"
    "<direction><direction-type><words>sempre \ue522</words></direction-type></direction>"
    "<direction><direction-type><wedge type='crescendo'/></direction-type></direction>"
    "<direction><direction-type><metronome><beat-unit>quarter</beat-unit>"
    "<per-minute>60</per-minute></metronome></direction-type><sound tempo='60'/></direction>"
    "<direction><direction-type><rehearsal>A</rehearsal></direction-type></direction>"
    + QUARTER.format(
        "",
        "<tie type='start'/>",
        "<slur type='start'/><dynamics><ff/></dynamics><tied type='start'/>"
        "<articulations><accent/><breath-mark/></articulations>",
    )
    + QUARTER.format("<chord/>", "<tie type='start'/>", "")
    + QUARTER.format(
        "",
        "<tie type='stop'/>",
        "<slur type='stop'/><tied type='stop'/><technical><up-bow/></technical>"
        "<ornaments><tremolo type='single'>3</tremolo><trill-mark/>"
        "<wavy-line type='start'/><wavy-line type='stop'/></ornaments>",
    )
    + "<note><grace/><pitch><step>D</step><octave>5</octave></pitch></note>"
    + QUARTER.format("", "", "<tuplet type='start'/>")
    + "<note><rest/><duration>1</duration><notations><tuplet type='stop'/></notations></note>"
    + "<direction><direction-type><wedge type='stop'/></direction-type></direction>"
)


def test_every_count_is_that_of_the_elements() -> None:
    """Each kind is counted once an element: two letters in one level are one level, and so on."""
    assert counts(score_of_bars(BAR)) == {
        "notes": 5,
        "rests": 1,
        "graces": 1,
        "chords": 1,
        "ties": 2,  # one <tied>, and one <tie> on a note where no <tied> starts
        "slurs": 1,
        "hairpins": 1,
        "levels": 2,  # the two <dynamics>; levels drawn in words are words
        "words": 3,
        "articulations": 2,
        "ornaments": 4,
        "technical": 1,
        "tremolos": 1,
        "tuplets": 1,
        "tempos": 1,
        "rehearsals": 1,
    }
