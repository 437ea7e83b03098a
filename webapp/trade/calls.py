"""The list of calls that screens and the command line can make: name, what it does, arguments with their units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import procedure_cache
from .bodies import is_number, read_body
from .circuit import chain_from_across, chain_from_continuity, chain_from_voltages, chain_volts
from .closing import close_states
from .co_ladders import DEFAULT_LADDER, first_raised_ppm, with_rules_told
from .codes import code_meaning, open_could_be
from .conviction import changed_unread
from .errors import TradeError
from .history import history_entry
from .millivolts import (
    couple_closed_outcome,
    couple_open_outcome,
    cutoff_outcome,
    drop_out_outcome,
    millivolt_loop,
    pile_loaded_outcome,
    pile_open_outcome,
)
from .proof import proof_due, proof_holds, says_room_co
from .propose import propose_outcome
from .rank import rank
from .readings import RUN_ARGUMENTS, co_outcome, limit_outcome, plausible, run_outcome, suction_outcome
from .record import fold_job
from .said_words import mentioned_in, words_for
from .units import convert
from .vent import vent_run
from .walk import advise

if TYPE_CHECKING:
    from typing import Any


def _procedure(args: dict[str, Any]) -> Any:
    if args["procedure"] is not None:
        procedure_cache.load(args["procedure"])
        return args["procedure"]
    return procedure_cache.named(args["procedure_hash"] or "")


def _load(args: dict[str, Any]) -> Any:
    return {"hash": procedure_cache.load(args["procedure"])}


def _step(args: dict[str, Any]) -> Any:
    record = fold_job(args["events"])
    return {"record": record, "advice": advise(_procedure(args), record)}


def _fold(args: dict[str, Any]) -> Any:
    return fold_job(args["events"])


def _rank(args: dict[str, Any]) -> Any:
    evidence = [{"check": str(one.get("check")), "outcome": str(one.get("outcome"))} for one in args["evidence"]]
    return rank(_procedure(args), evidence, failed=args["failed"])  # type: ignore[arg-type]


def _history(args: dict[str, Any]) -> Any:
    """The procedure may be unknown here: then the words are made from the ids."""
    known = args["procedure"] is not None or args["procedure_hash"] is not None
    return history_entry(_procedure(args) if known else None, args["events"])


def _propose(args: dict[str, Any]) -> Any:
    checks = [check for check in _procedure(args)["checks"] if check["id"] == args["check"]]
    if not checks:
        raise TradeError("bad_argument", "Not a check of this procedure: " + args["check"] + ".")
    values: dict[str, Any] = {}
    for reading in args["readings"]:
        value = reading.get("value")
        if value is not None and not is_number(value):
            raise TradeError("bad_argument", "Not as described: readings.")
        values[str(reading.get("quantity"))] = None if value is None else float(value)
    answers = [{"check": str(one.get("check")), "outcome": str(one.get("outcome"))} for one in args["answers"] or []]
    return propose_outcome(checks[0], values, answers, args["ladder"])  # type: ignore[arg-type]


def _changed_unread(args: dict[str, Any]) -> Any:
    return changed_unread(fold_job(args["events"]))


def _proof_due(args: dict[str, Any]) -> Any:
    return proof_due(_procedure(args), fold_job(args["events"]), _run_args(args))


def _proof_holds(args: dict[str, Any]) -> Any:
    first = first_raised_ppm(args["ladder"] or DEFAULT_LADDER)
    record, run = fold_job(args["events"]), _run_args(args)
    judged = proof_holds(_procedure(args), record, run, first)
    if not says_room_co(record, run):
        return judged
    return {"passed": judged["passed"], "why_words": with_rules_told(judged["why_words"], args["ladder"])}


def _run_args(args: dict[str, Any]) -> Any:
    """A proof run as it is being noted, read like the event that it will be."""
    if args["run"] is None:
        return None
    whole = {"passed": False, "minutes": 0, "restarts": 0, "looks_done": []}
    whole.update({name: value for name, value in args["run"].items() if value is not None})
    run, wrong = read_body("proof_run", 2, whole)
    if wrong is not None:
        raise TradeError("bad_argument", "Not as described: run, " + wrong + ".")
    return run


def _close_states(args: dict[str, Any]) -> Any:
    return close_states(_procedure(args), fold_job(args["events"]))


def _code(args: dict[str, Any]) -> Any:
    for row in args["codes"]:
        for name in ("meaning_words", "flash_groups", "text"):
            if row.get(name) is not None and not isinstance(row[name], str):
                raise TradeError("bad_argument", "Not as described: codes.")
        if row.get("could_be") is not None and not isinstance(row["could_be"], list):
            raise TradeError("bad_argument", "Not as described: codes.")
    return code_meaning(args["codes"], args["flashes"], args["flash_groups"], args["text"])


def _could_be(args: dict[str, Any]) -> Any:
    return open_could_be(_procedure(args), fold_job(args["events"]), args["named"] or [])


def _contacts(args: dict[str, Any]) -> Any:
    for contact in args["contacts"]:
        if not isinstance(contact.get("id"), str) or contact.get("normally") not in ("closed", "open"):
            raise TradeError("bad_argument", "Not as described: contacts.")
    return args["contacts"]


def _volts(args: dict[str, Any]) -> Any:
    ohms = [float(one) for one in args["contact_ohms"]]
    return chain_volts(args["source_v"], args["load_ohm"], args["meter_ohm"], ohms)


def _from_voltages(args: dict[str, Any]) -> Any:
    return chain_from_voltages(_contacts(args), args["to_common_v"], args["low_impedance"])


def _from_across(args: dict[str, Any]) -> Any:
    return chain_from_across(_contacts(args), args["across_v"], args["source_v"])


def _from_continuity(args: dict[str, Any]) -> Any:
    return chain_from_continuity(_contacts(args), args["ohms"], args["leads_ohm"])


def _convert(args: dict[str, Any]) -> Any:
    return {"value": convert(args["value"], args["from_unit"], args["to_unit"]), "unit": args["to_unit"]}


def _suction(args: dict[str, Any]) -> Any:
    return suction_outcome(args["suction_in_wc"], args["make_point_in_wc"], args["tap"])


def _limit(args: dict[str, Any]) -> Any:
    return limit_outcome(args["limit_ohm"], args["leads_ohm"])


def _co(args: dict[str, Any]) -> Any:
    return co_outcome(args["co_room_ppm"], args["ladder"] or DEFAULT_LADDER)


def _run(args: dict[str, Any]) -> Any:
    return run_outcome(*[args[name] for name in RUN_ARGUMENTS])


def _vent_run(args: dict[str, Any]) -> Any:
    return vent_run(args)


def _loop(args: dict[str, Any]) -> Any:
    return millivolt_loop(args["source_mv"], args["source_ohm"], args["load_ohm"], args["extra_ohm"])


def _couple_open(args: dict[str, Any]) -> Any:
    return couple_open_outcome(args["couple_open_mv"], args["couple_open_min_mv"])


def _couple_closed(args: dict[str, Any]) -> Any:
    figures = [args[name] for name in ("couple_closed_mv", "couple_open_mv", "couple_closed_min_mv")]
    return couple_closed_outcome(figures[0], figures[1], figures[2], holds=args["holds"])


def _drop_out(args: dict[str, Any]) -> Any:
    return drop_out_outcome(args["drop_out_seconds"], args["drop_out_limit_seconds"], args["drop_out_mv"])


def _pile_open(args: dict[str, Any]) -> Any:
    return pile_open_outcome(args["pile_open_mv"], args["pile_open_min_mv"])


def _pile_loaded(args: dict[str, Any]) -> Any:
    return pile_loaded_outcome(args["pile_loaded_mv"], args["valve_loaded_mv"], args["pile_loaded_min_mv"])


def _cutoff(args: dict[str, Any]) -> Any:
    return cutoff_outcome(args["cutoff_ohm"], args["leads_ohm"])


def _mentioned(args: dict[str, Any]) -> Any:
    return words_for(mentioned_in(args["words"]))


def _plausible(args: dict[str, Any]) -> Any:
    return plausible(args["quantity"], args["value"])


_WHICH = [
    ("procedure_hash", "text?", "as given by load_procedure"),
    ("procedure", "object?", "or the compiled procedure"),
]
_LADDER = ("ladder", ("?", "code_appendix", "protocol_9_36_70", "protocol_9_35_100"), "CO rule set of the firm")
_CONTACTS = ("contacts", "objects", "[{id, normally: closed | open}] in the order of the chain")
_EVENTS = ("events", "list", "event envelopes, any order")
_RUN = ("run", "object?", "a proof_run of schema 2 as it is being noted; left out: the last one of the events")

# (name, function, what it does, [(argument, what it holds, unit or meaning)])
CALLS: list[tuple[str, Any, str, list[tuple[str, Any, str]]]] = [
    (
        "load_procedure",
        _load,
        "Keep a compiled procedure; other calls name its hash.",
        [("procedure", "object", "compiled")],
    ),
    ("step", _step, "The record and the advice after an answer.", _WHICH + [_EVENTS]),
    ("fold_job", _fold, "A job's record out of its events.", [_EVENTS]),
    (
        "rank",
        _rank,
        "Causes by probability, given outcomes.",
        _WHICH + [("evidence", "objects", "[{check, outcome}]"), ("failed", "texts?", "causes whose proof failed")],
    ),
    (
        "history_entry",
        _history,
        "An earlier job in a few lines.",
        _WHICH + [_EVENTS],
    ),
    (
        "changed_unread",
        _changed_unread,
        "Parts that were changed although nothing read before convicts them.",
        [_EVENTS],
    ),
    (
        "proof_due",
        _proof_due,
        "The proof that the named cause asks for, and what is missing from it.",
        _WHICH + [_EVENTS, _RUN],
    ),
    (
        "proof_holds",
        _proof_holds,
        "Whether a hot run shows that the repair held. It proposes.",
        _WHICH + [_EVENTS, _RUN, _LADDER],
    ),
    (
        "mentioned",
        _mentioned,
        "What free words mention that is asked about: one line each, a reminder.",
        [("words", "text", "English, as somebody typed them")],
    ),
    (
        "close_states",
        _close_states,
        "Every close state, whether it is offered now, and why or why not.",
        _WHICH + [_EVENTS],
    ),
    (
        "propose_outcome",
        _propose,
        "The outcome that a check's readings propose.",
        _WHICH
        + [
            ("check", "text", "check id"),
            ("readings", "objects", "[{quantity, value}], value in the quantity's unit; null is no continuity"),
            ("answers", "objects?", "[{check, outcome}] so far"),
            _LADDER,
        ],
    ),
    (
        "suction_outcome",
        _suction,
        "Suction at the switch against its make point.",
        [
            ("suction_in_wc", "number", "in. w.c."),
            ("make_point_in_wc", "number", "in. w.c., from the switch's label"),
            ("tap", ("suction", "pressure", "differential"), "what the switch is tapped to"),
        ],
    ),
    (
        "limit_outcome",
        _limit,
        "Continuity of a normally closed limit, dead.",
        [
            ("limit_ohm", "number?", "ohm; null is no continuity"),
            ("leads_ohm", "number?", "ohm, leads touched together"),
        ],
    ),
    (
        "co_outcome",
        _co,
        "Room CO against the firm's rule set.",
        [
            ("co_room_ppm", "number", "ppm"),
            _LADDER,
        ],
    ),
    (
        "run_outcome",
        _run,
        "The vent run against the maker's sheet.",
        [
            ("straight_ft", "number", "ft"),
            ("elbows_90", "number", "count"),
            ("elbows_45", "number", "count"),
            ("limit_ft", "number?", "equivalent ft, from the sheet"),
            ("feet_per_90", "number?", "ft for each, from the sheet"),
            ("feet_per_45", "number?", "ft for each, from the sheet"),
            ("limit_elbows", "number?", "count, from the sheet"),
            ("limit_min_ft", "number?", "equivalent ft, from the sheet"),
            ("terminal_ft", "number?", "ft, where the sheet counts the terminal"),
        ],
    ),
    (
        "vent_run",
        _vent_run,
        "The vent run counted the sheet's way, against its limits, with the spacing of its elbows.",
        [
            ("nominal_in", "number", "in., pipe size"),
            ("straight_ft", "number", "ft"),
            ("elbows_90", "number", "count"),
            ("elbows_45", "number", "count"),
            ("feet_per_90", "number?", "ft for each, from the sheet"),
            ("feet_per_45", "number?", "ft for each, from the sheet"),
            ("terminal_ft", "number?", "ft, where the sheet counts the terminal"),
            ("limit_ft", "number?", "equivalent ft at most, from the sheet"),
            ("limit_min_ft", "number?", "equivalent ft at least, from the sheet"),
            ("limit_elbows", "number?", "count at most, from the sheet"),
            ("gaps_in", "numbers?", "in. of straight pipe between elbows, in order"),
            ("outlet_gap_in", "number?", "in. of straight pipe between blower and first elbow"),
        ],
    ),
    (
        "code_meaning",
        _code,
        "Which lines of a model's own table a code stands on: all that fit, or none.",
        [
            ("codes", "objects", "[{flash_groups | text, meaning_words, could_be}], the model's table"),
            ("flashes", "whole?", "count, where it flashes in one group"),
            ("flash_groups", "text?", "as tapped: 2-4"),
            ("text", "text?", "as shown"),
        ],
    ),
    (
        "open_could_be",
        _could_be,
        "The chain of safeties for drawing: what was found of each, and which could be open.",
        _WHICH + [_EVENTS, ("named", "texts?", "contacts or parts that the code's line points at")],
    ),
    (
        "chain_volts",
        _volts,
        "What a meter would read along the chain.",
        [
            ("source_v", "number", "V"),
            ("load_ohm", "number", "ohm"),
            ("meter_ohm", "number", "ohm"),
            ("contact_ohms", "numbers", "ohm each; an open contact about 1e9"),
        ],
    ),
    (
        "chain_from_voltages",
        _from_voltages,
        "Which contact is open, from volts to common.",
        [
            _CONTACTS,
            ("to_common_v", "numbers", "V, after the source and after each contact"),
            ("low_impedance", "flag", "whether the meter's low-impedance setting was used"),
        ],
    ),
    (
        "chain_from_across",
        _from_across,
        "Which contact is open, from volts across each.",
        [_CONTACTS, ("across_v", "numbers", "V across each"), ("source_v", "number", "V")],
    ),
    (
        "chain_from_continuity",
        _from_continuity,
        "Which contact is open, dead.",
        [
            _CONTACTS,
            ("ohms", "numbers_or_null", "ohm each; null is no continuity"),
            ("leads_ohm", "number?", "ohm, leads touched together"),
        ],
    ),
    (
        "millivolt_loop",
        _loop,
        "Current and millivolts in a loop of source, coil and bad contact.",
        [
            ("source_mv", "number", "mV, open"),
            ("source_ohm", "number", "ohm, of the source itself"),
            ("load_ohm", "number", "ohm, of the coil"),
            ("extra_ohm", "number", "ohm, of contacts and wires between them"),
        ],
    ),
    (
        "couple_open_outcome",
        _couple_open,
        "A thermocouple off its valve.",
        [("couple_open_mv", "number", "mV"), ("couple_open_min_mv", "number?", "mV, from the maker's sheet")],
    ),
    (
        "couple_closed_outcome",
        _couple_closed,
        "A thermocouple working on its magnet, at the adapter.",
        [
            ("couple_closed_mv", "number", "mV"),
            ("couple_open_mv", "number?", "mV, read before with the same flame"),
            ("couple_closed_min_mv", "number?", "mV, from the maker's sheet"),
            ("holds", "flag?", "whether the pilot held"),
        ],
    ),
    (
        "drop_out_outcome",
        _drop_out,
        "How long the valve stays open without a flame.",
        [
            ("drop_out_seconds", "number", "s, from pilot out to the click"),
            ("drop_out_limit_seconds", "number?", "s, from the maker's sheet"),
            ("drop_out_mv", "number?", "mV at the click"),
        ],
    ),
    (
        "pile_open_outcome",
        _pile_open,
        "A thermopile with its wires off.",
        [("pile_open_mv", "number", "mV"), ("pile_open_min_mv", "number?", "mV, from the maker's sheet")],
    ),
    (
        "pile_loaded_outcome",
        _pile_loaded,
        "A thermopile working on its valve.",
        [
            ("pile_loaded_mv", "number", "mV at the pile"),
            ("valve_loaded_mv", "number?", "mV at the valve"),
            ("pile_loaded_min_mv", "number?", "mV, from the maker's sheet"),
        ],
    ),
    (
        "cutoff_outcome",
        _cutoff,
        "Continuity of a cut-out in the millivolt circuit, dead.",
        [
            ("cutoff_ohm", "number?", "ohm; null is no continuity"),
            ("leads_ohm", "number?", "ohm, leads touched together"),
        ],
    ),
    (
        "plausible",
        _plausible,
        "Whether a number looks like this quantity.",
        [("quantity", "text", "as in reading_taken"), ("value", "number", "in the unit of the quantity")],
    ),
    (
        "convert",
        _convert,
        "Convert between units of the trade.",
        [("value", "number", "in from_unit"), ("from_unit", "text", "unit"), ("to_unit", "text", "unit")],
    ),
]
