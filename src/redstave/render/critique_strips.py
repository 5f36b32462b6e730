"""The carrier strips for a letter: what became of each voice of the piano piece."""

from redstave.analysis import Analysis
from redstave.render.critique_view import Strip
from redstave.render.origin_strips import origin_strips
from redstave.render.origin_view import origin_view
from redstave.render.view import WholePiece

TITLE = "Who carries each voice of the piano piece"
EXPLAINED = (
    "Each block is one voice of the piano piece, each row a part that carries it, each column one "
    "bar. 8va or 8vb over a band: it lies an octave above or below the piano. A red cross: nobody "
    "plays the voice there."
)


def carrier_strips(analysis: Analysis, whole: WholePiece) -> tuple[Strip, ...]:
    """Return the strips as one ready picture, none where there is no original to set beside."""
    origin = origin_view(analysis)
    if origin is None or not origin.strips:
        return ()
    return (Strip(TITLE, EXPLAINED, origin_strips(origin, whole)),)
