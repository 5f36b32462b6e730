"""The tune as data: spans in order, told by the file's own ids."""

from pathlib import Path

from redstave import app

RELAY = """\
meter: 4/4
pickup: 1/4
part Flute
mf D5/4( | G5/4 A5 B5 D6) | C6/4.( B5/8 A5/4 B5) | G5/2. r/4 | R*3 |.
part Violin I
mf r/4 | R*3 | G5/4( A5 B5 D6) | C6/4.( B5/8 A5/4 B5) | G5/1 |.
part Violin II
mf r/4 | R*3 | G4/4( A4 B4 D5) | C5/4.( B4/8 A4/4 B4) | G4/1 |.
part Cello | clef=bass
mf r/4 | G2/1 | D3 | G2 | G2/1 | D3 | G2 |.
"""


def test_spans_are_told_by_ids_bars_and_quarters(tmp_path: Path) -> None:
    """The flute begins in the pickup, bar 0; the violins take over in bar 4, in octaves."""
    path = tmp_path / "relay.tiny"
    path.write_text(RELAY, encoding="utf-8")
    data = app.tune(app.open_entry(path))
    assert isinstance(data["spans"], list)
    told = [{key: span[key] for key in span if key != "confidence"} for span in data["spans"]]
    assert told == [
        {
            "quarter": 0.0, "bar": 0, "beat": 1.0, "part_id": "P1", "part": "Flute",
            "strand": ["P1"],
        },
        {
            "quarter": 13.0, "bar": 4, "beat": 1.0, "part_id": "P2", "part": "Violin I",
            "strand": ["P2", "P3"],
        },
    ]  # fmt: skip
    assert all(0.5 < span["confidence"] < 1.0 for span in data["spans"])
