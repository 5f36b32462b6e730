"""Halls to listen in: size, reverberation, seats of the players, and the listener's seat."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics.hall import FREE_FIELD_10_M_DB, Strength, strength
from redstave.base.errors import DataError
from redstave.instruments.book import Page, cited_file
from redstave.instruments.record import FRONT_BANDS_HZ, Instrument

Floats = NDArray[np.float64]

SHARED = frozenset({"reverberation_by_band", "layout", "seats"})
STALLS = "stalls"
DECAY_OF_60_DB = 6.0 * math.log(10.0)


@dataclass(frozen=True, eq=False)
class Hall:
    """A hall: `volume` in m3, mid-frequency `reverberation` in s, `listener` and `layout` in m.

    The listener sits `listener` metres from the stage front; `layout` says how far behind the
    front each seat of an instrument lies. `bands` are (Hz, factor on the reverberation) points.
    With `tail`, sounds that have ended ring on and mask what follows; without it they end at once.
    """

    id: str
    name: str
    volume: float
    reverberation: float
    listener: float
    layout: Mapping[str, float]
    bands: tuple[tuple[float, ...], tuple[float, ...]]
    seat: str = STALLS
    tail: bool = False

    def distance(self, instrument: Instrument) -> float:
        """Return the distance in m from an instrument to the listener."""
        return self.listener + self.layout[instrument.seat]

    def strength(self, instrument: Instrument, frequency_hz: Floats) -> Strength:
        """Return direct, early and late energy of an instrument at the listener."""
        front = np.interp(np.log2(frequency_hz), np.log2(FRONT_BANDS_HZ), instrument.front_gain)
        decay_s = self._reverberation(frequency_hz)
        return strength(self.distance(instrument), self.volume, decay_s, front)

    def transfer_db(self, instrument: Instrument, frequency_hz: Floats) -> Floats:
        """Return sound pressure level at the listener less sound power level, in dB."""
        return self.strength(instrument, frequency_hz).gain_db - FREE_FIELD_10_M_DB

    def reverberant_share(self, instrument: Instrument, frequency_hz: Floats) -> Floats:
        """Return the share (0 to 1) of a steady sound's energy that is left when it stops."""
        heard = self.strength(instrument, frequency_hz)
        reflected = heard.early + heard.late
        return reflected / (heard.direct + reflected)

    def decay_rate(self, frequency_hz: Floats) -> Floats:
        """Return the rate at which the energy of the hall dies away, 1/s: 13.8 / T."""
        return DECAY_OF_60_DB / self._reverberation(frequency_hz)

    def _reverberation(self, frequency_hz: Floats) -> Floats:
        factor = np.interp(np.log2(frequency_hz), np.log2(self.bands[0]), self.bands[1])
        return self.reverberation * factor


@cache
def halls() -> Mapping[str, Hall]:
    """Return every hall of the data by id; "default" is the one used unless another is named."""
    page = _page()
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


@cache
def seats() -> Mapping[str, str]:
    """Return the listener's seats by id, with the words for each ("in the stalls")."""
    page = _page().section("seats")
    return MappingProxyType({id_: page.section(id_).word("name") for id_ in page.keys})


def _page() -> Page:
    return Page("halls.toml", cited_file("halls.toml"))


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


@cache
def hall(id_: str = "default", seat: str = STALLS, tail: bool = False) -> Hall:
    """Return a hall by id, heard from a seat; DataError for one the data do not have.

    Its name says where the listener is, if not in the stalls, and whether sounds ring on.
    """
    if id_ not in halls():
        raise DataError(f"there is no hall {id_!r}, only {', '.join(halls())}")
    if seat not in seats():
        raise DataError(f"there is no seat {seat!r}, only {', '.join(seats())}")
    chosen = halls()[id_]
    if seat != STALLS:
        listener = _page().section("seats").section(seat).number("listener")
        chosen = replace(
            chosen, name=f"{chosen.name}, {seats()[seat]}", seat=seat, listener=listener
        )
    return replace(chosen, name=f"{chosen.name}, ringing on", tail=True) if tail else chosen


def default_hall() -> Hall:
    """Return the hall everything is heard in unless another is named."""
    return hall()
