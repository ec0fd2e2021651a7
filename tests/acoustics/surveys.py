"""The surveys that are shipped in `tables/surveys/`, worked out anew: `python -m tests.acoustics.surveys`.

Of the flutes that most play, `WITH_PAIRS`, the pairs for trills that only the model knows are among them.

To be run after every change of the tables of instruments, grips, trills or acoustics, or of the code that
`gripway.acoustics.make_survey` and `gripway.trills.found` import; takes some sixty seconds.
"""

from collections.abc import Iterable, Iterator
from itertools import combinations
from typing import Any

from gripway.catalog.flute.instruments import has_bore, instrument_names, load_instrument
from gripway.catalog.shipped_surveys import FOLDER, ship
from gripway.catalog.tables.locator import our_tables
from gripway.errors import RequestError
from gripway.model.instrument import Instrument
from gripway.tasks.flute_knowledge import AskedGrips, survey_data, survey_name
from gripway.tasks.trill_lists import pairs_data, pairs_name

WITH_PAIRS = ((), ("open-holes",), ("split-e",), ("b-foot",), ("b-foot", "open-holes"), ("b-foot", "split-e"))
"""Sets of parts of the concert flute whose pairs are shipped (judgement: those most played; 36 kB each)."""


def flutes() -> Iterator[Instrument]:
    """Every instrument whose bore is known, with every set of parts it can have."""
    for name in instrument_names():
        parts = load_instrument(name).known_parts
        seen: set[tuple[str, ...]] = set()
        for count in range(len(parts) + 1):
            for chosen in combinations(parts, count):
                try:
                    flute = load_instrument(name, chosen)
                except RequestError:  # parts no flute has together
                    continue
                if has_bore(flute) and flute.parts not in seen:
                    seen.add(flute.parts)
                    yield flute


def named(flute: Instrument) -> str:
    """The name a flute's survey has today."""
    return survey_name(flute, AskedGrips.of(flute))


def made(flute: Instrument) -> dict[str, Any]:
    """A flute's survey as the model gives it now."""
    data = survey_data(flute, AskedGrips.of(flute))
    assert data is not None
    return data


def pairs(of: Iterable[tuple[str, ...]] = WITH_PAIRS) -> dict[str, tuple[str, dict[str, Any]]]:
    """By the name of today the pairs of the flutes with these parts, with the file they may have."""
    found = {}
    for parts in of:
        flute = load_instrument("concert-flute", parts)
        asked = AskedGrips.of(flute)
        found[pairs_name(flute, asked)] = (
            "-".join(("pairs", flute.id, *flute.parts)),
            pairs_data(flute, asked),
        )
    return found


def main() -> None:
    """Work all of them out and write them into the checkout."""
    folder = our_tables() / FOLDER
    folder.mkdir(exist_ok=True)
    stems = {flute: "-".join((flute.id, *flute.parts)) for flute in flutes()}
    ship(folder, {**{named(flute): (stem, made(flute)) for flute, stem in stems.items()}, **pairs()})
    files = list(folder.iterdir())
    print(f"wrote {len(files)} files, {sum(file.stat().st_size for file in files)} bytes, to {folder}")


if __name__ == "__main__":
    main()
