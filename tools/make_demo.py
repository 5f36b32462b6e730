"""Write the demo's MusicXML anew from its tiny sources."""

from collections.abc import Iterator
from pathlib import Path

from redstave.reading.tiny import to_musicxml

FOLDER = Path(__file__).resolve().parent.parent / "src" / "redstave" / "app" / "demo"


def pages(folder: Path) -> Iterator[tuple[Path, bytes]]:
    """Yield every MusicXML file that belongs to a tiny source in the folder, with its bytes."""
    for source in sorted(folder.glob("*.tiny")):
        page = to_musicxml(source.read_text(encoding="utf-8"))
        yield source.with_suffix(".musicxml"), page


def main() -> None:
    """Write the files and name them."""
    for path, page in pages(FOLDER):
        path.write_bytes(page)
        print(path.name)


if __name__ == "__main__":
    main()
