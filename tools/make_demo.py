"""Write the demo's MusicXML anew from its tiny sources."""

from collections.abc import Iterator
from pathlib import Path

from redstave.reading.tiny import to_musicxml

SHIPPED = ("orchestra", "piano")  # the other sources become MusicXML when the demo is set up
FOLDER = Path(__file__).resolve().parent.parent / "src" / "redstave" / "app" / "demo"


def pages(folder: Path) -> Iterator[tuple[Path, bytes]]:
    """Yield the MusicXML files that are shipped, with the bytes their tiny sources give."""
    for name in SHIPPED:
        source = folder / f"{name}.tiny"
        page = to_musicxml(source.read_text(encoding="utf-8"))
        yield source.with_suffix(".musicxml"), page


def main() -> None:
    """Write the files and name them."""
    for path, page in pages(FOLDER):
        path.write_bytes(page)
        print(path.name)


if __name__ == "__main__":
    main()
