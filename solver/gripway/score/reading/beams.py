"""Which notes of a part stand under one beam."""

from gripway.score.xml.xml_tree import Element


class BeamGroups:
    """Numbers the beamed groups of a part from 1, in the order of the file; voices have their own."""

    def __init__(self) -> None:
        self.groups = 0
        self.open: dict[str, int] = {}

    def group_of(self, note: Element) -> int:
        """The number of a note's group, 0 where it has no beam; grace notes are left out.

        `note` is the first of a chord, which carries the beams of all.
        """
        outer = next((beam for beam in note.all("beam") if beam.attributes.get("number", "1") == "1"), None)
        if outer is None or note.find("grace") is not None:
            return 0
        voice, kind = note.text_of("voice"), outer.text.strip()
        if kind == "begin":
            self.groups += 1
            self.open[voice] = self.groups
        group = self.open.get(voice, 0)
        if kind == "end":
            self.open.pop(voice, None)
        return group
