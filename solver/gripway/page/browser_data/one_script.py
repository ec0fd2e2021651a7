"""Modules of the page joined into one script, for a file that has no server to load them from.

Every module becomes a function that gives what it exports, called once, those it imports from
before it. Only the forms that the page's modules are written in are known; any other is refused.
"""

import re
from importlib.resources import files
from posixpath import dirname, join, normpath

STATIC = files("gripway").joinpath("web", "static")
"""The page's own files, which are read as they are served."""

_IMPORT = re.compile(r'^import (?:\* as (\w+)|\{ ([^}]*) \}) from "(\.{1,2}/[^"]+)";\n', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:const|function|async function) (\w+)\b)", re.MULTILINE)
_UNKNOWN = re.compile(r"^(?:import|export)\b", re.MULTILINE)
_SEVERAL = re.compile(r"^export const \w+ = [^;{(\n]*, \w+ =", re.MULTILINE)
_ENDS_SCRIPT = re.compile(r"</script|<!--", re.IGNORECASE)


def page_style(*names: str) -> str:
    """Style sheets of the page, one after the other."""
    return "\n".join(_text(name) for name in names)


def one_script(entry: str) -> str:
    """The module `entry` with all it imports, as one classic script.

    Raises ValueError for modules that import in a circle, for an import of what is not exported,
    and for a form that is not known.
    """
    done: dict[str, str] = {}
    exports: dict[str, list[str]] = {}
    _add(entry, done, exports, ())
    text = '"use strict";\n' + "".join(done.values())
    if _ENDS_SCRIPT.search(text):
        raise ValueError(f"{entry} holds what ends a script in HTML")
    return text


def _add(name: str, done: dict[str, str], exports: dict[str, list[str]], above: tuple[str, ...]) -> None:
    if name in done:
        return
    if name in above:
        raise ValueError(f"modules import in a circle: {' -> '.join([*above, name])}")
    text = _text(name)
    if _SEVERAL.search(text) or _UNKNOWN.search(_EXPORT.sub("", _IMPORT.sub("", text))):
        raise ValueError(f"{name} is written in a form that cannot be joined")
    body = text
    for found in _IMPORT.finditer(text):
        whole, names, path = found.groups()
        other = normpath(join(dirname(name), path))
        _add(other, done, exports, (*above, name))
        body = body.replace(found[0], _taken(name, other, whole, names, exports[other]))
    exports[name] = _EXPORT.findall(text)
    inner = f"{_EXPORT.sub('', body)}return {{ {', '.join(exports[name])} }};\n"
    done[name] = f"const {_variable(name)} = (() => {{\n{inner}}})();\n"


def _taken(name: str, other: str, whole: str | None, names: str | None, exported: list[str]) -> str:
    """The line that stands for an import."""
    if whole:
        return f"const {whole} = {_variable(other)};\n"
    pairs = [pair.split(" as ") for pair in (names or "").split(", ")]
    missing = [pair[0] for pair in pairs if pair[0] not in exported]
    if missing:
        raise ValueError(f"{name} imports from {other} what it does not export: {', '.join(missing)}")
    return f"const {{ {', '.join(': '.join(pair) for pair in pairs)} }} = {_variable(other)};\n"


def _variable(name: str) -> str:
    return "module_" + re.sub(r"\W", "_", name)


def _text(name: str) -> str:
    return STATIC.joinpath(name).read_text(encoding="utf-8")
