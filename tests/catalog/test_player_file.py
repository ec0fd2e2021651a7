"""The player's own file: every key has its effect, every mistake its place."""

from pathlib import Path

import pytest

from gripway.asked.wishes import Pin, Wishes
from gripway.catalog.own_files.player_file import read_player
from gripway.catalog.own_files.tuner_list import read_cents
from gripway.effort.candidate import Tendency
from gripway.errors import PlayerFileError
from gripway.model.grip import Grip
from gripway.model.player import PLAIN_PLAYER, Ban, OwnCents
from gripway.route.result import Route
from gripway.tasks.flutes import choose_instrument, flute
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes

FULL = """
[flute]
instrument = "concert-flute"
parts = ["b-foot", "split-e"]

[dials]
speed = 2
tuning = 0.5

[hands]
slower = { R4 = 1.5, L3 = 1.2 }
little_finger_supports = false

[bans]
grips = ["F#6: T L1 L3 | R3 Eb"]
kinds = ["harmonic"]

[known]
grips = ["F#6: T L1 | Eb"]

[cents]
file = "tuner.csv"
"""
TUNER = "pitch,grip,cents,spread_cents\nF#6,T L1 L3 | R3 Eb,22,3\nBb5,T L1 | R1 Eb,-4,\n"

PASSAGE = notes("B4 F#6 B4 F#6 D6 E6 F6 G6:1/4", tempo=180)
"""Quick leaps in which F#6 goes by the overblown B grip."""

STANDARD_F_SHARP = Grip.parse("T L1 L3 | R3 Eb")
FAST_F_SHARP = Grip.parse("T L1 | Eb")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a tuner's list."""
    (tmp_path / "tuner.csv").write_text(TUNER)
    return tmp_path


def file_with(folder: Path, text: str) -> Path:
    """A player file of this text."""
    path = folder / "me.toml"
    path.write_text(text)
    return path


def route(folder: Path, text: str, *pins: Pin) -> Route:
    """The route of the small passage for the player of a text."""
    player = read_player(file_with(folder, text))
    return finger(PASSAGE, flute(), Wishes(player=player, pins=pins))


def grips(found: Route) -> list[Grip | None]:
    """The grips of a route."""
    return [note.candidate.grip if note.candidate else None for note in found.notes]


def pitches_and_grips(found: Route) -> list[tuple[int, Grip | None]]:
    """The pitch (note number) of every note with its grip."""
    return [(n.note.pitch.number, grip) for n, grip in zip(found.notes, grips(found), strict=True)]


def pins_of(found: Route) -> tuple[Pin, ...]:
    """Pins that hold a route as it is."""
    return tuple(Pin(place, grip) for place, grip in enumerate(grips(found)) if grip)


def times(found: Route) -> list[float]:
    """Change times of a route in ms."""
    return [change.change_ms for change in found.changes]


def test_every_key_is_read(folder: Path) -> None:
    """The whole file, key by key."""
    player = read_player(file_with(folder, FULL))
    assert (player.instrument, player.parts) == ("concert-flute", ("b-foot", "split-e"))
    assert player.dials == (("speed", 2.0), ("tuning", 0.5))
    assert player.finger_factors == (("L3", 1.2), ("R4", 1.5)), "in the order of the fingers"
    assert player.little_finger_supports is False
    assert player.bans == (Ban(90, STANDARD_F_SHARP), Ban(kind="harmonic"))  # F#6 is MIDI note 90
    assert player.known == {(90, FAST_F_SHARP)}
    assert player.cents == (
        OwnCents(90, STANDARD_F_SHARP, 22.0, 3.0),
        OwnCents(82, Grip.parse("T L1 | R1 Eb"), -4.0, 5.0),
    )


@pytest.mark.parametrize("text", ["", "[dials]\n", "# nothing\n"])
def test_an_empty_file_is_the_plain_player(folder: Path, text: str) -> None:
    """Every key may be left out."""
    assert read_player(file_with(folder, text)) == PLAIN_PLAYER


def test_a_byte_order_mark_does_not_matter(folder: Path) -> None:
    """Files of some editors begin with one."""
    path = folder / "me.toml"
    path.write_bytes(b"\xef\xbb\xbf[dials]\nspeed = 2\n")
    assert read_player(path).dials == (("speed", 2.0),)


def test_flute_and_parts_choose_the_instrument(folder: Path) -> None:
    """The file's flute is the one played on."""
    player = read_player(file_with(folder, '[flute]\ninstrument = "alto flute"\n'))
    assert choose_instrument(None, (), player)[0].id == "alto-flute"
    player = read_player(file_with(folder, '[flute]\nparts = ["B-foot"]\n'))
    assert choose_instrument(None, (), player)[0].parts == ("b-foot",)


