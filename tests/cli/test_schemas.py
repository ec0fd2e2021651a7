"""The published schemas hold for the answers of every command, and hold nothing that no answer has."""

import json
import shutil
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from tests.cli.learnt_example import learnt_example
from tests.cli.run_gripway import FLUTE, PASSAGE, Answer, ask
from tests.cli.tiny_scores import fingering, part, score, simple
from tests.listening.simulated_player import MEASURED, as_wav, scale_of, some_takes

from gripway.catalog.answer_schemas import DEFS, SHARED, answer_schema, answer_titles
from gripway.catalog.tables.locator import our_tables
from gripway.cli.app import COMMANDS

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
STUDY = EXAMPLES / "rooftop_study.musicxml"
TRILLS = EXAMPLES / "kettle_trills.musicxml"
CELL = EXAMPLES / "ladder_cell.musicxml"
NOTES = ("finger", "--notes", PASSAGE, "--tempo", "160")
RULES = ("--rules", EXAMPLES / "rules.toml")
RETURNING = ("finger", "--notes", "E6 F#6 G#6 A6 E6 F#6 G#6 A6")
IN_CONFLICT = ("--limit", "no unusual grips", "--pin", "2=T 1 | Eb", "--limit", "tuning within 60 cents")
TACET = score(part('<note><rest measure="yes"/><duration>16</duration></note>'))
MARKED = simple("E6", "A6").replace(b"</note>", f"{fingering('T 9')}</note>".encode(), 1)
ALTERNATE = ("pitch", "grip", "kind", "cents", "cents_spread", "cents_vs_standard", "taken", "notes")
PAIRS = (("F6", "G6"), ("G#6", "A#6"), ("A4", "A5"), ("C#4", "D#4"), ("E7", "F7"), ("A6", "B6"))
"""Trills that between them have every key and every part of the points."""

ELSEWHERE = {
    "graph": {"hardest.parts.lip", "hardest.parts.thumb"},
    "taste": {f"known.{key}" for key in ("pitch", "grip", "marks")},
    "cells": {f"cells.worth.alternates.{key}" for key in ALTERNATE},
}
"""Keys of forms that two answers share which are met in the other: a route's changes, a plan's cells.

Known grips of a taste are met in tests/taste/test_taste_data.py."""

WITHOUT = {"unmark", "serve", "diagram", "tables", "schema", "help", "example", "completion"}
"""Commands that have no answer in JSON."""

ASKED: tuple[tuple[object, ...], ...] = (
    NOTES,
    (*RETURNING, "--tempo", "160", *RULES, "--limit", "tuning within 120 cents"),
    (*RETURNING, "--tempo", "60", "--dial", "familiarity=0", *RULES),
    ("finger", FLUTE),
    ("finger", "--notes", "D4 A5 D5", "--pin", "2=T 1 2 3 | 1 2 3", "--pin", "3=T 1 2 3 | 1 2 3"),
    ("finger", TRILLS),
    ("finger", "--notes", "E6 F#7 A6 Bb5"),
    (*NOTES, *IN_CONFLICT),
    (*NOTES, "--tradeoff"),
    (*NOTES, "--alternatives", "2"),
    ("grips", "F#6"),
    ("grips", "C8", "--found"),
    ("grips", "F#6", "--found", "--instrument", "alto-flute"),
    *(("trill", *pair) for pair in PAIRS),
    ("practise", CELL, "--days", "2"),
    ("practise", TRILLS),
    ("practise", FLUTE, "--bars", "1-20"),
    ("practise", FLUTE, "--bars", "141-165", "--days", "3"),
    ("practise", *NOTES[1:], "--dial", "learning=0"),
    ("cells", "--key", "A"),
    ("warmup", STUDY),
    ("listen", EXAMPLES / "f_sharp_takes.wav", "--grip", "F#6=T 1 3 | 2 Eb", "--dry-run"),
    ("listen", EXAMPLES / "f_sharp_takes.wav", "--grip", "G6=1 2 | Eb", "--dry-run"),
    ("listen", "--card", STUDY),
    ("graph", "--from", "G5", "--to", "C6", "--tempo", "30", "--with", "b-foot"),
    ("graph", "--near", "Bb5", "--tempo", "30", "--fingers", "3"),
    ("graph", "--bridge", "E6", "F#6"),
    ("graph", "--bridge", "Bb5: T 1 | 1 Eb", "Bb5: Tb 1 | Eb", "--tempo", "30"),
    ("graph", "--hardest", "--from", "E6", "--to", "G6"),
    ("about",),
    ("about", "--licences"),
    ("own-times",),
)


def violations(name: str, data: Any) -> list[str]:
    """Where an answer is not as its schema says."""
    found = Draft202012Validator(answer_schema(name)).iter_errors(data)
    return [f"{error.json_path}: {error.message}" for error in found]


@cache
def answer(*words: object) -> Answer:
    """An answer in JSON, asked for once."""
    return ask(*words, "--format", "json")


@pytest.mark.parametrize("words", ASKED, ids=lambda words: " ".join(map(str, words[:4])))
def test_an_answer_is_as_its_schema_says(words: tuple[object, ...]) -> None:
    """No key too many, none too few, each of its kind."""
    assert violations(str(words[0]), answer(*words).json) == []


