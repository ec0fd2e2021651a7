"""The file of a house style: every key has its effect, every mistake its place."""

from pathlib import Path

import pytest

from gripway.catalog.own_files.house_style_file import HOUSE_KEYS, read_house_style
from gripway.errors import HouseStyleError, RequestError
from gripway.model.grip import Grip
from gripway.model.house_style import PLAIN_STYLE, HouseStyle, MarkChoice
from gripway.model.mark_text import Hand

FULL = """
[marks]
which = "figures"
as = "words"
placement = "free"
over = "group"
font_size = 7
distance = 1.5
least_gain = 0.25
at_most = 3
[omit]
pitches = ["Db6"]
kinds = ["trill"]
reasons = ["thumb"]
[only]
pitches = ["F#6", "C#6"]
kinds = ["alternate"]
reasons = ["easier"]
[grips]
form = "stacked"
hand_letters = true
separator = "/"
bracket = "round"
[abbreviations]
"alt. 1" = "T 1 3 | 2 Eb"
[words]
simile = "idem"
hold = "tenir"
release = "lever"
"""


def style(tmp_path: Path, text: str) -> HouseStyle:
    """The style of a file with this text."""
    path = tmp_path / "house.toml"
    path.write_text(text, encoding="utf-8")
    return read_house_style(path)


def test_every_key_is_read(tmp_path: Path) -> None:
    """Each key of HOUSE_KEYS stands in the file and ends in its place."""
    assert all(f"{key} =" in FULL for keys in HOUSE_KEYS.values() for key in keys)
    assert style(tmp_path, FULL) == HouseStyle(
        which="figures",
        style="words",
        placement="free",
        form="stacked",
        over="group",
        font_points=7.0,
        distance_spaces=1.5,
        hand=Hand(True, "/", "round", "tenir", "lever", "idem", (("alt. 1", Grip.parse("T 1 3 | 2 Eb")),)),
        say_simile=True,
        least_gain=0.25,
        at_most=3.0,
        omit=MarkChoice(frozenset({85}), frozenset({"trill"}), frozenset({"thumb"})),
        only=MarkChoice(frozenset({90, 85}), frozenset({"alternate"}), frozenset({"easier"})),
    )


def test_an_empty_file_is_the_plain_style(tmp_path: Path) -> None:
    """Every key may be left out."""
    assert style(tmp_path, "") == PLAIN_STYLE


def test_no_word_for_simile_says_none(tmp_path: Path) -> None:
    """An empty text leaves the second time of a figure without a mark."""
    assert not style(tmp_path, '[words]\nsimile = ""').say_simile


@pytest.mark.parametrize(
    ("text", "place", "said"),
    [
        ("[mark]\nwhich = 'every'", ":mark", "The tables are marks, omit, only, grips, words, abbreviations"),
        ("marks = 1", ":marks", "[marks] on a line of its own"),
        (
            "[marks]\ncolour = 'red'",
            ":marks.colour",
            "marks has which, as, placement, over, font_size, distance",
        ),
        ("[marks]\nwhich = 'some'", ":marks.which", '"needed", "first", "figures", "every"'),
        ("[marks]\nas = 3", ":marks.as", '"fingering"'),
        ("[marks]\nleast_gain = -1", ":marks.least_gain", "0 to 100"),
        ("[marks]\nleast_gain = true", ":marks.least_gain", "0 to 100"),
        ("[marks]\nat_most = 'few'", ":marks.at_most", "0 to 100"),
        ("[omit]\npitches = ['H6']", ":omit.pitches", "a pitch such as C#6"),
        ("[omit]\npitches = 'C6'", ":omit.pitches", '["one", "two"]'),
        ("[only]\nkinds = ['odd']", ":only.kinds", "harmonic"),
        ("[only]\nreasons = ['taste']", ":only.reasons", "easier, trill, thumb, held"),
        ("[grips]\nhand_letters = 'yes'", ":grips.hand_letters", "true or false"),
        ("[marks]\nfont_size = 90", ":marks.font_size", "4 to 24"),
        ("[marks]\ndistance = -1", ":marks.distance", "0 to 20"),
        ("[grips]\nform = 'stacked'", ":grips.form", 'as = "words"'),
        ("[grips]\nseparator = '-'", ":grips.separator", '"|", "/"'),
        ("[words]\nhold = 'grab'", ":words.hold", '"tenere"'),
        ("[abbreviations]\nx = 3", ":abbreviations.x", "a grip such as"),
        ("[abbreviations]\nx = 'T 9'", ":abbreviations.x", "a grip such as"),
        ("[abbreviations]\n'R2' = 'T 1 | 2'", ":abbreviations.R2", "no sign of gripway's"),
        ("[abbreviations]\n'sim.' = 'T 1 | 2'", ":abbreviations.sim.", "no sign of gripway's"),
        ("[words\n", ": line 1", "Mend that line"),
    ],
)
def test_a_mistake_is_told_with_its_place(text: str, place: str, said: str, tmp_path: Path) -> None:
    """File and key, and what could stand there."""
    with pytest.raises(HouseStyleError) as problem:
        style(tmp_path, text)
    assert problem.value.place == f"{tmp_path / 'house.toml'}{place}"
    assert said in problem.value.next_step


def test_a_file_that_is_not_there_or_no_text(tmp_path: Path) -> None:
    """Its name, and what to do."""
    with pytest.raises(HouseStyleError, match="cannot be read"):
        read_house_style(tmp_path / "none.toml")
    (tmp_path / "latin.toml").write_bytes(b"# \xe9\n")
    with pytest.raises(HouseStyleError, match="UTF-8"):
        read_house_style(tmp_path / "latin.toml")


@pytest.mark.parametrize(
    "wrong", [{"which": "some"}, {"style": "song"}, {"placement": "left"}, {"form": "odd"}, {"over": "bar"}]
)
def test_a_style_knows_its_words(wrong: dict[str, str]) -> None:
    """Also from Python nothing else can be asked for."""
    with pytest.raises(RequestError, match="Choose one of"):
        HouseStyle(**wrong)  # type: ignore[arg-type]


def test_the_example_has_every_key() -> None:
    """examples/house_style.toml shows each key that can be written."""
    text = (Path(__file__).parents[2] / "examples" / "house_style.toml").read_text(encoding="utf-8")
    assert all(f"\n{key} = " in text for keys in HOUSE_KEYS.values() for key in keys)
    assert read_house_style(Path(__file__).parents[2] / "examples" / "house_style.toml").which == "figures"
