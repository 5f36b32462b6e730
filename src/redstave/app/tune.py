"""In whose hands the tune of an entry is, from span to span."""

from redstave.analysis import Analysis
from redstave.analysis.hand_over import TuneSpan
from redstave.app.hear import printed

Json = dict[str, object]


def tune(analysis: Analysis) -> Json:
    """Return one record for each span in which the tune is in the same hands; see docs/json.md."""
    return {"spans": [_record(analysis, span) for span in analysis.tune_spans]}


def _record(analysis: Analysis, span: TuneSpan) -> Json:
    score, lines = analysis.score, analysis.playing.lines
    bar = score.bars[score.bar_at(span.start)]
    part = score.parts_by_id[lines[span.line].part]
    carrying = {lines[line].part for line in span.lines}
    return {
        "quarter": span.start / score.ticks_per_quarter,
        "bar": printed(bar.number),
        "beat": float(score.beat(span.start - bar.start)),
        "part_id": part.id,
        "part": part.name,
        "strand": [one.id for one in score.parts if one.id in carrying],
        "confidence": round(span.confidence, 2),
    }