@pytest.fixture(scope="module")
def others(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Any]]:
    """Answers that need a file of their own, and errors."""
    tmp_path = tmp_path_factory.mktemp("others")
    (tmp_path / "scores").mkdir()
    shutil.copy(CELL, tmp_path / "scores")
    (tmp_path / "marked.musicxml").write_bytes(MARKED)
    library = ("library", tmp_path / "scores", "--out", tmp_path / "out", "--jobs", "1", "--format", "json")
    log = ("--log", tmp_path / "log.jsonl")
    ask("practise", CELL, *log, "--reached", "1=80")
    takes = some_takes(tmp_path)
    own = tmp_path / "me.toml"
    own.write_text(MEASURED, encoding="utf-8")
    line = as_wav(scale_of((76, 78, 80, 81) * 3, 250.0, 0.05, 1, "line"), tmp_path / "line.wav")
    heard = ("evenness", line, "--notes", "E5 F#5 G#5 A5 " * 3, "--tempo", "60")
    return {
        "own-times": [ask("own-times", *takes, "--format", "json").json],
        "evenness": [ask(*heard, "--format", "json").json],
        "finger": [
            ask("finger", "-", "--format", "json", stdin=TACET).json,
            ask(*NOTES, "--player", own, "--format", "json").json,
        ],
        "consistency": [ask("consistency", tmp_path / "marked.musicxml", "--format", "json").json],
        "library": [ask(*library).json],
        "practise": [ask("practise", CELL, *log, "--format", "json").json],
        "taste": [learnt_example()[0].json],
        "error": [
            json.loads(ask(*wrong, "--format", "json").err.splitlines()[-1])
            for wrong in (("grips", "H6"), ("grips",), (*NOTES, *IN_CONFLICT))
        ],
    }


@pytest.mark.whole
def test_answers_about_files_are_as_their_schemas_say(others: dict[str, list[Any]]) -> None:
    """A tacet part, the marks of a score, a library, a practice log, what was learnt, errors."""
    assert others["consistency"][0]["findings"]
    assert others["practise"][0]["cells"][0]["reached"]
    assert [told for name, each in others.items() for data in each for told in violations(name, data)] == []


def test_every_key_of_a_schema_is_met_in_an_answer(others: dict[str, list[Any]]) -> None:
    """A key that no answer has is not published."""
    given = {name: list(each) for name, each in others.items()}
    for words in ASKED:
        given.setdefault(str(words[0]), []).append(answer(*words).json)
    assert set(given) == set(answer_titles()) == {*COMMANDS, "error"} - WITHOUT
    for name, data in given.items():
        met = {path for each in data for path in paths_of(each)}
        schema = answer_schema(name)
        missed = {*described_paths(schema, schema.get("$defs", {}))} - met
        assert missed == ELSEWHERE.get(name, set()), name


def paths_of(data: Any, path: str = "") -> Iterator[str]:
    """The key paths of an answer: `notes.others.grip`."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield f"{path}{key}"
            yield from paths_of(value, f"{path}{key}.")
    elif isinstance(data, list):
        for value in data:
            yield from paths_of(value, path)


def described_paths(node: Any, defs: dict[str, Any], path: str = "") -> Iterator[str]:
    """The key paths of a schema."""
    if "$ref" in node:
        yield from described_paths(defs[node["$ref"].removeprefix(DEFS)], defs, path)
    for key, held in node.get("properties", {}).items():
        yield f"{path}{key}"
        yield from described_paths(held, defs, f"{path}{key}.")
    for inner in (*node.get("allOf", ()), *node.get("anyOf", ()), *node.get("oneOf", ())):
        yield from described_paths(inner, defs, path)
    if "items" in node:
        yield from described_paths(node["items"], defs, path)


FILES = sorted((our_tables() / "answers").glob("*.json"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_schema_is_closed_and_says_what_each_key_holds(path: Path) -> None:
    """Every object lists all its keys and allows no other; every key is described; what is shared is used."""
    whole = json.loads(path.read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(whole)
    shared = json.loads((path.parent / f"{SHARED}.json").read_text(encoding="utf-8"))["$defs"]
    defs = shared | whole.get("$defs", {})
    bases = {DEFS + name for name in ("cents", "change", "cell", "stretch")}
    for node in objects_of(whole):
        is_base = any(node is defs_of(whole, base) for base in bases)
        is_closed = node.get("additionalProperties", node.get("unevaluatedProperties")) is False
        assert is_closed != is_base, node["properties"].keys()
        for key, held in node["properties"].items():
            leads = defs[held["$ref"].removeprefix(DEFS)] if "$ref" in held else held
            assert any("description" in each for each in (held, leads, *leads.get("anyOf", ()))), key


def defs_of(whole: Any, ref: str) -> Any:
    """A definition of this file; None where it has none of the name."""
    return whole.get("$defs", {}).get(ref.removeprefix(DEFS))


def objects_of(node: Any) -> Iterator[dict[str, Any]]:
    """Every object with keys in a schema."""
    if isinstance(node, dict):
        if "required" in node and node.get("type") == "object":
            yield node
        node = list(node.values())
    if isinstance(node, list):
        for each in node:
            yield from objects_of(each)


def test_the_command_prints_a_schema_that_stands_alone() -> None:
    """As JSON it has every reference in itself; as text it has every key; without a name, the list."""
    for name in answer_titles():
        printed = ask("schema", name).json
        assert printed == answer_schema(name)
        text = ask("schema", name, "--format", "text").out
        for path in described_paths(printed, printed.get("$defs", {})):
            assert f"  {path.rpartition('.')[2]}" in text, path
    assert [line.split()[0] for line in ask("schema").out.splitlines()] == list(answer_titles())


def test_a_schema_that_is_not_there() -> None:
    """The names near it are offered; the list of names has one form."""
    assert ask("schema", "--format", "json").code == 2
    found = ask("schema", "practice")
    assert (found.code, found.data) == (2, b"")
    assert "Did you mean practise" in found.err
