"""An instrument: a mechanism, its range, its transposition and the parts it has."""

from dataclasses import dataclass

from gripway.display import Shown, brief
from gripway.model.mechanism import Mechanism
from gripway.model.pitch import plain_name


@dataclass(frozen=True)
class Instrument(Shown):
    """One flute, with the optional parts chosen.

    `id` is the folder of its tables; `parts` the optional parts it has, sorted;
    `known_parts` every part that could be asked for. `lowest` and `highest` are note
    numbers of the written range the tables cover. `sounds_semitones` is added to a
    written pitch for the sounding one. `family` names the instrument whose grip tables it
    shares. `tendencies` is false where the family's curated cents must not be used.
    Grips above `unsure_above` (a note number) count as low confidence.
    """

    id: str
    title: str
    mechanism: Mechanism
    lowest: int
    highest: int
    sounds_semitones: int = 0
    parts: tuple[str, ...] = ()
    known_parts: tuple[str, ...] = ()
    family: str = ""
    tendencies: bool = True
    unsure_above: int = 127

    def __repr__(self) -> str:
        return brief(
            self, self.title, *self.parts, f"{plain_name(self.lowest)} to {plain_name(self.highest)}"
        )
