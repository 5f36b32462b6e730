"""The lengths of the note values by their names in MusicXML, in quarter notes."""

TYPE_QUARTERS = {
    "maxima": 32.0,
    "long": 16.0,
    "breve": 8.0,
    "whole": 4.0,
    "half": 2.0,
    "quarter": 1.0,
    "eighth": 0.5,
    "16th": 0.25,
    "32nd": 1 / 8,
    "64th": 1 / 16,
    "128th": 1 / 32,
    "256th": 1 / 64,
    "512th": 1 / 128,
    "1024th": 1 / 256,
}
