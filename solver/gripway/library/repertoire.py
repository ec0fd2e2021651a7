"""Statistics of a repertoire, added up from the records: hardest changes, unusual grips, and where."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from gripway.library.record import CHANGES, GRIPS, PARTS, TALLY, Record, Row

ALL, PITCH, KEY, COMPOSER, INSTRUMENT = "all", "pitch", "key", "composer", "instrument"
BY = (ALL, INSTRUMENT, COMPOSER, KEY, PITCH)
"""What notes are told apart by."""

GRIPS_BY = (ALL, COMPOSER, KEY)
"""What grips are told apart by beside their pitch."""

NOBODY = "not named"
"""Composer of a score that names none."""


@dataclass(slots=True)
class _Share:
    """Notes of one kind: in how many parts, how many, and how many of them are what is looked for."""

    parts: int = 0
    notes: int = 0
    unusual: int = 0
    late: int = 0


@dataclass(slots=True)
class _Grip:
    """An unusual grip: parts and notes that have it, and the effort it saves in them."""

    kind: str = ""
    parts: int = 0
    notes: int = 0
    saves: float = 0.0


@dataclass(slots=True)
class _HardChange:
    """A change for which there is too little time: parts, times, and the highest load."""

    parts: int = 0
    times: int = 0
    load: float = 0.0


Place = tuple[str, str]
"""What is told apart by (of BY), and its value."""


@dataclass(slots=True)
class Repertoire:
    """Takes the records one by one; what it holds grows with different notes and grips, not with scores."""

    shares: dict[Place, _Share] = field(default_factory=lambda: defaultdict(_Share))
    pitches: dict[tuple[Place, str, str], _Share] = field(default_factory=lambda: defaultdict(_Share))
    grips: dict[tuple[Place, str, str, str], _Grip] = field(default_factory=lambda: defaultdict(_Grip))
    changes: dict[tuple[str, ...], _HardChange] = field(default_factory=lambda: defaultdict(_HardChange))

    def add(self, record: Record) -> None:
        """Add what a score has."""
        tally, late = record.of(TALLY), record.of(CHANGES)
        for number, part in enumerate(record.of(PARTS)):
            self._notes(part, [row for row in tally if row["of"] == number])
            for row in late:
                if row["of"] == number:
                    self._change(part["instrument"], row)
        for row in record.of(GRIPS):
            for place in ((ALL, ""), (COMPOSER, row["composer"] or NOBODY)):
                self.grips[place, row["instrument"], row["pitch"], row["grip"]].saves += row["saves"] or 0.0

    def _notes(self, part: Row, tally: list[Row]) -> None:
        flute, composer = part["instrument"], part["composer"] or NOBODY
        places: set[Place] = set()
        pitches: set[tuple[Place, str]] = set()
        grips: set[tuple[Place, str, str]] = set()
        for row in tally:
            values = {ALL: "", INSTRUMENT: flute, COMPOSER: composer, KEY: row["key"], PITCH: row["pitch"]}
            for by in BY:
                place = (by, values[by])
                places.add(place)
                self._count(self.shares[place], row)
                if by not in GRIPS_BY:
                    continue
                pitches.add((place, row["pitch"]))
                self._count(self.pitches[place, flute, row["pitch"]], row)
                if row["grip"]:
                    grips.add((place, row["pitch"], row["grip"]))
                    grip = self.grips[place, flute, row["pitch"], row["grip"]]
                    grip.kind = row["kind"]
                    grip.notes += row["notes"]
        for place in places:
            self.shares[place].parts += 1
        for place, pitch in pitches:
            self.pitches[place, flute, pitch].parts += 1
        for place, pitch, text in grips:
            self.grips[place, flute, pitch, text].parts += 1

    @staticmethod
    def _count(share: _Share, row: Row) -> None:
        share.notes += row["notes"]
        share.late += row["late"]
        share.unusual += row["notes"] if row["grip"] else 0

    def _change(self, flute: str, row: Row) -> None:
        key = (flute, row["from_pitch"], row["from_grip"], row["to_pitch"], row["to_grip"])
        change = self.changes[key]
        change.parts += 1
        change.times += row["times"]
        change.load = max(change.load, row["load"])

    def statistics(self) -> Iterator[Row]:
        """Notes, unusual grips and late changes, by each of BY; most notes first."""
        order = {by: place for place, by in enumerate(BY)}
        sorted_shares = sorted(
            self.shares.items(), key=lambda item: (order[item[0][0]], -item[1].notes, item[0][1])
        )
        for (by, value), share in sorted_shares:
            yield {
                "by": by,
                "value": value,
                "parts": share.parts,
                "notes": share.notes,
                "unusual": share.unusual,
                "unusual_share": round(share.unusual / share.notes, 5),
                "late": share.late,
                "late_share": round(share.late / share.notes, 5),
            }

    def unusual_grips(self) -> Iterator[Row]:
        """How often each unusual grip pays, by each of GRIPS_BY; those in most parts first."""
        order = {by: place for place, by in enumerate(GRIPS_BY)}
        sorted_grips = sorted(
            self.grips.items(),
            key=lambda item: (order[item[0][0][0]], item[0][0][1], -item[1].parts, -item[1].notes, item[0]),
        )
        for ((by, value), flute, pitch, text), grip in sorted_grips:
            every = self.pitches[(by, value), flute, pitch]
            yield {
                "by": by,
                "value": value,
                "instrument": flute,
                "pitch": pitch,
                "grip": text,
                "kind": grip.kind,
                "parts": grip.parts,
                "parts_with_pitch": every.parts,
                "parts_share": round(grip.parts / every.parts, 5),
                "notes": grip.notes,
                "notes_of_pitch": every.notes,
                "saves": None if by == KEY else round(grip.saves, 3),
            }

    def hardest_changes(self) -> Iterator[Row]:
        """The changes for which there is too little time, the most frequent first."""
        for key, change in sorted(self.changes.items(), key=lambda item: (-item[1].times, item[0])):
            flute, from_pitch, from_grip, to_pitch, to_grip = key
            yield {
                "instrument": flute,
                "from_pitch": from_pitch,
                "from_grip": from_grip,
                "to_pitch": to_pitch,
                "to_grip": to_grip,
                "parts": change.parts,
                "times": change.times,
                "load": change.load,
            }
