"""The page of one model's sheet: many rows of few words, so it is read by hand. What was typed is never lost."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

from webapp.sheets.hardly_possible import hardly_possible, mark_of
from webapp.sheets.procedure_paper import VENT_COLUMNS, PaperFigure, ProcedurePaper
from webapp.sheets.schemas import MOST_CODES, MOST_VENT_ROWS, PLACES

if TYPE_CHECKING:
    from werkzeug.datastructures import MultiDict

LONGEST_NAME, LONGEST_WORDS, LONGEST_MEANING, LONGEST_CODE = 200, 1000, 300, 40
SPARE_VENT_ROWS, SPARE_CODE_ROWS = 2, 3
MOST_GROUPS = 6
NUMBER_FORM = re.compile(r"-?[0-9]{1,9}(\.[0-9]{1,6})?")
FLASH_FORM = re.compile(r"[0-9]{1,2}(-[0-9]{1,2})*")
DASHES = str.maketrans({"\u2013": "-", "\u2212": "-"})
"""An en dash and a minus sign, as word processors make of a hyphen."""
PLAIN_NUMBER = "A plain number with a point, as 0.36: no comma, no unit."
EMPTY_BODY: dict[str, Any] = {"limits": [], "codes": [], "vent": [], "words": None}


class PaperForm:
    """`typed` by name of input; `faults` and `doubts` by name of input, in the order of the page."""

    def __init__(
        self, paper: ProcedurePaper, typed: dict[str, str], ticks: dict[str, list[str]], quantities: list[str]
    ) -> None:
        self.paper, self.typed, self.ticks = paper, typed, ticks
        self.faults: dict[str, str] = {}
        self.doubts: dict[str, str] = {}  # figures that can hardly be meant: asked about once
        known = [figure.quantity for figure in paper.figures]
        self.figures: list[PaperFigure] = [paper.figure(quantity) for quantity in dict.fromkeys([*known, *quantities])]

    @classmethod
    def opened(
        cls, paper: ProcedurePaper, maker_words: str = "", model_words: str = "", body: dict[str, Any] | None = None
    ) -> PaperForm:
        """As the sheet stands now, with a few rows to spare."""
        body = body or EMPTY_BODY
        typed = {"maker_words": maker_words, "model_words": model_words, "words": body["words"] or ""}
        ticks: dict[str, list[str]] = {}
        for limit in body["limits"]:
            typed[f"limit-{limit['quantity']}"] = _said(limit["value"])
            typed[f"where-{limit['quantity']}"] = limit["where"]
        for number, row in enumerate(body["vent"]):
            typed |= {f"vent-{number}-{column}": _said(row[column]) for column in VENT_COLUMNS}
        for number, code in enumerate(body["codes"]):
            typed |= {f"code-{number}-{name}": code[name] or "" for name in ("flash_groups", "text", "meaning_words")}
            ticks[f"code-{number}-could_be"] = list(code["could_be"])
        typed["vent_rows"] = str(len(body["vent"]) + SPARE_VENT_ROWS)
        typed["code_rows"] = str(len(body["codes"]) + SPARE_CODE_ROWS)
        return cls(paper, typed, ticks, [limit["quantity"] for limit in body["limits"]])

    @classmethod
    def sent(cls, paper: ProcedurePaper, form: MultiDict[str, str]) -> PaperForm:
        """As it was typed; `more` asks for more empty rows."""
        typed = {name: " ".join(value.split()) for name, value in form.items()}
        ticks = {name: form.getlist(name) for name in form if name.endswith("-could_be")}
        quantities = [name.removeprefix("where-") for name in form if name.startswith("where-")]
        known = [quantity for quantity in quantities if re.fullmatch(r"[a-z][a-z0-9_]{0,79}", quantity)]
        found = cls(paper, typed, ticks, known)
        if typed.get("more") == "vent":
            typed["vent_rows"] = str(found.vent_rows.stop + SPARE_VENT_ROWS)
        if typed.get("more") == "codes":
            typed["code_rows"] = str(found.code_rows.stop + SPARE_CODE_ROWS)
        return found

    @property
    def vent_rows(self) -> range:
        """Numbers of the vent table's rows on the page."""
        return range(self._count("vent_rows", MOST_VENT_ROWS))

    @property
    def code_rows(self) -> range:
        """Numbers of the code table's rows on the page."""
        return range(self._count("code_rows", MOST_CODES))

    @property
    def wants_rows(self) -> bool:
        """Only more rows are wanted: nothing is to be saved yet."""
        return self.typed.get("more") in ("vent", "codes")

    def value(self, name: str) -> str:
        """What stands in an input."""
        return self.typed.get(name, "")

    def read(self) -> dict[str, Any] | None:
        """The body of the sheet, or nothing: `faults` then says what is unclear."""
        self._name("maker_words", "Whose heater is it? The maker as the plate says it.")
        self._name("model_words", "Which model? As the plate says it.")
        body = {"limits": list(self._limits()), "vent": list(self._vent()), "codes": list(self._codes())}
        words = self._text("words", LONGEST_WORDS)
        if self.faults:
            return None
        self.doubts = hardly_possible(body, self._filled_vent_rows())
        return body | {"words": words or None}

    @property
    def keep_mark(self) -> str:
        """What the button "Keep all the same" sends."""
        return mark_of(self.doubts)

    @property
    def asks_first(self) -> bool:
        """Something can hardly be meant, and nobody has said yet that it stands so."""
        return bool(self.doubts) and self.value("keep") != self.keep_mark

    def _filled_vent_rows(self) -> list[int]:
        return [row for row in self.vent_rows if any(self.value(f"vent-{row}-{column}") for column in VENT_COLUMNS)]

    def say(self, name: str, words: str) -> None:
        """A fault beside its input; the first one stays."""
        self.faults.setdefault(name, words)

    def label(self, name: str) -> str:
        """What the summary calls an input."""
        part, _, rest = name.partition("-")
        if part in ("limit", "where"):
            return self.paper.figure(rest).words
        number, _, column = rest.partition("-")
        if part == "vent":
            return f"Vent table, row {int(number) + 1}, {VENT_COLUMNS[column][0].lower()}"
        if part == "code":
            return f"Code table, row {int(number) + 1}"
        return {"maker_words": "Maker", "model_words": "Model", "words": "Anything else"}.get(name, "This sheet")

    def _count(self, name: str, most: int) -> int:
        typed = self.value(name)
        return min(int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 4 else 0, most)

    def _name(self, name: str, words: str) -> None:
        if not self._text(name, LONGEST_NAME):
            self.say(name, words)

    def _text(self, name: str, longest: int) -> str:
        words = self.value(name)
        if len(words) > longest:
            self.say(name, f"At most {longest} letters.")
        return words.replace("\x00", "")

    def _limits(self) -> Iterator[dict[str, Any]]:
        for figure in self.figures:
            value = self._number(f"limit-{figure.quantity}")
            where = self.value(f"where-{figure.quantity}")
            if value is None:
                continue
            if where not in PLACES:
                self.say(f"where-{figure.quantity}", "Where does it stand: plate, sheet or label?")
            yield {"quantity": figure.quantity, "value": value, "where": where}

    def _vent(self) -> Iterator[dict[str, Any]]:
        seen: set[float | None] = set()
        for number in self.vent_rows:
            row = {column: self._number(f"vent-{number}-{column}", least=0.0) for column in VENT_COLUMNS}
            if all(value is None for value in row.values()):
                continue
            self._check_vent(number, row, seen)
            seen.add(row["nominal_in"])
            yield row

    def _check_vent(self, number: int, row: dict[str, float | None], seen: Iterable[float | None]) -> None:
        if row["nominal_in"] in seen:
            self.say(f"vent-{number}-nominal_in", "This pipe has a row already.")
        least, most = row["min_equivalent_ft"], row["max_equivalent_ft"]
        if least is not None and most is not None and least > most:
            self.say(f"vent-{number}-min_equivalent_ft", "More than the most that is allowed: one of the two is wrong.")
        elbows = row["max_elbows"]
        if elbows is not None and elbows != int(elbows):
            self.say(f"vent-{number}-max_elbows", "A whole number of elbows.")

    def _codes(self) -> Iterator[dict[str, Any]]:
        for number in self.code_rows:
            start = f"code-{number}-"
            flashes, text = self._flashes(start + "flash_groups"), self._text(start + "text", LONGEST_CODE)
            meaning = self._text(start + "meaning_words", LONGEST_MEANING)
            could_be = [one for one in self.ticks.get(start + "could_be", []) if len(one) <= LONGEST_CODE][:20]
            if not (flashes or text or meaning or could_be):
                continue
            if not meaning:
                self.say(start + "meaning_words", "What does the maker say that it means?")
            elif not (flashes or text):
                self.say(start + "flash_groups", "What does the control show: flashes, or a text?")
            yield {
                "flash_groups": flashes or None,
                "text": text or None,
                "meaning_words": meaning,
                "could_be": could_be,
            }

    def _flashes(self, name: str) -> str:
        typed = self._text(name, LONGEST_CODE).translate(DASHES)
        if not typed or name in self.faults:
            return ""
        plain = re.sub(r" ?[-,/ ] ?", "-", typed)
        groups = [int(group) for group in plain.split("-")] if FLASH_FORM.fullmatch(plain) else []
        if not groups or len(groups) > MOST_GROUPS or 0 in groups:
            self.say(name, "Flashes as numbers, groups with a dash between: 2-4.")
        return "-".join(str(group) for group in groups)

    def _number(self, name: str, *, least: float | None = None) -> float | None:
        if not self.value(name):
            return None
        value = plain_number(self.value(name))
        if value is None:
            self.say(name, PLAIN_NUMBER)
            return None
        if least is not None and value < least:
            self.say(name, "Not less than nought.")
        return value


def plain_number(typed: str) -> float | None:
    """What a person means by a number, or nothing: a comma may mean two things, so it is none."""
    plain = typed.translate(DASHES)
    return float(plain) if NUMBER_FORM.fullmatch(plain) else None


def _said(value: float | None) -> str:
    return "" if value is None else f"{value:.9g}"
