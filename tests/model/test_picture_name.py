"""The name of a grip's picture says the grip."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gripway.model.grip import TOUCHES, Grip
from gripway.model.mark_text import GRIP, MarkSign, read_sign
from gripway.model.picture_name import picture_name, picture_text, pictures_folder

grips = st.sets(st.sampled_from(TOUCHES), max_size=8).map(Grip.of)


@given(grips, grips, st.sampled_from(["part", "my%20part", "a-b_c"]))
def test_the_grip_is_read_from_the_name(grip: Grip, moving: Grip, stem: str) -> None:
    """With what trills, from whatever folder of pictures."""
    sign = MarkSign(GRIP, grip, moving)
    assert read_sign(picture_text(f"{pictures_folder(stem)}/{picture_name(sign)}")) == sign


@pytest.mark.parametrize(
    "source",
    ["", "T-L1_R2.png", "art/T-L1_R2.png", "a-grips/logo.png", "a-grips/x_y.png", "a-grips/T_T_T.png"],
)
def test_other_pictures_are_no_grips(source: str) -> None:
    """A publisher's picture, or one in another folder."""
    assert picture_text(source) == ""
