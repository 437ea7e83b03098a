"""The list of calls that screens and the command line can make: name, what it does, arguments with their units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import procedure_cache
from .arguments import described
from .bodies import is_number, read_body
from .circuit import chain_from_across, chain_from_continuity, chain_from_voltages, chain_volts
from .clearances import terminal_outcome
from .closing import close_states
from .co_ladders import DEFAULT_LADDER, first_raised_ppm, with_rules_told
from .codes import code_meaning, open_could_be
from .conviction import changed_unread
from .elsewhere import still_found
from .errors import TradeError
from .found_unsafe import found_unsafe
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
from .propose import propose
from .rank import rank
from .readings import co_outcome, limit_outcome, plausible, run_outcome, suction_outcome
from .record import fold_job
from .said_words import mentioned_in, words_for
from .standing import findings_of
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
    advice = advise(_procedure(args), record, args["off_before"], args["found"], args["person_id"])
    return {"record": record, "advice": advice}


def _fold(args: dict[str, Any]) -> Any:
    return fold_job(args["events"])


def _rank(args: dict[str, Any]) -> Any:
    evidence = [{"check": str(one.get("check")), "outcome": str(one.get("outcome"))} for one in args["evidence"]]
    return rank(_procedure(args), evidence, failed=args["failed"])  # type: ignore[arg-type]


def _history(args: dict[str, Any]) -> Any:
    """The procedure may be unknown here: then the words are made from the ids."""
    return history_entry(_known(args), args["events"])


def _known(args: dict[str, Any]) -> Any:
    return _procedure(args) if args["procedure"] is not None or args["procedure_hash"] is not None else None


def _found_unsafe(args: dict[str, Any]) -> Any:
    return found_unsafe(_known(args), fold_job(args["events"]))


def _not_seen_since(args: dict[str, Any]) -> Any:
    """Lines as they were given; this visit's own stand as its own rules have them."""
    procedure, record = _known(args), fold_job(args["events"])
    raw = {one["check"]: one for one in record["checks"]} if procedure is None else findings_of(procedure, record)
    left = [one["event_id"] for one in still_found(procedure, record, raw, args["found"])]
    return [one for one in args["found"] if one.get("job_id") == record["job_id"] or one.get("event_id") in left]


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
    return propose(checks[0], values, answers, args["ladder"])  # type: ignore[arg-type]


def _changed_unread(args: dict[str, Any]) -> Any:
    return changed_unread(fold_job(args["events"]))


def _proof_due(args: dict[str, Any]) -> Any:
    return proof_due(_procedure(args), fold_job(args["events"]), _run_args(args))


def _proof_holds(args: dict[str, Any]) -> Any:
    first = first_raised_ppm(args["ladder"] or DEFAULT_LADDER)
    record, run = fold_job(args["events"]), _run_args(args)
    judged = proof_holds(_procedure(args), record, run, first, args["off_before"])
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
    return close_states(_procedure(args), fold_job(args["events"]), args["off_before"], args["found"])


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


def _co(args: dict[str, Any]) -> Any:
    return co_outcome(args["co_room_ppm"], args["ladder"] or DEFAULT_LADDER)


def _couple_closed(args: dict[str, Any]) -> Any:
    figures = [args[name] for name in ("couple_closed_mv", "couple_open_mv", "couple_closed_min_mv")]
    return couple_closed_outcome(figures[0], figures[1], figures[2], holds=args["holds"])


def _mentioned(args: dict[str, Any]) -> Any:
    return words_for(mentioned_in(args["words"]))


_WHICH = "procedure_hash? procedure? "
_VENT_RUN = (
    "straight_ft elbows_90 elbows_45 limit_ft? feet_per_90? feet_per_45? limit_elbows? limit_min_ft? terminal_ft?"
)

