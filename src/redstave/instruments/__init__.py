"""Instruments as cited data: their names in four languages, levels, spectra, compass, and halls."""

from redstave.instruments.book import InstrumentBook, load
from redstave.instruments.emission import at_ear, decay_s, emission, sigma_db, sound_power_db
from redstave.instruments.halls import Hall, default_hall, hall, halls, seats
from redstave.instruments.names import Naming, resolve_name
from redstave.instruments.record import Compass, Instrument

__all__ = [
    "Compass",
    "Hall",
    "Instrument",
    "InstrumentBook",
    "Naming",
    "at_ear",
    "decay_s",
    "default_hall",
    "emission",
    "hall",
    "halls",
    "load",
    "resolve_name",
    "seats",
    "sigma_db",
    "sound_power_db",
]