def test_a_slower_finger_makes_its_changes_slower(folder: Path) -> None:
    """With the grips held fast, changes in which L1 moves take longer, all others the same time."""
    plain = route(folder, "")
    held = pins_of(plain)
    slow = route(folder, "[hands]\nslower = { L1 = 2.0 }\n", *held)
    for before, after in zip(plain.changes, slow.changes, strict=True):
        moves = "L1" in dict(before.movers)
        assert (after.change_ms > before.change_ms) == moves
    assert any("L1" in dict(change.movers) for change in plain.changes)


def test_a_dial_changes_choices_but_no_times(folder: Path) -> None:
    """Without the speed dial the fast grips go; the same grips take the same time."""
    plain = route(folder, "")
    turned = "[dials]\nspeed = 0\nfamiliarity = 4\n"
    assert grips(route(folder, turned)) != grips(plain)
    assert times(route(folder, turned, *pins_of(plain))) == times(plain)


def test_a_little_finger_that_does_not_support_costs_balance(folder: Path) -> None:
    """With R4 no support, a route whose R4 is down throughout is held more loosely."""
    plain = route(folder, "")
    loose = route(folder, "[hands]\nlittle_finger_supports = false\n", *pins_of(plain))
    assert loose.effort > plain.effort
    assert times(loose) == times(plain)


def test_banned_grips_and_kinds_are_not_used(folder: Path) -> None:
    """One grip of one pitch; a whole kind."""
    assert (90, FAST_F_SHARP) in pitches_and_grips(route(folder, ""))
    banned = route(folder, '[bans]\ngrips = ["F#6: T L1 | Eb"]\n')
    assert (90, FAST_F_SHARP) not in pitches_and_grips(banned)
    kinds = {n.candidate.kind for n in route(folder, '[bans]\nkinds = ["harmonic"]\n').notes if n.candidate}
    assert "harmonic" not in kinds


def test_a_known_grip_costs_no_unfamiliarity(folder: Path) -> None:
    """The same route, cheaper at the notes of the known grip and nowhere else."""
    plain = route(folder, "")
    known = route(folder, '[known]\ngrips = ["F#6: T L1 | Eb"]\n', *pins_of(plain))
    for before, after in zip(plain.notes, known.notes, strict=True):
        is_known = (
            before.candidate is not None
            and before.candidate.grip == FAST_F_SHARP
            and before.note.pitch.number == 90
        )
        assert ("familiarity" in dict(after.holding.parts)) == (
            not is_known and "familiarity" in dict(before.holding.parts)
        )
    assert known.effort < plain.effort


def test_own_cents_take_the_place_of_the_taught_ones(folder: Path) -> None:
    """A tuner reading is used as it stands, with the source `measured`."""
    pin = Pin(1, STANDARD_F_SHARP)
    note = route(folder, '[cents]\nfile = "tuner.csv"\n', pin).notes[1]
    assert note.candidate is not None
    tendency = note.candidate.tendency
    assert (tendency.cents, tendency.spread_cents, tendency.source) == (22.0, 3.0, "measured")
    plain = route(folder, "", pin).notes[1].candidate
    assert plain is not None
    assert isinstance(plain.tendency, Tendency)
    assert plain.tendency.source != "measured"


@pytest.mark.parametrize(
    ("text", "key", "said"),
    [
        ("[flut]\n", "flut", "The tables are flute, dials, hands, bans, known, cents"),
        ("flute = 3\n", "flute", "Write [flute] on a line of its own"),
        ('[flute]\nmake = "x"\n', "flute.make", "flute has instrument, parts"),
        ("[flute]\ninstrument = 3\n", "flute.instrument", "Put it in quotes"),
        ('[flute]\ninstrument = "oboe"\n', "flute.instrument", "The instruments are"),
        ('[flute]\nparts = "b-foot"\n', "flute.parts", "Write it as"),
        ("[flute]\nparts = [1]\n", "flute.parts", "Write it as"),
        ('[flute]\nparts = ["gold"]\n', "flute.parts", "b-foot"),
        ("[dials]\ntone = 2\n", "dials.tone", "dials has speed, steadiness, tuning, familiarity"),
        ("[dials]\nspeed = 5\n", "dials.speed", "from 0 to 4"),
        ("[dials]\nspeed = nan\n", "dials.speed", "from 0 to 4"),
        ('[dials]\nspeed = "2"\n', "dials.speed", "is not a number. Choose a value from 0 to 4"),
        ("[dials]\nspeed = true\n", "dials.speed", "True is not a number. Choose a value from 0"),
        ("[hands]\nslower = 2\n", "hands.slower", "Write it as { R4 = 1.2 }"),
        ("[hands]\nslower = { R5 = 2 }\n", "hands.slower.R5", "hands.slower has LT, L1, L2"),
        ("[hands]\nslower = { R4 = 9 }\n", "hands.slower.R4", "Choose a value from 0.5 to 5"),
        ("[hands]\nslower = { R4 = nan }\n", "hands.slower.R4", "nan is not from 0.5 to 5"),
        ("[hands]\nlittle_finger_supports = 1\n", "hands.little_finger_supports", "Write true or false"),
        ("[hands]\nfaster = { R4 = 2 }\n", "hands.faster", "hands has slower, little_finger_supports"),
        ('[bans]\ngrips = ["F#6 T L1 | Eb"]\n', "bans.grips", 'Write "F#6: T L1 L3 | R3 Eb"'),
        ('[bans]\ngrips = ["H6: T | Eb"]\n', "bans.grips", "not a pitch"),
        ('[bans]\ngrips = ["F#6: T L9 | Eb"]\n', "bans.grips", "'L9' is not a touch"),
        ('[bans]\nkinds = ["fast"]\n', "bans.kinds", "Write one of alternate, harmonic, trill, vented"),
        ('[bans]\nkinds = ["standard"]\n', "bans.kinds", "'standard' is none of the choices"),
        ('[known]\ngrips = "F#6: T | Eb"\n', "known.grips", "Write it as"),
        ("[cents]\nfile = 3\n", "cents.file", "Put it in quotes"),
    ],
)
def test_a_mistake_names_file_and_key(folder: Path, text: str, key: str, said: str) -> None:
    """Nothing is passed over: each mistake is refused at its key, with the way out."""
    path = file_with(folder, text)
    with pytest.raises(PlayerFileError) as mistake:
        read_player(path)
    assert mistake.value.place == f"{path}:{key}"
    assert said in str(mistake.value)


