"""The floors of DEVELOPERS.md hold: who may import whom, and what may be imported at the top."""

import ast
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
SOURCE = ROOT / "solver" / "gripway"
HEAVY = frozenset(
    {
        "numpy",
        "ortools",
        "pandas",
        "networkx",
        "music21",
        "rich",
        "verovio",
        "starlette",
        "uvicorn",
        "jinja2",
        "msgspec",
        "distributed",
        "pyarrow",
    }
)
NOT_PUBLIC = frozenset({"cli", "web", "library", "page", "catalog"})
TABLES_PATH = re.compile(r"(^|/)tables(/|$)")


@dataclass(frozen=True)
class Rules:
    """The two tables of the section Floors: floor of each room; file or folder -> packages."""

    floors: dict[str, int]
    may_import: dict[str, frozenset[str]]

    def allowed_at_top(self, path: str) -> frozenset[str]:
        """Heavy packages the file at this path below the package may import at the top."""
        granted = (
            packages
            for place, packages in self.may_import.items()
            if path == place or (place.endswith("/") and path.startswith(place))
        )
        return frozenset().union(*granted)


@dataclass(frozen=True)
class Import:
    """One import of a module, its line, and whether it runs when the file is imported."""

    module: str
    line: int
    at_top: bool


def read_rules(text: str) -> Rules:
    """The rules in the text of DEVELOPERS.md."""
    section = re.split(r"^## ", text, flags=re.MULTILINE)
    (floors_section,) = (part for part in section if part.startswith("Floors\n"))
    rows = [
        [cell.strip().strip("`") for cell in line.strip("| ").split("|")]
        for line in floors_section.splitlines()
        if line.startswith("|") and not re.fullmatch(r"[|\s-]+", line)
    ]
    floors = {row[0]: int(row[1]) for row in rows if len(row) == 3 and row[1].isdigit()}
    grants = {
        place: frozenset(re.split(r"[,\s]+", row[1]))
        for row in rows
        if len(row) == 2 and row[0] != "files or folders"
        for place in re.split(r",\s*", row[0])
    }
    return Rules(floors, grants)


def imports_of(tree: ast.Module) -> Iterator[Import]:
    """Every import of a file; relative ones start with a dot."""
    yield from _imports(tree.body, at_top=True)


def _imports(nodes: list[ast.stmt], *, at_top: bool) -> Iterator[Import]:
    for node in nodes:
        if isinstance(node, ast.Import):
            yield from (Import(alias.name, node.lineno, at_top) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield Import("." * node.level + (node.module or ""), node.lineno, at_top)
        else:
            inside = isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
            for_types = isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test)
            for block in _blocks(node):
                yield from _imports(block, at_top=at_top and not inside and not for_types)


def _blocks(node: ast.AST) -> Iterator[list[ast.stmt]]:
    """The blocks of statements in a statement: bodies, else branches, handlers, cases."""
    for _, value in ast.iter_fields(node):
        if isinstance(value, list) and value and isinstance(value[0], ast.stmt):
            yield value
        elif isinstance(value, list):
            for child in value:
                if isinstance(child, ast.ExceptHandler | ast.match_case):
                    yield child.body


def violations(source: Path, rules: Rules) -> list[str]:
    """Everything in the package at `source` that breaks a rule, as file:line: what."""
    found: list[str] = []
    for path in sorted(source.rglob("*.py")):
        name = path.relative_to(source).as_posix()
        tree = ast.parse(path.read_text(encoding="utf-8"))
        room = name.split("/")[0].removesuffix(".py")
        if room not in rules.floors:
            found.append(f"{name}:1: the room {room} has no floor in DEVELOPERS.md")
            continue
        for item in imports_of(tree):
            found += [f"{name}:{item.line}: {what}" for what in _faults(source, rules, name, room, item)]
        if room != "catalog":
            found += [f"{name}:{line}: only catalog opens tables/" for line in _table_paths(tree)]
    return found


def _faults(source: Path, rules: Rules, name: str, room: str, item: Import) -> Iterator[str]:
    """What is wrong with one import in the file `name` of `room`."""
    first, *rest = item.module.split(".")
    if item.module.startswith("."):
        yield "relative import"
    elif first in HEAVY and item.at_top and first not in rules.allowed_at_top(name):
        yield f"{first} is imported at the top"
    elif first == "gripway":
        target = source.joinpath(*rest)
        if target.is_dir() or not target.with_suffix(".py").is_file():
            yield f"{item.module} is not a leaf module"
        if rest and rest[0] != room:
            yield from _faults_between(rules, room, rest[0], item)


def _faults_between(rules: Rules, room: str, other: str, item: Import) -> Iterator[str]:
    if rules.floors.get(other, 99) >= rules.floors[room]:
        yield f"{room} may not import from {other}"
    if room == "__init__" and other in NOT_PUBLIC:
        yield f"public names come from the tasks and the values they take and give, not from {other}"
    if item.module == "gripway.catalog.tables.locator":
        yield "only catalog opens tables/"


