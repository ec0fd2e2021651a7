"""What a compressed score is, without the means to unpack one (those are loaded when needed)."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Archive:
    """The bytes of an .mxl file and the name of the member that is the score."""

    data: bytes
    member: str


def is_zip(data: bytes) -> bool:
    """Whether the bytes begin as a zip archive does."""
    return data.startswith((b"PK\x03\x04", b"PK\x05\x06"))
