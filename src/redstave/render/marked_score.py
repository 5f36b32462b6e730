"""The entry's own page with the remarks on it, as MusicXML.

A long remark is a number and a few words on the page; the letter says the rest under the same
number.
"""

from redstave.model.letter import Letter
from redstave.model.score import Score
from redstave.render.remark_places import spots_on_staves
from redstave.render.typed import lettered, shortened_to
from redstave.writing import to_musicxml
from redstave.writing.remarks import Pencilled, with_remarks

LONGEST = 48  # characters of a remark on the page


def marked_score(letter: Letter, score: Score) -> bytes:
    """Return a score as MusicXML 4.0 with every remark of a letter at its notes.

    InputError as in `redstave.writing.to_musicxml`.
    """
    remarks = [
        Pencilled(
            number, shortened_to(lettered(remark.text), LONGEST), spots_on_staves(remark, score)
        )
        for number, remark in letter.numbered
    ]
    return to_musicxml(with_remarks(score, remarks))
