"""A passage at another tempo."""

from dataclasses import replace

from gripway.model.passage import Passage
from gripway.route.tempo.tempos import faster


def at_tempo(passage: Passage, factor: float) -> Passage:
    """The passage played `factor` times as fast."""
    return replace(passage, notes=faster(passage.notes, factor))
