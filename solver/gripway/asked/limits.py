"""Limits over a whole passage: the values that are asked for, and their words.

Each limit has words of its own, which the command takes, the answer repeats and a conflict names.
"""

from dataclasses import dataclass, fields
from numbers import Real

from gripway.display import set_apart
from gripway.errors import ArgumentError, RequestError
from gripway.model.rule import PREFER, Rule, Span

USUAL_SECONDS = 60.0
"""A stop only: the search under limits counts its work, and mostly needs a tenth of this."""

TOO_MUCH = 1_000_000
"""No limit is as large as this."""


@dataclass(frozen=True, slots=True)
class Thumb:
    """The thumb stays on one plate: over a span, or everywhere (None)."""

    span: Span | None = None

    @property
    def words(self) -> str:
        """`thumb stays in bars 12-20`."""
        return f"thumb stays in {self.span.words}" if self.span else "thumb stays"


@dataclass(frozen=True, slots=True)
class Limits:
    """What a whole route must keep to; nothing is asked for by default.

    `same_figure`: notes of one figure share one grip; `unusual` is how many notes, as played, may leave their
    standard grip (the same grip on two notes counts twice), `learnt` how many different new grips there may
    be; `tuning_cents` the sum of all leans, `worst_cents` the lean of a note at most; `thumb` spans in which
    the thumb stays; `rules` the player's own. `seconds` ends the search. Raises RequestError for a figure
    that is no limit.

    >>> import gripway
    >>> gripway.Limits(unusual=3, worst_cents=15.0)
    <Limits: unusual=3, worst_cents=15.0>
    """

    same_figure: bool = False
    unusual: int | None = None
    learnt: int | None = None
    tuning_cents: float | None = None
    worst_cents: float | None = None
    thumb: tuple[Thumb, ...] = ()
    rules: tuple[Rule, ...] = ()
    seconds: float = USUAL_SECONDS

    def __post_init__(self) -> None:
        for name in ("unusual", "learnt", "tuning_cents", "worst_cents"):
            value = getattr(self, name)
            number = isinstance(value, Real)
            if value is not None and not number:
                raise ArgumentError(f"{value!r} is no number", place=name, next_step="Give for example 3")
            if value is not None and not 0 <= value < TOO_MUCH:
                raise RequestError(
                    f"{_number(value)} is no limit",
                    place=self._words_of(name),
                    next_step=f"Give 0 or more, and less than {TOO_MUCH}",
                )
        if not 0.0 < self.seconds <= 3600.0:
            raise RequestError(
                f"{self.seconds:g} seconds is no time to search",
                place="the time limit",
                next_step="Give more than 0 and at most 3600",
            )

    def _words_of(self, name: str) -> str:
        return {
            "same_figure": "same figure same grip",
            "unusual": f"at most {self.unusual} unusual grips" if self.unusual else "no unusual grips",
            "learnt": f"learn at most {self.learnt} grips",
            "tuning_cents": f"tuning within {_number(self.tuning_cents)} cents",
            "worst_cents": f"no note over {_number(self.worst_cents)} cents",
        }[name]

    def words(self) -> dict[str, str]:
        """The words of every limit that is asked for, by its name (`thumb 0`, `rule 2` for several)."""
        named = {
            name: self._words_of(name)
            for name in ("same_figure", "unusual", "learnt", "tuning_cents", "worst_cents")
            if getattr(self, name) is not None and getattr(self, name) is not False
        }
        named |= {f"thumb {k}": thumb.words for k, thumb in enumerate(self.thumb)}
        return named | {f"rule {k}": rule.words for k, rule in enumerate(self.rules)}

    def __bool__(self) -> bool:
        return bool(self.words())

    def only(self, names: set[str]) -> "Limits":
        """The limits of these names; preferences stay, as they forbid nothing."""
        plain = {
            field.name: getattr(self, field.name)
            for field in fields(self)
            if field.name in names or field.name == "seconds"
        }
        return Limits(
            **plain,
            thumb=tuple(thumb for k, thumb in enumerate(self.thumb) if f"thumb {k}" in names),
            rules=tuple(
                rule for k, rule in enumerate(self.rules) if f"rule {k}" in names or rule.action == PREFER
            ),
        )

    def __repr__(self) -> str:
        return set_apart(self)


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.15g}"


NO_LIMITS = Limits()
"""Nothing is asked of the whole route."""
