"""Small pages for trials."""

from redstave.analysis import Analysis
from redstave.reading import read_bytes

HEAD = 'title: Trial\nmeter: 4/4\ntempo: 72 "Andante"\npitch: sounding\n'

# A soft flute in its low register under two pairs of horns: what is planted.
COVERED_FLUTE = """\
part Flute
"solo" p E4/2 F4 | G4/4 F4 E4 D4 | E4/2 A4 | G4/1 |.
part Horn 1. 2 | clef=bass
f [C3 G3]/1 | [C3 G3]/1 | [C3 A3]/1 | [B2 G3]/1 |.
part Horn 3. 4 | clef=bass
f [E3 C4]/1 | [E3 C4]/1 | [F3 C4]/1 | [D3 B3]/1 |.
part Violoncello | clef=bass
p C3/1 | C3/1 | F3/1 | G2/1 |.
"""

# Every mark a change may meet: a swell, a tie over the barline, pizzicato, an accent, a grace, a
# doubling that ends, two players on one note and on two, a section that divides.
MARKS = """\
part Oboe
p < C5/4 D5 E5 F5 = | f G5/2. A5/4~ | A5/1 | ^B5 C6/2:accent p r |.
part Harp
mf C3/1~ | C3/1 | G3/2 r | C4/1 |.
part Viola
"pizz." f C4/4 C4 C4 C4 | C4 C4 C4 C4 | "arco" [C4 G4]/1 | [C4 G4]/1 |.
part Horn 1. 2
"a 2" mf E4/1 | F4/1 | [E4 G4]/1 | R |.
part Violin I
p C5/4 D5 E5 F5 | G5/2. A5/4~ | A5/2 E5 | "div." [F5 A5]/1 |.
part Violoncello | clef=bass
mf C3/1~ | C3/2 D3 | E3/1 | F3/1 |.
"""


def page(music: str) -> Analysis:
    """Read a page in the short notation."""
    return Analysis(read_bytes((HEAD + music).encode(), "trial.tiny"))