def _table_paths(tree: ast.Module) -> Iterator[int]:
    """Lines of texts, other than docstrings, that look like a path into tables/."""
    bare = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        is_text = isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in bare
        if is_text and TABLES_PATH.search(node.value):
            yield node.lineno


MOST_FILES = 20
RULES = read_rules((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"))


def test_the_code_stands_on_its_floors() -> None:
    """No file of the package breaks a rule of the section Floors."""
    assert violations(SOURCE, RULES) == []


def test_a_room_fits_one_screen() -> None:
    """No folder of the package has more than 20 files of code beside its `__init__.py`."""
    counts = Counter(
        path.parent.relative_to(SOURCE).as_posix()
        for path in SOURCE.rglob("*")
        if path.suffix in {".py", ".js"} and path.name != "__init__.py"
    )
    assert [(folder, count) for folder, count in counts.items() if count > MOST_FILES] == []


def test_the_table_has_every_floor() -> None:
    """The table is read whole: errors at the bottom, the command and the page at the top."""
    assert RULES.floors["errors"] == 0
    assert RULES.floors["cli"] == RULES.floors["web"] == 13
    assert set(RULES.floors.values()) == set(range(15))
    assert RULES.may_import["acoustics/"] == {"numpy"}


def small_tree(folder: Path, name: str, code: str) -> Path:
    """A package that keeps the rules, with one more file."""
    files = {
        "__init__.py": "from gripway.tasks import finger\n",
        "errors.py": "",
        "tasks.py": "def finger():\n    import numpy\n",
        "model/__init__.py": '"""tables/ are read elsewhere."""\n',
        "model/pitch.py": "import gripway.errors\n",
        "catalog/__init__.py": "",
        "catalog/tables/locator.py": 'from gripway.model.pitch import Pitch\nPLACE = "tables/grips"\n',
        "score/__init__.py": "",
        "acoustics/air.py": "import numpy as np\nfrom gripway.acoustics.end_corrections import end\n",
        "acoustics/end_corrections.py": "",
    }
    for file, text in (files | {name: code}).items():
        path = folder / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


@pytest.mark.parametrize(
    ("name", "code", "fault"),
    [
        ("model/grip.py", "import gripway.catalog.tables.locator", "model may not import from catalog"),
        (
            "model/grip.py",
            "def f():\n    from gripway.tasks import finger",
            "model may not import from tasks",
        ),
        ("score/read.py", "import json, gripway.catalog.tables.locator", "score may not import from catalog"),
        ("score/read.py", "from gripway.model import pitch", "gripway.model is not a leaf module"),
        ("score/read.py", "from gripway.model.lost import x", "gripway.model.lost is not a leaf module"),
        ("score/read.py", "import gripway", "gripway is not a leaf module"),
        ("score/read.py", "from gripway import finger", "gripway is not a leaf module"),
        ("score/read.py", "from . import write", "relative import"),
        ("score/read.py", "from ..model.pitch import Pitch", "relative import"),
        ("score/read.py", "import music21.converter", "music21 is imported at the top"),
        (
            "score/read.py",
            "try:\n    from pandas import x\nexcept ImportError:\n    x = 0",
            "pandas is imported",
        ),
        ("score/read.py", "try:\n    x = 0\nexcept OSError:\n    import rich", "rich is imported at the top"),
        ("score/read.py", "class A:\n    import ortools", "ortools is imported at the top"),
        ("acoustics/x.py", "import networkx", "networkx is imported at the top"),
        ("score/read.py", 'open("tables/grips/x.csv")', "only catalog opens tables/"),
        ("score/read.py", 'def f(p):\n    return p / "tables"', "only catalog opens tables/"),
        ("tasks.py", "from gripway.catalog.tables.locator import a", "only catalog opens tables/"),
        ("__init__.py", "from gripway.catalog.cache_folder import a", "public names come from the tasks"),
        ("attic/old.py", "", "the room attic has no floor"),
    ],
)
def test_each_rule_catches_its_fault(tmp_path: Path, name: str, code: str, fault: str) -> None:
    """A tree with one fault is found out, at the file where it is."""
    found = violations(small_tree(tmp_path, name, code), RULES)
    assert any(line.startswith(f"{name}:") and fault in line for line in found), found


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("score/read.py", "from gripway.model.pitch import Pitch\nfrom gripway.errors import GripwayError"),
        ("score/read.py", "def f():\n    import music21"),
        ("score/read.py", "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import numpy"),
        ("score/read.py", 'def f():\n    """Reads no tables/ at all."""\n    return "vegetables"'),
        ("compare/batched_paths.py", "import numpy"),
    ],
)
def test_what_is_allowed_passes(tmp_path: Path, name: str, code: str) -> None:
    """A tree that keeps the rules has no violation."""
    assert violations(small_tree(tmp_path, name, code), RULES) == []
