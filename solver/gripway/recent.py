"""Things used last, by what they depend on."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import TypeVar

T = TypeVar("T")


class Recent(OrderedDict[Hashable, T]):
    """Keeps so many things; the one unused for longest goes."""

    def __init__(self, most: int) -> None:
        super().__init__()
        self.most = most

    def get_or(self, key: Hashable, make: Callable[[], T]) -> T:
        """The thing of this key, made where it is missing."""
        if key not in self:
            self[key] = make()
        self.move_to_end(key)
        while len(self) > self.most:
            self.popitem(last=False)
        return self[key]
