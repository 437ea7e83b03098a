"""The safety chain as a series circuit: which contact is open, from voltages to common and from dead continuity."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .errors import TradeError

if TYPE_CHECKING:
    from typing import Literal, TypedDict

    class Contact(TypedDict):
        """One contact of the chain. `normally`: how it stands with no power and the blower off."""

        id: str
        normally: Literal["closed", "open"]

    class ContactState(TypedDict):
        id: str
        state: Literal["closed", "open", "poor", "stuck", "beyond", "cannot_tell"]
        words: str

    class ChainFinding(TypedDict):
        """`open`: the first open contact, null where none is shown. `trust`: whether the readings can be relied on."""

        open: str | None
        contacts: list[ContactState]
        trust: bool
        words: str

    class ChainVolts(TypedDict):
        """`to_common_v`: after the source and then after each contact. `across_v`: over each contact."""

        to_common_v: list[float]
        across_v: list[float]


# Shares of the source's volts (expert guesses): full from here, none to here, between them the reading floats.
FULL_SHARE = 0.85
NONE_SHARE = 0.10
# A good contact drops less than this share of 24 V and of line volts (common practice, no source: 0.1 V and 0.5 V).
DROP_SHARE = 0.1 / 24.0
# A source below this is no source to judge a chain by (expert guess).
LEAST_SOURCE_V = 5.0
# Leakage of an open contact in the simulation, ohm: what makes 0.24 V on a 10 megohm meter.
OPEN_OHM = 1.0e9
CLOSED_OHM = 0.05
# Dead continuity, ohm less the leads (expert guesses).
GOOD_OHM = 1.0
POOR_OHM = 10.0
LEADS_OHM = 2.0


def chain_volts(source_v: float, load_ohm: float, meter_ohm: float, contact_ohms: list[float]) -> ChainVolts:
    """What a meter reads along a series chain, one reading at a time, the meter itself being part of the circuit.

    To common after contact k: V = Vs Rd / (Ru + Rd), Ru the ohms before, Rd = (ohms after + load) || meter. Across
    contact i: Vs (Ri || meter) / (the rest + Ri || meter). Volts and ohms.
    Range: ohms above 0; an open contact is about 1e9 ohm of leakage.
    Example: 24 V, 60 ohm, 10 megohm meter, the third of four open: 24, 24, 24, 0, 0 and 24 across the third.
    Source: Ohm's and Kirchhoff's laws. Checked against a nodal solution.
    """
    if load_ohm <= 0.0 or meter_ohm <= 0.0 or not contact_ohms or min(contact_ohms) <= 0.0:
        raise TradeError("bad_argument", "Ohms must be above 0, and there must be a contact.")
    total = sum(contact_ohms)
    to_common = []
    before = 0.0
    for ohm in [0.0] + contact_ohms:
        before += ohm
        down = _parallel(total - before + load_ohm, meter_ohm)
        to_common.append(source_v * down / (before + down))
    across = []
    for ohm in contact_ohms:
        over = _parallel(ohm, meter_ohm)
        across.append(source_v * over / (total - ohm + load_ohm + over))
    return {"to_common_v": to_common, "across_v": across}


def chain_from_voltages(contacts: list[Contact], to_common_v: list[float], low_impedance: bool) -> ChainFinding:
    """The first open contact, from volts to common after the source and then after each contact, on a call.

    Full before and none after: that contact is open. What lies beyond an open contact cannot be judged: with two open
    the walk to common finds the first, and is walked again once it is closed. A reading between full and none floats.
    Volts. Range: as many readings as contacts plus one. Example: 24, 24, 0.24, 0 names the second contact.
    Source: the "hopscotch" way of the trade press; a US Navy training manual describes the same (docs/trade.md).
    Voltage is read; no two terminals are ever joined.
    """
    if len(to_common_v) != len(contacts) + 1:
        raise TradeError("bad_argument", "One reading after the source, and one after each contact.")
    volts = [abs(one) for one in to_common_v]
    if volts[0] < LEAST_SOURCE_V:
        states = [_state(contact, "cannot_tell", "No volts to judge it by.") for contact in contacts]
        return {
            "open": None,
            "contacts": states,
            "trust": True,
            "words": "No volts at the source: look before the chain, and at the common where the other lead is.",
        }
    floating = [one for one in volts if NONE_SHARE * volts[0] < one < FULL_SHARE * volts[0]]
    if floating and not low_impedance:
        states = [_state(contact, "cannot_tell", "Floating reading.") for contact in contacts]
        words = "A floating reading: measure again on the meter's low-impedance setting."
        return {"open": None, "contacts": states, "trust": False, "words": words}
    states, first = _walk_volts(contacts, volts)
    if first is not None:
        words = "Open: " + first + ". Beyond it nothing can be told yet; walk again when it is closed."
        return {"open": first, "contacts": states, "trust": True, "words": words}
    poor = [line["id"] for line in states if line["state"] == "poor"]
    if poor:
        return {
            "open": None,
            "contacts": states,
            "trust": True,
            "words": "A poor contact drops volts: " + ", ".join(poor) + ".",
        }
    words = "Full volts to the end: the chain is closed. If the load is dead too, look at the common side."
    return {"open": None, "contacts": states, "trust": True, "words": words}


def chain_from_across(contacts: list[Contact], across_v: list[float], source_v: float) -> ChainFinding:
    """Reading across each contact instead: full volts over one names it; near none over all does not clear them.

    With two open, each shows next to nothing, as if closed. Volts. Range: one reading for each contact.
    Example: 0, 0.24, 0.24, 0 of 24 V cannot tell. Source: Kirchhoff's voltage law.
    """
    if len(across_v) != len(contacts):
        raise TradeError("bad_argument", "One reading for each contact.")
    full = [n for n in range(len(contacts)) if abs(across_v[n]) >= FULL_SHARE * abs(source_v)]
    if abs(source_v) >= LEAST_SOURCE_V and len(full) == 1:
        states = [
            _state(contacts[n], "open", "Full volts over it.")
            if n in full
            else _state(contacts[n], "closed", "No volts over it.")
            for n in range(len(contacts))
        ]
        name = contacts[full[0]]["id"]
        return {"open": name, "contacts": states, "trust": True, "words": "Open: " + name + "."}
    states = [_state(contact, "cannot_tell", "Two open ones look closed this way.") for contact in contacts]
    words = "This way cannot tell: all closed, two open, or a dead load look alike. Walk the volts to common."
    return {"open": None, "contacts": states, "trust": False, "words": words}


def chain_from_continuity(contacts: list[Contact], ohms: list[float | None], leads_ohm: float | None) -> ChainFinding:
    """Each contact dead and lifted off its wires. Null ohms is no continuity (OL).

    A normally open contact, such as the pressure switch, is open with the blower off: that is healthy. Closed then, it
    is stuck. A normally closed one that is open has done its job. Ohms less the leads.
    Range: one reading for each contact. Example: pressure switch (normally open), null, is healthy.
    Source: common practice, no source; the 1 and 10 ohm steps are expert guesses.
    """
    if len(ohms) != len(contacts):
        raise TradeError("bad_argument", "One reading for each contact, null for no continuity.")
    if leads_ohm is None or leads_ohm > LEADS_OHM:
        states = [_state(contact, "cannot_tell", "Leads not proved.") for contact in contacts]
        words = "Touch the leads together first: they must beep and read near 0 ohm."
        return {"open": None, "contacts": states, "trust": False, "words": words}
    states = [_dead_state(contacts[n], ohms[n], leads_ohm) for n in range(len(contacts))]
    faulty = [line for line in states if line["state"] in ("stuck", "poor")]
    opened = [
        states[n]["id"]
        for n in range(len(contacts))
        if states[n]["state"] == "open" and contacts[n]["normally"] == "closed"
    ]
    if opened:
        words = "Open: " + ", ".join(opened) + ". Ask why before anything is changed."
    elif faulty:
        words = faulty[0]["id"] + ": " + faulty[0]["words"]
    else:
        words = "As it should be with the blower off. One that resets by itself may still open hot."
    return {"open": opened[0] if opened else None, "contacts": states, "trust": True, "words": words}


def _walk_volts(contacts: list[Contact], volts: list[float]) -> tuple[list[ContactState], str | None]:
    states: list[ContactState] = []
    first = None
    for n in range(len(contacts)):
        before, after = volts[n], volts[n + 1]
        if first is not None:
            states.append(_state(contacts[n], "beyond", "Beyond the open one: cannot be told yet."))
        elif after < FULL_SHARE * volts[0]:
            first = contacts[n]["id"]
            states.append(_state(contacts[n], "open", "Full volts before it and none after."))
        elif before - after > DROP_SHARE * volts[0]:
            states.append(_state(contacts[n], "poor", "It drops more volts than a good contact."))
        else:
            states.append(_state(contacts[n], "closed", "Volts on both sides."))
    return states, first


def _dead_state(contact: Contact, ohm: float | None, leads_ohm: float) -> ContactState:
    net = None if ohm is None else max(ohm - leads_ohm, 0.0)
    if contact["normally"] == "open":
        if net is None or net > POOR_OHM:
            return _state(contact, "open", "Open with the blower off: as it should be.")
        return _state(contact, "stuck", "Closed with the blower off: stuck, or held by water in its tube.")
    if net is None or net > POOR_OHM:
        return _state(contact, "open", "Open: it has done its job. Ask why.")
    if net > GOOD_OHM:
        return _state(contact, "poor", "Conducts badly: a beeper would forgive it.")
    return _state(contact, "closed", "Closed.")


def _state(contact: Contact, state: str, words: str) -> ContactState:
    return {"id": contact["id"], "state": state, "words": words}  # type: ignore[typeddict-item]


def _parallel(one: float, other: float) -> float:
    return one * other / (one + other)
