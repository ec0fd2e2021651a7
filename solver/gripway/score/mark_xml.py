"""A mark as MusicXML: the elements that stand for it, with their margins."""

from dataclasses import dataclass
from urllib.parse import quote

from gripway.errors import RequestError
from gripway.model.house_style import FINGERING, PICTURE, PLACEMENTS, STYLES, WORDS
from gripway.score.xml.splice import Indentation, text_element
from gripway.score.xml.xml_tree import LYRIC_NAME, XML_CHARACTERS

STAFF_SPACES = 4
_TENTHS = 10
"""In a staff space, by the definition of MusicXML."""

LINE_SPACES = 1.8
"""How much lower a second line of text stands, in staff spaces (judgement: 7 points at a staff of 7 mm)."""

LINE_CLEAR_SPACES = 1.0
"""How far the letters of a mark stand from the line that goes with it (judgement: a bracket's tail)."""

UPRIGHT_AND_SMALL = {"font-style": "normal", "font-size": "8"}
"""Of words over the staff, which engravers slant and set as large as an expression otherwise (judgement)."""

PICTURE_TENTHS = 60
"""How high a picture stands in a score: one and a half staves (judgement)."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A text at a note: as a <fingering>, as a lyric line of its own, or as words over the staff.

    `bracket` puts it in square brackets, the sign of an editor's addition. Of a picture the text is the
    file's name. `until` is the id of the note at which a line ends that goes with the mark. A text of
    several lines can only be words.
    """

    note_id: str
    text: str
    style: str = FINGERING
    placement: str = "below"
    bracket: bool = False
    until: str = ""
    font_points: float | None = None
    distance_spaces: float | None = None

    def __post_init__(self) -> None:
        if self.style not in STYLES:
            raise RequestError(
                f"no such style of mark: {self.style!r}", next_step=f"Choose one of {', '.join(STYLES)}"
            )
        if self.placement not in PLACEMENTS:
            raise RequestError(
                f"no such placement: {self.placement!r}", next_step=f"Choose one of {', '.join(PLACEMENTS)}"
            )
        if not self.text.strip() or not XML_CHARACTERS.fullmatch(self.text):
            raise RequestError(
                f"{self.text!r} cannot be written as a mark", next_step="Give a text of printable signs"
            )

    @property
    def written(self) -> str:
        """The text as it stands in the score."""
        if self.style == PICTURE:
            return quote(self.text)
        lines = [" ".join(line.split()) for line in self.text.strip().splitlines()]
        text = "\n".join(line for line in lines if line) if self.style == WORDS else " ".join(lines)
        return f"[{text}]" if self.bracket else text

    @property
    def attributes(self) -> dict[str, str]:
        """Size and height, where the house has them."""
        size = {} if self.font_points is None else {"font-size": f"{self.font_points:g}"}
        return size | self.height

    @property
    def height(self) -> dict[str, str]:
        """Where the first line of text stands above the top line of the staff, in tenths of a staff space."""
        if self.distance_spaces is None:
            return {}
        if self.placement == "below":
            return _height(-self.distance_spaces - (LINE_SPACES if self.until else 0.0), below=True)
        spaces = self.distance_spaces + LINE_SPACES * self.written.count("\n")
        return _height(spaces + (LINE_CLEAR_SPACES if self.until else 0.0))

    @property
    def line_height(self) -> dict[str, str]:
        """Where the line of a mark stands: between the staff and all of its letters."""
        if self.distance_spaces is None:
            return {}
        below = self.placement == "below"
        return _height(-self.distance_spaces if below else self.distance_spaces, below=below)


def _height(spaces: float, *, below: bool = False) -> dict[str, str]:
    """Staff spaces above the top line, or (less than 0) under the bottom line, as MusicXML has it."""
    return {"default-y": f"{_TENTHS * (spaces - STAFF_SPACES * below):g}"}


def fingering_element(mark: Mark) -> str:
    """A <fingering>."""
    return text_element("fingering", mark.written, placement=mark.placement, **mark.attributes)


def lyric_element(mark: Mark, number: str, layout: Indentation) -> str:
    """A lyric on our own line."""
    height = "".join(f' {key}="{value}"' for key, value in mark.height.items())
    holder = f'lyric number="{number}" name="{LYRIC_NAME}" placement="{mark.placement}"{height}'
    size = {key: value for key, value in mark.attributes.items() if key == "font-size"}
    return layout.wrap([holder], layout.margin_at(1) + text_element("text", mark.written, **size), 0)


def direction_element(mark: Mark, outside: Indentation, staff: str) -> str:
    """A direction before a note: words or a picture."""
    if mark.style == PICTURE:
        inner = f'<image source="{mark.written}" type="image/png" height="{PICTURE_TENTHS}"/>'
    else:
        inner = text_element("words", mark.written, **{**UPRIGHT_AND_SMALL, **mark.attributes})
    return _direction(mark, inner, outside, staff)


def line_element(mark: Mark, number: int, outside: Indentation, staff: str, *, ends: bool) -> str:
    """A direction with one end of the line of a mark: it has a hook where it ends."""
    hook = "none" if not ends else "up" if mark.placement == "below" else "down"
    kind = "stop" if ends else "start"
    height = "".join(f' {key}="{value}"' for key, value in mark.line_height.items())
    inner = f'<bracket type="{kind}" number="{number}" line-end="{hook}" line-type="solid"{height}/>'
    return _direction(mark, inner, outside, staff)


def _direction(mark: Mark, inner: str, outside: Indentation, staff: str) -> str:
    kind = outside.wrap(["direction-type"], outside.margin_at(2) + inner, 1)
    staff_line = outside.margin_at(1) + text_element("staff", staff) if staff else ""
    return (
        f'{outside.margin}<direction placement="{mark.placement}">{kind}{staff_line}'
        f"{outside.end_margin(0)}</direction>"
    )
