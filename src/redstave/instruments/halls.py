"""Halls to listen in: size, reverberation, seats of the players, and the listener's distance."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics.hall import FREE_FIELD_10_M_DB, strength
from redstave.base.errors import DataError
from redstave.instruments.book import Page, cited_file
from redstave.instruments.record import FRONT_BANDS_HZ, Instrument

Floats = NDArray[np.float64]

SHARED = frozenset({"reverberation_by_band", "layout"})


@dataclass(frozen=True, eq=False)
class Hall:
    """A hall: `volume` in m3, mid-frequency `reverberation` in s, `listener` and `layout` in m.

    The listener sits `listener` metres from the stage front; `layout` says how far behind the
    front each seat of an instrument lies. `bands` are (Hz, factor on the reverberation) points.
    """

    id: str
    name: str
    volume: float
    reverberation: float
    listener: float
    layout: Mapping[str, float]
    bands: tuple[tuple[float, ...], tuple[float, ...]]

    def distance(self, instrument: Instrument) -> float:
        """Return the distance in m from an instrument to the listener."""
        return self.listener + self.layout[instrument.seat]

    def transfer_db(self, instrument: Instrument, frequency_hz: Floats) -> Floats:
        """Return sound pressure level at the listener less sound power level, in dB."""
        octaves = np.log2(frequency_hz)
        factor = np.interp(octaves, np.log2(self.bands[0]), self.bands[1])
        front = np.interp(octaves, np.log2(FRONT_BANDS_HZ), instrument.front_gain)
        heard = strength(self.distance(instrument), self.volume, self.reverberation * factor, front)
        return heard.gain_db - FREE_FIELD_10_M_DB


@cache
def halls() -> Mapping[str, Hall]:
    """Return every hall of the data by id; "default" is the one used unless another is named."""
    page = Page("halls.toml", cited_file("halls.toml"))
    bands = page.section("reverberation_by_band")
    points = (bands.numbers("frequency"), bands.numbers("factor"))
    places = page.section("layout")
    layout = MappingProxyType({seat: places.number(seat) for seat in places.keys})
    return MappingProxyType(
        {
            id_: _hall(id_, page.section(id_), layout, points)
            for id_ in page.keys
            if id_ not in SHARED
        }
    )


def _hall(
    id_: str,
    page: Page,
    layout: Mapping[str, float],
    bands: tuple[tuple[float, ...], tuple[float, ...]],
) -> Hall:
    return Hall(
        id=id_,
        name=page.word("name"),
        volume=page.number("volume"),
        reverberation=page.number("reverberation"),
        listener=page.number("listener"),
        layout=layout,
        bands=bands,
    )


def hall(id_: str = "default") -> Hall:
    """Return a hall by id; DataError for one the data do not have."""
    try:
        return halls()[id_]
    except KeyError:
        raise DataError(f"there is no hall {id_!r}, only {', '.join(halls())}") from None


def default_hall() -> Hall:
    """Return the hall everything is heard in unless another is named."""
    return hall("default")
