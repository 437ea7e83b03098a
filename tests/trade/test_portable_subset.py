"""The rules keep to what both engines understand alike: their source is read, not run."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

FOLDER = Path(__file__).resolve().parents[2] / "webapp/trade"
MODULES = sorted(path for path in FOLDER.glob("*.py") if path.name != "__main__.py")
BRIDGE = "phone.py"
BANNED_ATTRIBUTES = {
    "removeprefix", "removesuffix", "zfill", "ljust", "rjust", "center", "title", "casefold", "format_map", "_fields",
    "log1p", "prod", "hypot", "isclose", "fsum", "comb", "perm", "expandtabs", "translate",
}  # fmt: skip
BANNED_NAMES = {
    "sorted",
    "eval",
    "exec",
    "open",
    "input",
    "print",
    "globals",
    "locals",
    "vars",
    "__import__",
    "id",
    "hash",
}
BANNED_WORDS = ("flask", "sqlalchemy", "marshmallow", "datetime", "random", "uuid", "requests", "sqlite")


def running_code(tree: ast.Module) -> list[ast.AST]:
    """Every node that an engine runs: not what stands under `if TYPE_CHECKING:`."""
    kept: list[ast.AST] = []
    waiting: list[ast.AST] = [tree]
    while waiting:
        node = waiting.pop()
        kept.append(node)
        for child in ast.iter_child_nodes(node):
            under_check = isinstance(child, ast.If) and ast.unparse(child.test) == "TYPE_CHECKING"
            if not under_check:
                waiting.append(child)
    return kept


def complaints(source: str, name: str) -> list[str]:
    found = []
    for node in running_code(ast.parse(source)):
        found += [f"{name}:{getattr(node, 'lineno', 0)}: {words}" for words in _complaints(node, name)]
    return found


def _complaints(node: ast.AST, name: str) -> list[str]:  # noqa: C901, PLR0912  (one flat list of rules)
    found = []
    if isinstance(node, ast.Import) and not (name == BRIDGE and [one.name for one in node.names] == ["json"]):
        found.append("imports only math, its own modules and the shims")
    if isinstance(node, ast.ImportFrom) and not (node.level == 1 or node.module in ("__future__", "typing", "math")):
        found.append(f"imports {node.module}")
    if (
        isinstance(node, ast.ImportFrom)
        and node.module == "typing"
        and [one.name for one in node.names] != ["TYPE_CHECKING"]
    ):
        found.append("takes only TYPE_CHECKING from typing at run time")
    if isinstance(node, ast.Match | ast.NamedExpr | ast.AsyncFunctionDef | ast.TryStar | ast.Global | ast.Nonlocal):
        found.append(f"{type(node).__name__} is outside the subset")
    if isinstance(node, ast.FunctionDef) and node.args.posonlyargs:
        found.append("positional-only marks are outside the subset")
    if isinstance(node, ast.FunctionDef) and node.decorator_list:
        found.append("decorators are outside the subset")
    if isinstance(node, ast.Dict) and None in node.keys:
        found.append("{**a} in a display is outside the subset")
    if isinstance(node, ast.List | ast.Tuple | ast.Set) and any(isinstance(one, ast.Starred) for one in node.elts):
        found.append("[*a] in a display is outside the subset")
    if isinstance(node, ast.Slice) and node.step is not None:
        found.append("a slice with a step is outside the subset")
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mod):
        found.append("% is left alone: text formatting differs, and so do signs of floats")
    if isinstance(node, ast.FormattedValue | ast.JoinedStr):
        found.append("no f-strings: number formatting differs")
    if isinstance(node, ast.Attribute) and node.attr in BANNED_ATTRIBUTES:
        found.append(f".{node.attr} is missing or differs on the phone's engine")
    if isinstance(node, ast.Attribute) and node.attr in ("lower", "upper", "strip", "isdigit", "isspace"):
        found.append(f".{node.attr} knows only ASCII on the phone's engine")
    if isinstance(node, ast.Call) and not node.args and ast.unparse(node.func).endswith(".split"):
        found.append(".split() knows only ASCII white space on the phone's engine: say at what")
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in BANNED_NAMES:
        found.append(f"{node.func.id}() is not stable, or not for rules")
    if isinstance(node, ast.Name) and node.id in ("inf", "nan"):
        found.append("inf and nan are never returned")
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.name)
def test_a_module_keeps_to_the_portable_subset(path):
    assert complaints(path.read_text(encoding="utf-8"), path.name) == []


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.name)
def test_a_module_knows_no_clock_no_chance_and_no_server(path):
    text = path.read_text(encoding="utf-8")
    assert not re.search(r"\b(" + "|".join(BANNED_WORDS) + r")\b", text, re.IGNORECASE)
    assert not re.search(r"^\s*(import|from)\s+time\b", text, re.MULTILINE)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.name)
def test_no_function_calls_itself(path):
    """The phone's engine allows a depth of about 160: the rules iterate."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef):
            called = {
                one.func.id for one in ast.walk(node) if isinstance(one, ast.Call) and isinstance(one.func, ast.Name)
            }
            assert node.name not in called, node.name


@pytest.mark.parametrize(
    "source",
    [
        "import time",
        "from flask import Flask",
        "from typing import Any",
        "x = {**a}",
        "x = [*a]",
        "x = a[::-1]",
        "x = '%d' % 3",
        "x = f'{a:,}'",
        "x = sorted(a)",
        "x = a.removeprefix('b')",
        "x = a.lower()",
        "x = a.split()",
        "def f(a, /): pass",
        "match a:\n    case 1: pass",
        "import json",
        "x = print(1)",
    ],
)
def test_the_check_itself_finds_what_is_outside(source):
    assert complaints(source, "some.py")
