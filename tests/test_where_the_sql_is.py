"""SQL is written in modules named for it, whatever else a feature's folder holds."""

import ast
from pathlib import Path

import pytest

WEBAPP = Path(__file__).parents[1] / "webapp"
WORDS = {"select", "insert", "update", "delete", "exists", "text", "func", "and_", "or_", "aliased", "literal", "case"}
ELSEWHERE = {"models", "migrations"}  # tables, and what changes them
# The store itself, and whether it answers at all.
THE_STORE = {"extensions.py", "__init__.py"}
FEATURES = ("people", "sync", "sites", "office", "importing", "jobsheet", "audit", "sheets")


def feature_of(path: Path) -> str:
    return path.relative_to(WEBAPP).parts[0]


def named(path: Path) -> str:
    return path.relative_to(WEBAPP).as_posix()


def modules_of_features() -> list[Path]:
    found = [path for path in sorted(WEBAPP.rglob("*.py")) if not ELSEWHERE.intersection(path.parts)]
    return [path for path in found if not (path.parent == WEBAPP and path.name in THE_STORE)]


def words_of_sql(path: Path) -> set[str]:
    imports = [node for node in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(node, ast.ImportFrom)]
    return {
        name.name for node in imports if (node.module or "").startswith("sqlalchemy") for name in node.names
    } & WORDS


@pytest.mark.parametrize("path", modules_of_features(), ids=named)
def test_sql_stands_in_modules_of_queries(path: Path) -> None:
    assert path.name.endswith("queries.py") or words_of_sql(path) == set()


def others_queries(path: Path) -> list[str]:
    """Modules of queries that it imports from another feature's folder."""
    found = []
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("webapp."):
            names = [f"{node.module}.{name.name}" for name in node.names] + [node.module or ""]
            found += [name for name in names if name.endswith("queries") and name.split(".")[1] != feature_of(path)]
    return found


@pytest.mark.parametrize("path", [path for path in modules_of_features() if feature_of(path) in FEATURES], ids=named)
def test_only_a_query_is_made_of_another_features_queries(path: Path) -> None:
    assert path.name.endswith("queries.py") or others_queries(path) == []


def test_a_module_of_queries_is_known_by_its_words() -> None:
    assert {"select", "update"} <= words_of_sql(WEBAPP / "sync" / "photo_queries.py")
