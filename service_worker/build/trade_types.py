"""TypeScript types from the TypedDicts of `webapp/trade`, read from the source text, so nothing is imported.

Understood: TypedDict classes (also `total=False`, NotRequired, and one TypedDict built on another) and aliases of
Literal, unions, lists, dicts and tuples. Anything else is an error, so that a type can never be dropped without a word.
"""

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import TypeGuard

PLAIN = {
    "str": "string",
    "int": "number",
    "float": "number",
    "bool": "boolean",
    "None": "null",
    "Any": "unknown",
    "object": "unknown",
    "list": "unknown[]",
    "dict": "{ [key: string]: unknown }",
}
RENAMED = {"Record": "Record_"}  # `Record` is TypeScript's own
LIST_LIKE = {"list", "List", "Sequence", "Iterable", "set", "frozenset"}
DICT_LIKE = {"dict", "Dict", "Mapping"}
HEADER = "// Made from the TypedDicts of webapp/trade by service_worker/build/trade_types.py. Not edited by hand.\n"


class UnknownTypeError(Exception):
    """A type that this generator cannot say in TypeScript."""


def trade_types(folder: Path) -> str:
    """Return the TypeScript for every module of the folder, in the order of their names."""
    modules = [(path.name, ast.parse(path.read_text("utf-8"))) for path in sorted(folder.glob("*.py"))]
    statements = [(name, node) for name, module in modules for node in _type_statements(module)]
    known = {_name_of(node) for _, node in statements}
    parts: dict[str, str] = {}
    for name, node in statements:
        text = _statement(node, known)
        if parts.setdefault(_name_of(node), text) != text:
            raise UnknownTypeError(f"{name}: {_name_of(node)} has two meanings in webapp/trade")
    return HEADER + "\n" + "\n".join(parts.values())


def _type_statements(module: ast.Module) -> Iterator[ast.ClassDef | ast.Assign | ast.AnnAssign]:
    """Yield TypedDict classes and type aliases, of the module's top and of its `if TYPE_CHECKING:` blocks."""
    hidden = [node for block in module.body if _is_type_checking(block) for node in block.body]
    typed_dicts = {"TypedDict"}
    for node in [*module.body, *hidden]:
        if isinstance(node, ast.ClassDef) and any(isinstance(b, ast.Name) and b.id in typed_dicts for b in node.bases):
            typed_dicts.add(node.name)
            yield node
    for node in hidden:
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            yield node


def _is_type_checking(node: ast.stmt) -> TypeGuard[ast.If]:
    return isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"


def _name_of(node: ast.ClassDef | ast.Assign | ast.AnnAssign) -> str:
    if isinstance(node, ast.ClassDef):
        return node.name
    target = node.targets[0] if isinstance(node, ast.Assign) else node.target
    if not isinstance(target, ast.Name):
        raise UnknownTypeError(f"line {node.lineno}: an alias needs a plain name")
    return target.id


def _statement(node: ast.ClassDef | ast.Assign | ast.AnnAssign, known: set[str]) -> str:
    name = RENAMED.get(_name_of(node), _name_of(node))
    if isinstance(node, ast.ClassDef):
        return _interface(node, name, known)
    if node.value is None:
        raise UnknownTypeError(f"{name} has no value")
    return f"export type {name} = {_type(node.value, known)};\n"


def _interface(node: ast.ClassDef, name: str, known: set[str]) -> str:
    bases = [b.id for b in node.bases if isinstance(b, ast.Name) and b.id != "TypedDict"]
    extends = f" extends {', '.join(RENAMED.get(b, b) for b in bases)}" if bases else ""
    total = not any(k.arg == "total" and isinstance(k.value, ast.Constant) and not k.value.value for k in node.keywords)
    lines = [_field(field, known, total=total) for field in node.body if isinstance(field, ast.AnnAssign)]
    words = ast.get_docstring(node)
    comment = f"/** {' '.join(words.split())} */\n" if words else ""
    return f"{comment}export interface {name}{extends} {{\n{''.join(lines)}}}\n"


def _field(node: ast.AnnAssign, known: set[str], *, total: bool) -> str:
    if not isinstance(node.target, ast.Name):
        raise UnknownTypeError(f"line {node.lineno}: a field needs a plain name")
    annotation, optional = node.annotation, not total
    if isinstance(annotation, ast.Subscript) and _plain_name(annotation.value) in {"NotRequired", "Required"}:
        optional = _plain_name(annotation.value) == "NotRequired"
        annotation = annotation.slice
    return f"  {node.target.id}{'?' if optional else ''}: {_type(annotation, known)};\n"


def _plain_name(node: ast.expr) -> str:
    if isinstance(node, ast.Name):
        return node.id
    return node.attr if isinstance(node, ast.Attribute) else ""


def _type(node: ast.expr, known: set[str]) -> str:
    if isinstance(node, ast.Constant):
        return _constant(node, known)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.BitOr):
        return f"{_type(node.left, known)} | {_type(node.right, known)}"
    if isinstance(node, ast.Subscript):
        return _subscript(node, known)
    name = _plain_name(node)
    words = PLAIN | {known_name: RENAMED.get(known_name, known_name) for known_name in known}
    if name in words:
        return words[name]
    raise UnknownTypeError(f"line {getattr(node, 'lineno', '?')}: {ast.unparse(node)}")


def _constant(node: ast.Constant, known: set[str]) -> str:
    if node.value is None:
        return "null"
    if isinstance(node.value, str):  # a forward reference in quotes
        return _type(ast.parse(node.value, mode="eval").body, known)
    raise UnknownTypeError(f"line {node.lineno}: {node.value!r}")


def _subscript(node: ast.Subscript, known: set[str]) -> str:
    name = _plain_name(node.value)
    items = node.slice.elts if isinstance(node.slice, ast.Tuple) else [node.slice]
    if name == "Literal":
        return " | ".join(_literal(item) for item in items)
    inner = [_type(item, known) for item in items if not _is_ellipsis(item)]
    if name in LIST_LIKE or (name == "tuple" and len(items) == 2 and _is_ellipsis(items[1])):
        return f"({inner[0]})[]" if " | " in inner[0] else f"{inner[0]}[]"
    if name in DICT_LIKE:
        return f"{{ [key: string]: {inner[1]} }}"
    if name == "tuple":
        return f"[{', '.join(inner)}]"
    if name == "Optional":
        return f"{inner[0]} | null"
    if name == "Union":
        return " | ".join(inner)
    raise UnknownTypeError(f"line {node.lineno}: {ast.unparse(node)}")


def _literal(node: ast.expr) -> str:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return '"' + node.value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    if isinstance(node, ast.Constant) and node.value is None:
        return "null"
    if isinstance(node, ast.Constant) and isinstance(node.value, bool):
        return str(node.value).lower()
    return ast.unparse(node)


def _is_ellipsis(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value is Ellipsis
