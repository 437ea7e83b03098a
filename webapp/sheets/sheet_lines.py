"""A sheet in words: for reading, and for saying what changed from one version to the next."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from webapp.sheets.procedure_paper import PLACE_WORDS, VENT_COLUMNS, ProcedurePaper
from webapp.sites.procedure_words import number_words
from webapp.trade.readings import plausible

if TYPE_CHECKING:
    from webapp.models import ModelSheetVersion


class LimitLine(NamedTuple):
    """`doubt`: what is unusual about the figure; it warns and corrects nothing."""

    words: str
    value: str
    where: str
    doubt: str


class CodeLine(NamedTuple):
    """One line of the code table."""

    shown: str
    meaning: str
    could_be: str


def limit_lines(paper: ProcedurePaper, body: dict[str, Any]) -> list[LimitLine]:
    """Every figure with its unit."""
    lines = []
    for limit in body["limits"]:
        figure = paper.figure(limit["quantity"])
        value = f"{number_words(limit['value'])} {figure.unit}".strip()
        lines.append(
            LimitLine(figure.words, value, PLACE_WORDS[limit["where"]], _doubt(figure.quantity, limit["value"]))
        )
    return lines


def vent_lines(body: dict[str, Any]) -> list[list[str]]:
    """Every row of the vent table, column by column."""
    return [[_figure(row[column], unit) for column, (_, unit, _) in VENT_COLUMNS.items()] for row in body["vent"]]


def vent_doubts(body: dict[str, Any]) -> list[str]:
    """What is unusual in the vent table."""
    doubts = []
    for number, row in enumerate(body["vent"], start=1):
        for column, (words, unit, quantity) in VENT_COLUMNS.items():
            if row[column] is not None and (doubt := _doubt(quantity, row[column])):
                doubts.append(f"Row {number}, {words.lower()} {_figure(row[column], unit)}: {doubt}")
    return doubts


def code_lines(paper: ProcedurePaper, body: dict[str, Any]) -> list[CodeLine]:
    """Every line of the code table."""
    return [
        CodeLine(code_shown(code), code["meaning_words"], ", ".join(map(paper.contact_words, code["could_be"])))
        for code in body["codes"]
    ]


def code_shown(code: dict[str, Any]) -> str:
    """`flashes 2-4`, `text E5`, or both."""
    flashes = f"flashes {code['flash_groups']}" if code["flash_groups"] else ""
    text = f"text {code['text']}" if code["text"] else ""
    return " or ".join(part for part in (flashes, text) if part)


def what_changed(paper: ProcedurePaper, old: ModelSheetVersion, new: ModelSheetVersion) -> list[str]:
    """From one version to the next, a line for each difference."""
    before, after = _facts(paper, old), _facts(paper, new)
    lines = [f"{name}: {said}, was {before[name]}" for name, said in after.items() if before.get(name, said) != said]
    lines += [f"{name}: {said}, new" for name, said in after.items() if name not in before]
    lines += [f"{name}: taken out, was {said}" for name, said in before.items() if name not in after]
    if old.withdrawn != new.withdrawn:
        lines.append("withdrawn" if new.withdrawn else "brought back")
    return lines


def _facts(paper: ProcedurePaper, version: ModelSheetVersion) -> dict[str, str]:
    body = version.body
    facts = {"Maker": version.maker_words, "Model": version.model_words}
    facts |= {line.words: f"{line.value}, {line.where}" for line in limit_lines(paper, body)}
    for row in body["vent"]:
        size = _figure(row["nominal_in"], "in.")
        for column, (words, unit, _) in VENT_COLUMNS.items():
            if column != "nominal_in" and row[column] is not None:
                facts[f"Vent {size}, {words.lower()}"] = _figure(row[column], unit)
    for line in code_lines(paper, body):
        said = f"“{line.meaning}”" + (f" ({line.could_be})" if line.could_be else "")
        facts[f"Code {line.shown}"] = " / ".join(filter(None, [facts.get(f"Code {line.shown}"), said]))
    return facts | ({"Words": f"“{body['words']}”"} if body["words"] else {})


def _figure(value: float | None, unit: str) -> str:
    return "not typed" if value is None else f"{number_words(value)} {unit}".strip()


def _doubt(quantity: str, value: float) -> str:
    found = plausible(quantity, value)
    return found["words"] if found["state"] in ("unusual", "implausible") else ""
