"""The wheel holds all that is needed and works away from the checkout."""

import os
import re
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from gripway.catalog.examples import ABOUT
from gripway.catalog.installation import libraries

ROOT = Path(__file__).resolve().parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The built wheel; hatchling runs here, so nothing is fetched."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    (built,) = folder.glob("gripway-*.whl")
    return built


def files_below(folder: Path) -> set[str]:
    """Files of the checkout below a folder that belong in the wheel."""
    return {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def test_the_wheel_holds_every_table(wheel: Path) -> None:
    """Every file of tables/ is inside, under gripway/tables."""
    names = set(zipfile.ZipFile(wheel).namelist())
    tables = {f"gripway/tables/{name}" for name in files_below(ROOT / "tables")}
    assert "gripway/tables/instruments/concert-flute/holes.csv" in tables
    assert tables <= names


def test_the_wheel_holds_the_manual(wheel: Path) -> None:
    """Every topic of examples/manual is inside, under gripway/manual, with the bytes it has here."""
    archive = zipfile.ZipFile(wheel)
    manual = files_below(ROOT / "examples" / "manual")
    assert "limits.md" in manual
    for name in manual:
        assert archive.read(f"gripway/manual/{name}") == (ROOT / "examples" / "manual" / name).read_bytes()


def test_the_wheel_holds_the_examples(wheel: Path) -> None:
    """Every example that the command offers is inside, with the bytes it has here."""
    archive = zipfile.ZipFile(wheel)
    for name in ABOUT:
        assert archive.read(f"gripway/examples/{name}") == (ROOT / "examples" / name).read_bytes()


def test_the_wheel_holds_the_code_and_says_it_is_typed(wheel: Path) -> None:
    """Every file of the package is inside, py.typed (PEP 561) among them, and no test is."""
    names = set(zipfile.ZipFile(wheel).namelist())
    code = {f"gripway/{name}" for name in files_below(ROOT / "solver" / "gripway")}
    assert "gripway/py.typed" in code
    assert code <= names
    tops = {name.split("/")[0] for name in names}
    assert {top.split("-")[0] for top in tops} == {"gripway"}


def test_the_wheel_holds_the_text_faces_with_their_licence(wheel: Path) -> None:
    """Every file the page's faces name is inside, with the licence that must go with them."""
    archive = zipfile.ZipFile(wheel)
    folder = "gripway/web/static/faces"
    sheet = archive.read(f"{folder}/faces.css").decode()
    named = re.findall(r'url\("([^"]+)"\)', sheet)
    assert len(set(named)) == 4
    for name in named:
        assert archive.read(f"{folder}/{name}")[:4] == b"wOF2"  # the W3C's WOFF 2.0, section 4.1
    assert "SIL OPEN FONT LICENSE Version 1.1" in archive.read(f"{folder}/OFL.txt").decode()


def test_the_unpacked_wheel_finds_its_tables_and_its_manual(wheel: Path, tmp_path: Path) -> None:
    """From another folder, with only the unpacked wheel, instruments and manual are read from it."""
    site = tmp_path / "site"
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(site)
    code = (
        "import gripway\n"
        "from gripway.catalog.flute.instruments import load_instrument\n"
        "from gripway.catalog.tables.locator import tables_folder\n"
        "print(gripway.__file__)\n"
        "print(tables_folder())\n"
        "print(load_instrument().id, len(load_instrument().mechanism.holes))\n"
        "from gripway.catalog.tables.locator import manual_folder\n"
        "from gripway.catalog.manual import topics\n"
        "print(manual_folder())\n"
        "print(len(topics()), topics()['limits'].about)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=elsewhere,
        env={**os.environ, "PYTHONPATH": str(site)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    package, tables, instrument, manual, limits = done.stdout.splitlines()
    assert Path(package).parent == site / "gripway"
    assert Path(tables) == site / "gripway" / "tables"
    assert instrument == "concert-flute 16"
    assert Path(manual) == site / "gripway" / "manual"
    count = len(files_below(ROOT / "examples" / "manual"))
    assert limits == f"{count} What the whole passage keeps to"


def test_the_unpacked_wheel_works_where_nothing_can_be_written(wheel: Path, tmp_path: Path) -> None:
    """Files and folders of the installation read-only, no home: it answers, and no file of it has changed."""
    site = tmp_path / "site"
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(site)
    before = {path: path.read_bytes() for path in site.rglob("*") if path.is_file()}
    for path in (*site.rglob("*"), site):
        path.chmod(0o555 if path.is_dir() else 0o444)
    env = {**os.environ, "PYTHONPATH": str(site), "HOME": "/nonexistent", "PYTHONDONTWRITEBYTECODE": "1"}
    env |= {"XDG_CACHE_HOME": "/proc/none", "XDG_CONFIG_HOME": "/proc/none"}
    done = subprocess.run(
        [sys.executable, "-m", "gripway", "finger", "--notes", "E6 F#6", "--tempo", "120"],
        cwd=tmp_path,
        env=env,
        capture_output=True,
        text=True,
        check=False,
    )
    for path in (site, *site.rglob("*")):
        path.chmod(0o755)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("Stay with the standard grips")
    assert {path: path.read_bytes() for path in site.rglob("*") if path.is_file()} == before


def test_every_library_in_use_states_its_licence() -> None:
    """Every dependency, every extra but the developers' and the faces stand there with their licences."""
    found = {each.name: each for each in libraries()}
    assert {"click", "numpy", "verovio", "music21", "resvg-py", "pyarrow", "distributed"} <= set(found)
    assert found["music21"].extra == "scores"
    assert "pytest" not in found
    for each in found.values():
        assert each.licence not in ("", "not stated"), each.name
    assert {found[face].licence for face in ("source-sans", "source-serif", "leipzig")} == {"OFL-1.1"}
    assert "GPL" in found["verovio"].licence  # LGPL-3, as its project says


@pytest.mark.parametrize(
    ("module", "extra", "call"),
    [
        ("resvg_py", "png", "from gripway.page.diagram.png import png_of; png_of('<svg/>')"),
        ("music21", "scores", "import gripway; gripway.read(b'X:1')"),
    ],
)
def test_a_missing_optional_library_is_named_with_its_extra(module: str, extra: str, call: str) -> None:
    """Without it the error says what to install, and is one of ours."""
    code = (
        f"import sys; sys.modules[{module!r}] = None\n"
        "from gripway.errors import GripwayError\n"
        f"try:\n    {call}\nexcept GripwayError as problem:\n    print(problem)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert f"gripway[{extra}]" in done.stdout