@pytest.mark.parametrize(
    ("data", "said", "place"),
    [
        (b"[dials\n", "is no TOML", ": line 1"),
        (b"\nspeed == 2\n", "is no TOML", ": line 2"),
        (b"\xff\xfe\x00", "is no UTF-8 text", ""),
    ],
)
def test_a_file_that_is_no_toml_is_refused(folder: Path, data: bytes, said: str, place: str) -> None:
    """The file is named, and the line where there is one."""
    path = folder / "me.toml"
    path.write_bytes(data)
    with pytest.raises(PlayerFileError, match=said) as mistake:
        read_player(path)
    assert mistake.value.place == f"{path}{place}"


@pytest.mark.parametrize("name", ["none.toml", "."])
def test_a_file_that_cannot_be_read_is_refused(folder: Path, name: str) -> None:
    """A missing file and a folder."""
    with pytest.raises(PlayerFileError, match="cannot be read: "):
        read_player(folder / name)


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("", 1, "no column pitch"),
        ("pitch,grip\nF#6,T | Eb\n", 1, "no column cents"),
        ("F#6,T L1 | Eb,5,3\n", 1, "no column pitch"),
        ("pitch,grip,cents\nF#6,,5\n", 2, "grip missing"),
        ("pitch,grip,cents\nF#6\n", 2, "grip and cents missing"),
        ("pitch,grip,cents\nF#6,T L1 | Eb,5\nH6,T L1 | Eb,5\n", 3, "'H6' is not a pitch"),
        ("pitch,grip,cents\nF#6,T L7 | Eb,5\n", 2, "'L7' is not a touch"),
        ("pitch,grip,cents\nF#6,T L1 | Eb,high\n", 2, "high"),
        ("pitch,grip,cents\nF#6,T L1 | Eb,nan\n", 2, "no reading of this note"),
        ("pitch,grip,cents\nF#6,T L1 | Eb,250\n", 2, "no reading of this note"),
        ("pitch,grip,cents,spread_cents\nF#6,T L1 | Eb,5,-1\n", 2, "no reading of this note"),
        ("pitch,grip,cents\nF#6,T L1 | Eb,5,3,9\n", 2, "more cells than columns"),
        ("pitch,grip,cents\nF#6,T L1 | Eb,5\n\nGb6,L1 T | Eb,6\n", 4, "the same grip as in line 2"),
    ],
)
def test_a_mistake_in_the_tuner_list_names_its_line(tmp_path: Path, text: str, line: int, said: str) -> None:
    """Each is refused with file:line and the columns there are."""
    path = tmp_path / "tuner.csv"
    path.write_text(text)
    with pytest.raises(PlayerFileError) as mistake:
        list(read_cents(path))
    assert mistake.value.place == f"{path}:{line}"
    assert said in mistake.value.what
    assert "pitch, grip, cents, spread_cents" in mistake.value.next_step


def test_a_tuner_list_that_is_not_there_is_named(folder: Path) -> None:
    """The list is looked for beside the player file."""
    with pytest.raises(PlayerFileError, match="cannot be read") as mistake:
        read_player(file_with(folder, '[cents]\nfile = "none.csv"\n'))
    assert mistake.value.place == str(folder / "none.csv")