# (name, function of the arguments by name, what it does, the arguments as in arguments.py; "?" may be null)
_BY_NAME: list[tuple[str, Any, str, str]] = [
    ("load_procedure", _load, "Keep a compiled procedure; other calls name its hash.", "procedure"),
    ("step", _step, "The record and the advice after an answer.", _WHICH + "events off_before? found? person_id?"),
    ("fold_job", _fold, "A job's record out of its events.", "events"),
    ("rank", _rank, "Causes by probability, given outcomes.", _WHICH + "evidence failed?"),
    ("history_entry", _history, "An earlier job in a few lines.", _WHICH + "events"),
    ("found_unsafe", _found_unsafe, "What a visit that is not closed found unsafe and left so.", _WHICH + "events"),
    (
        "not_seen_since",
        _not_seen_since,
        "What of that this visit has not looked at since.",
        _WHICH + "events found",
    ),
    (
        "changed_unread",
        _changed_unread,
        "Parts that were changed although nothing read before convicts them.",
        "events",
    ),
    (
        "proof_due",
        _proof_due,
        "The proof that the named cause asks for, and what is missing from it.",
        _WHICH + "events run?",
    ),
    (
        "proof_holds",
        _proof_holds,
        "Whether a hot run shows that the repair held. It proposes.",
        _WHICH + "events run? ladder off_before?",
    ),
    ("mentioned", _mentioned, "What free words mention that is asked about: one line each, a reminder.", "words"),
    (
        "close_states",
        _close_states,
        "Every close state, whether it is offered now, and why or why not.",
        _WHICH + "events off_before? found?",
    ),
    (
        "propose_outcome",
        _propose,
        "The outcome that a check's readings propose, and the answers that they exclude.",
        _WHICH + "check readings answers? ladder",
    ),
    ("co_outcome", _co, "Room CO against the firm's rule set.", "co_room_ppm ladder"),
    (
        "vent_run",
        vent_run,
        "The vent run counted the sheet's way, against its limits, with the spacing of its elbows.",
        "nominal_in " + _VENT_RUN + " gaps_in? outlet_gap_in?",
    ),
    (
        "code_meaning",
        _code,
        "Which lines of a model's own table a code stands on: all that fit, or none.",
        "codes flashes? flash_groups? text?",
    ),
    (
        "open_could_be",
        _could_be,
        "The chain of safeties for drawing: what was found of each, and which could be open.",
        _WHICH + "events named?",
    ),
    ("chain_volts", _volts, "What a meter would read along the chain.", "source_v load_ohm meter_ohm contact_ohms"),
    (
        "chain_from_voltages",
        _from_voltages,
        "Which contact is open, from volts to common.",
        "contacts to_common_v low_impedance",
    ),
    ("chain_from_across", _from_across, "Which contact is open, from volts across each.", "contacts across_v source_v"),
    ("chain_from_continuity", _from_continuity, "Which contact is open, dead.", "contacts ohms leads_ohm?"),
    (
        "couple_closed_outcome",
        _couple_closed,
        "A thermocouple working on its magnet, at the adapter.",
        "couple_closed_mv couple_open_mv? couple_closed_min_mv? holds?",
    ),
    ("convert", _convert, "Convert between units of the trade.", "value from_unit to_unit"),
]

# The same, but the function takes its arguments one by one, as they stand here.
_IN_ORDER: list[tuple[str, Any, str, str]] = [
    (
        "suction_outcome",
        suction_outcome,
        "Suction at the switch against its make point.",
        "suction_in_wc make_point_in_wc tap",
    ),
    ("limit_outcome", limit_outcome, "Continuity of a normally closed limit, dead.", "limit_ohm? leads_ohm?"),
    ("run_outcome", run_outcome, "The vent run against the maker's sheet.", _VENT_RUN),
    (
        "terminal_outcome",
        terminal_outcome,
        "Distances of a terminal against the model codes' figures.",
        "above_ground_in? opening_beside_ft? opening_over_ft? inlet_over_ft?",
    ),
    (
        "millivolt_loop",
        millivolt_loop,
        "Current and millivolts in a loop of source, coil and bad contact.",
        "source_mv source_ohm load_ohm extra_ohm",
    ),
    ("couple_open_outcome", couple_open_outcome, "A thermocouple off its valve.", "couple_open_mv couple_open_min_mv?"),
    (
        "drop_out_outcome",
        drop_out_outcome,
        "How long the valve stays open without a flame.",
        "drop_out_seconds drop_out_limit_seconds? drop_out_mv?",
    ),
    ("pile_open_outcome", pile_open_outcome, "A thermopile with its wires off.", "pile_open_mv pile_open_min_mv?"),
    (
        "pile_loaded_outcome",
        pile_loaded_outcome,
        "A thermopile working on its valve.",
        "pile_loaded_mv valve_loaded_mv? pile_loaded_min_mv?",
    ),
    (
        "cutoff_outcome",
        cutoff_outcome,
        "Continuity of a cut-out in the millivolt circuit, dead.",
        "cutoff_ohm? leads_ohm?",
    ),
    ("plausible", plausible, "Whether a number looks like this quantity.", "quantity value"),
]


def _spread(function: Any, names: str) -> Any:
    order = [name for name, _holds in described(names)]
    return lambda args: function(*[args[name] for name in order])


# (name, function of the arguments by name, what it does, [(argument, what it holds)])
CALLS: list[tuple[str, Any, str, list[tuple[str, Any]]]] = [
    (name, function, words, described(names)) for name, function, words, names in _BY_NAME
] + [(name, _spread(function, names), words, described(names)) for name, function, words, names in _IN_ORDER]
