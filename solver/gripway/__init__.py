"""gripway: the least awkward way through the grips of a written flute passage."""

__version__ = "0.1.0"
