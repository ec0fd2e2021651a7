"""Drills: a cell as music to practise, with its tempos."""
