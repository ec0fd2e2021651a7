"""Modules joined into one script: in order, under their names, and nothing that is not understood."""

from pathlib import Path

import pytest

from gripway.page.browser_data import one_script as joining


@pytest.fixture
def modules(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of modules in place of the page's own."""
    (tmp_path / "deep").mkdir()
    (tmp_path / "one.js").write_text("export const one = 1;\nexport function two() {\n  return one + 1;\n}\n")
    (tmp_path / "deep" / "mid.js").write_text(
        'import { one, two as second } from "../one.js";\nexport const three = one + second();\n'
    )
    (tmp_path / "top.js").write_text(
        'import * as all from "./one.js";\nimport { three } from "./deep/mid.js";\nall.two(three);\n'
    )
    monkeypatch.setattr(joining, "STATIC", tmp_path)
    return tmp_path


def test_modules_come_after_those_they_import(modules: Path) -> None:
    """Each once; imports become names taken from what a module gives."""
    assert joining.one_script("top.js") == (
        '"use strict";\n'
        "const module_one_js = (() => {\nconst one = 1;\nfunction two() {\n  return one + 1;\n}\n"
        "return { one, two };\n})();\n"
        "const module_deep_mid_js = (() => {\nconst { one, two: second } = module_one_js;\n"
        "const three = one + second();\nreturn { three };\n})();\n"
        "const module_top_js = (() => {\nconst all = module_one_js;\nconst { three } = module_deep_mid_js;\n"
        "all.two(three);\nreturn {  };\n})();\n"
    )


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ('import { four } from "./one.js";\n', "does not export: four"),
        ('import one from "./one.js";\n', "form"),
        ('import "./one.js";\n', "form"),
        ("export default 3;\n", "form"),
        ("export let five = 5;\n", "form"),
        ("export const six = 6, seven = 7;\n", "form"),
        ('import { three } from "./top.js";\n', "circle"),
        ('const end = "</SCRIPT>";\n', "ends a script"),
        ('const comment = "<!--";\n', "ends a script"),
    ],
)
def test_what_cannot_be_joined_is_refused(modules: Path, text: str, why: str) -> None:
    """An unknown name or form, a circle, and what would end the script in its document."""
    (modules / "top.js").write_text(text)
    with pytest.raises(ValueError, match=why):
        joining.one_script("top.js")
