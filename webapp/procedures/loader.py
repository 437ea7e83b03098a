"""Reading the shipped procedures. Each is compiled once in a process and handed out as a fresh copy."""

from __future__ import annotations

import copy
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import yaml

from webapp.procedures.compile import compile_procedure
from webapp.procedures.validate import problems

if TYPE_CHECKING:
    from webapp.trade.procedure_types import Procedure

FOLDER = Path(__file__).parent


class BadProcedureError(ValueError):
    """A procedure that does not pass its validator; `problems` says why, line by line."""

    def __init__(self, name: str, found: list[str]) -> None:
        super().__init__(f"{name}: " + "; ".join(found))
        self.problems = found


def list_procedures() -> list[str]:
    """Names of the shipped procedures, sorted."""
    return sorted(path.stem for path in FOLDER.glob("*.yaml"))


def source(name: str) -> dict[str, Any]:
    """A procedure as written, by its name; KeyError when there is none."""
    if name not in list_procedures():
        raise KeyError(name)
    return cast("dict[str, Any]", yaml.safe_load((FOLDER / f"{name}.yaml").read_text(encoding="utf-8")))


def compiled(name: str) -> Procedure:
    """The compiled procedure; BadProcedureError when it does not pass."""
    return copy.deepcopy(_compiled(name))


@cache
def _compiled(name: str) -> Procedure:
    written = source(name)
    found = problems(written)
    if found:
        raise BadProcedureError(name, found)
    return compile_procedure(written)
