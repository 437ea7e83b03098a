"""What the customer's sheet calls checks and answers, for the phone: a customer is told there in the same words."""

import ast
import json
from pathlib import Path
from typing import Any

from service_worker.build.places import Places

HEADER = "// Made from webapp/jobsheet/plain_*.py by service_worker/build/plain_words.py. Not edited by hand.\n"
WORDS_TYPE = "interface Words {\n  readonly [of: string]: string;\n}\n"


def plain_words_module(places: Places) -> str:
    """Return the TypeScript that the phone's second part takes in; an answer by its check and its id, with a blank."""
    sheet = places.webapp / "jobsheet"
    told = {
        "TITLES": literal(sheet / "plain_checks.py", "TITLES"),
        "ANSWERS": by_check_and_answer(literal(sheet / "plain_checks.py", "ANSWERS")),
        "SENTENCES": by_check_and_answer(literal(sheet / "plain_words.py", "FIRST_LOOKS")),
    }
    lines = [f"export const {name}: Words = {json.dumps(words, ensure_ascii=False)};\n" for name, words in told.items()]
    return "\n".join([HEADER + WORDS_TYPE, *lines])


def by_check_and_answer(words: dict[tuple[str, str], str]) -> dict[str, str]:
    """Return them by one key each."""
    return {f"{check} {outcome}": said for (check, outcome), said in words.items()}


def literal(path: Path, name: str) -> Any:
    """Return the value that a module gives to a name, without running it: the build needs no database for a word."""
    for node in ast.parse(path.read_text("utf-8")).body:
        if isinstance(node, ast.Assign) and any(isinstance(one, ast.Name) and one.id == name for one in node.targets):
            return ast.literal_eval(node.value)
    raise LookupError(name)
