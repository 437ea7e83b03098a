"""Thermocouple and thermopile in millivolts: loops by Ohm's law, readings against what is printed or typed.

Sources disagree on every minimum here. Nothing is averaged: under all that are printed a reading is low, over all of
them it is enough, and in between only the maker's own figure, typed from sheet or label, decides.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from .errors import TradeError

if TYPE_CHECKING:
    from typing import Any, TypedDict

    from .advice_types import Evidence
    from .readings import ReadingOutcome

    class MillivoltLoop(TypedDict):
        """What an ammeter would read in the loop, and a millivoltmeter at the source and at the load."""

        current_ma: float
        at_source_mv: float
        at_load_mv: float


MILLIVOLT_RULES = (
    "couple_open_outcome",
    "couple_closed_outcome",
    "drop_out_outcome",
    "pile_open_outcome",
    "pile_loaded_outcome",
    "cutoff_outcome",
)

# Minima as printed (public teaching pages, which disagree; docs/trade.md). Those of a loaded pile are from memory.
COUPLE_OPEN_MINIMA_MV = (15.0, 18.0, 25.0)
COUPLE_CLOSED_MINIMA_MV = (8.0, 10.0, 12.0)
PILE_OPEN_MINIMA_MV = (400.0, 500.0, 650.0)
PILE_LOADED_MINIMA_MV = (150.0, 200.0, 300.0)
# Under these a meter reads nothing (expert guesses).
COUPLE_NOTHING_MV = 1.0
PILE_NOTHING_MV = 10.0
# Closed over open: about 0.4 in a sound circuit of 0.018 ohm against 0.012 ohm; a bad contact raises it (expert guess).
HIGH_SHARE = 0.5
# Two readings of one couple a minute apart may differ by this much; an open circuit shows all of it (expert guess).
CANNOT_SHARE = 1.1
# From memory: ANSI Z21.20 practice. A typed figure may ask for less time, never for more.
DROP_OUT_SECONDS = 180.0
DROP_OUT_MAXIMA_MV = (6.0, 9.0)
# More than this on the way from pile to valve is lost in wire or contact (expert guess).
LOST_SHARE = 0.1
# Ohms of a closed cut-out, leads taken off: as fine as a common ohmmeter sees (expert guesses).
CUTOFF_GOOD_OHM = 0.2
CUTOFF_DOUBTFUL_OHM = 10.0
LEADS_GOOD_OHM = 2.0


def millivolt_loop(source_mv: float, source_ohm: float, load_ohm: float, extra_ohm: float) -> MillivoltLoop:
    """A source with its own resistance, a coil, and whatever else is in the loop between them.

    I = E / (R_i + R_load + R_extra); at the source E - I R_i, at the load I R_load. mV, ohm, mA.
    Range: resistances 0 up, not all 0. Example: 30 mV, 0.018 and 0.012 ohm give 1,000 mA and 12 mV; with 0.018 ohm of
    bad contact 625 mA, 18.75 mV at the source and 7.5 mV at the coil: the meter shows more while the magnet gets less.
    Source: Ohm's and Kirchhoff's laws.
    """
    whole = source_ohm + load_ohm + extra_ohm
    if source_ohm < 0.0 or load_ohm < 0.0 or extra_ohm < 0.0 or whole <= 0.0:
        raise TradeError("bad_argument", "Resistances are 0 or more, and not all 0.")
    current_ma = source_mv / whole
    return {
        "current_ma": current_ma,
        "at_source_mv": source_mv - current_ma * source_ohm,
        "at_load_mv": current_ma * load_ohm,
    }


def couple_open_outcome(couple_open_mv: float, couple_open_min_mv: float | None) -> ReadingOutcome:
    """A thermocouple off its valve, pilot burning: enough, low or none. mV; leads reversed change the sign only.

    Range: -50 to 100. Example: 8 mV is "low" whatever is typed or printed; 20 mV cannot be told without the maker's.
    Source: minima of 15, 18 and 25 mV are printed; they disagree. The flame is looked at first, the couple second.
    """
    return _open(couple_open_mv, couple_open_min_mv, COUPLE_OPEN_MINIMA_MV, COUPLE_NOTHING_MV)


def pile_open_outcome(pile_open_mv: float, pile_open_min_mv: float | None) -> ReadingOutcome:
    """A thermopile with its wires off: enough, low or none. mV. Range: -1,000 to 1,200.

    Example: 380 mV is "low". Source: minima of 400, 500 and 650 mV are printed; they disagree.
    """
    return _open(pile_open_mv, pile_open_min_mv, PILE_OPEN_MINIMA_MV, PILE_NOTHING_MV)


def couple_closed_outcome(
    couple_closed_mv: float, couple_open_mv: float | None, couple_closed_min_mv: float | None, *, holds: bool | None
) -> ReadingOutcome:
    """A thermocouple working on its magnet, read at the adapter: enough, low, or high while the pilot drops.

    `holds`: whether the pilot held when the knob was let go, null where nobody looked. A high reading with a dropped
    pilot convicts the contact or the magnet, not the couple: see `millivolt_loop`. mV. Range: -50 to 100.
    Example: 18.7 mV closed of 30 open with a dropped pilot is "high_but_drops".
    Source: Ohm's law for the direction; minima of 8, 10 and 12 mV are printed; the share of 0.5 is an expert guess.
    """
    size = abs(couple_closed_mv)
    full = None if couple_open_mv is None else abs(couple_open_mv)
    if full is not None and size > CANNOT_SHARE * full:
        return _cannot("More closed than open cannot be with the same flame: read both again.")
    if holds is None:
        return _cannot("Say first whether the pilot holds: a high reading means something else when it drops.")
    high = full is not None and full >= COUPLE_NOTHING_MV and size > HIGH_SHARE * full
    found = _against(size, couple_closed_min_mv, COUPLE_CLOSED_MINIMA_MV)
    if not holds and (high or found["outcome"] == "enough"):
        words = (
            "The couple gives enough and the pilot drops all the same: nut, seat, cut-outs and magnet. Not the couple."
        )
        return {"outcome": "high_but_drops", "words": words}
    if high and found["outcome"] == "enough":
        return {"outcome": "enough", "words": "Enough, but high for its open reading: a contact may be going."}
    return found


def drop_out_outcome(
    drop_out_seconds: float, drop_out_limit_seconds: float | None, drop_out_mv: float | None
) -> ReadingOutcome:
    """Pilot out: how long until the valve shuts, and at how many millivolts: in time, too slow, or too early.

    s, mV. Range: 0 to 600 s. Example: 200 s is "too_slow". Source: 180 s from memory of ANSI Z21.20 practice; three
    minutes after the pilot went out no main gas on a call (IFGC/IRC appendix D.5.1); 6 and 9 mV are both printed.
    """
    limit = DROP_OUT_SECONDS
    if drop_out_limit_seconds is not None and drop_out_limit_seconds < limit:
        limit = drop_out_limit_seconds
    if drop_out_seconds > limit:
        return {"outcome": "too_slow", "words": "Gas stays on too long without a flame. Gas off, left off and tagged."}
    size = None if drop_out_mv is None else abs(drop_out_mv)
    if size is not None and size > DROP_OUT_MAXIMA_MV[1]:
        return {"outcome": "drops_early", "words": "The magnet lets go while the couple still gives enough."}
    if size is not None and size > DROP_OUT_MAXIMA_MV[0]:
        return _cannot("Sources disagree here: 6 and 9 mV are both printed. The maker's sheet decides.")
    return {"outcome": "in_time", "words": "Shuts in time. 180 seconds at most is from memory; a shorter figure rules."}


def pile_loaded_outcome(
    pile_loaded_mv: float, valve_loaded_mv: float | None, pile_loaded_min_mv: float | None
) -> ReadingOutcome:
    """A thermopile working on its valve: enough, low, or lost on the way to the valve. mV. Range: -1,000 to 1,200.

    Example: 371 mV at the pile and 279 at the valve are "lost_on_the_way" (650 mV, 3 and 3 ohm, 1 ohm of wire).
    Source: Ohm's law; minima of 150, 200 and 300 mV are from memory and disagree; a tenth lost is an expert guess.
    """
    size = abs(pile_loaded_mv)
    at_valve = None if valve_loaded_mv is None else abs(valve_loaded_mv)
    if at_valve is not None and at_valve < (1.0 - LOST_SHARE) * size:
        return {
            "outcome": "lost_on_the_way",
            "words": "Lost between pile and valve: wire, screw or a cut-out's contact.",
        }
    return _against(size, pile_loaded_min_mv, PILE_LOADED_MINIMA_MV)


def cutoff_outcome(cutoff_ohm: float | None, leads_ohm: float | None) -> ReadingOutcome:
    """A TCO or ECO in the millivolt circuit, dead and lifted off its wires: closed, poor contact or open.

    Ohms less the leads; null is no continuity (OL). Range: 0 up. Example: 0.4 ohm with leads of 0.3 is "closed".
    Source: common practice, no source; 0.2 and 10 ohm are expert guesses. In a loop of 0.03 ohm even what an ohmmeter
    calls closed may be too much: the closed millivolts decide.
    """
    if leads_ohm is None or leads_ohm > LEADS_GOOD_OHM:
        return _cannot("Touch the leads together first: they must beep and read near 0 ohm.")
    net = None if cutoff_ohm is None else max(cutoff_ohm - leads_ohm, 0.0)
    if net is None or net > CUTOFF_DOUBTFUL_OHM:
        return {"outcome": "open", "words": "Open: it has done its job. No relight before the reason is known."}
    if net > CUTOFF_GOOD_OHM:
        return {"outcome": "poor", "words": "It conducts badly: too much for millivolts."}
    return {"outcome": "closed", "words": "Closed, as far as an ohmmeter sees. The closed millivolts see more."}


def millivolt_outcome(rule: str, values: dict[str, Any], answers: list[Evidence]) -> ReadingOutcome:
    """The proposal of one of MILLIVOLT_RULES from the figures by quantity, and from whether the pilot held."""
    if rule == "couple_open_outcome":
        return couple_open_outcome(values["couple_open_mv"], values.get("couple_open_min_mv"))
    if rule == "pile_open_outcome":
        return pile_open_outcome(values["pile_open_mv"], values.get("pile_open_min_mv"))
    if rule == "pile_loaded_outcome":
        known = [values.get(name) for name in ("valve_loaded_mv", "pile_loaded_min_mv")]
        return pile_loaded_outcome(values["pile_loaded_mv"], known[0], known[1])
    if rule == "drop_out_outcome":
        known = [values.get(name) for name in ("drop_out_limit_seconds", "drop_out_mv")]
        return drop_out_outcome(values["drop_out_seconds"], known[0], known[1])
    if rule == "cutoff_outcome":
        return cutoff_outcome(values.get("cutoff_ohm"), values.get("leads_ohm"))
    known = [values.get(name) for name in ("couple_open_mv", "couple_closed_min_mv")]
    return couple_closed_outcome(values["couple_closed_mv"], known[0], known[1], holds=_pilot_holds(answers))


def _pilot_holds(answers: list[Evidence]) -> bool | None:
    said = [one["outcome"] for one in answers if one["check"] == "relight_watch"]
    if not said or said[-1] == "wont_light":
        return None
    return said[-1] != "wont_hold"


def _open(value_mv: float, typed_mv: float | None, printed_mv: tuple[float, ...], nothing_mv: float) -> ReadingOutcome:
    if abs(value_mv) < nothing_mv:
        return {"outcome": "none", "words": "Nothing to read: flame on the tip first, then lead and plug of the meter."}
    return _against(abs(value_mv), typed_mv, printed_mv)


def _against(size_mv: float, typed_mv: float | None, printed_mv: tuple[float, ...]) -> ReadingOutcome:
    if typed_mv is not None:
        if size_mv < typed_mv:
            return {"outcome": "low", "words": "Under the maker's minimum. Flame on the tip first, then the part."}
        return {"outcome": "enough", "words": "At or over the maker's minimum."}
    printed = ", ".join([str(int(one)) for one in printed_mv]) + " mV"
    if size_mv < printed_mv[0]:
        return {
            "outcome": "low",
            "words": "Under every minimum that is printed (" + printed + "). Flame on the tip first.",
        }
    if size_mv >= printed_mv[-1]:
        return {"outcome": "enough", "words": "Over every minimum that is printed (" + printed + ")."}
    return _cannot("Sources disagree here (" + printed + "): type the maker's minimum.")


def _cannot(words: str) -> ReadingOutcome:
    return {"outcome": None, "words": words}
