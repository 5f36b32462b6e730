"""Every case there is."""

from tests.reading.hostile import archives, encodings, entities, numbers, structure
from tests.reading.hostile.case import Case


def every_case(secret_path: str, address: str) -> list[Case]:
    """Return the cases; they point to a secret file and to an address that must not be asked."""
    return [
        *entities.cases(secret_path, address),
        *archives.cases(secret_path),
        *encodings.cases(),
        *numbers.cases(),
        *structure.cases(),
    ]
