"""The safety chain against an independent nodal solution, and the cases of the trade."""

from __future__ import annotations

import numpy as np
import pytest

from webapp.trade.circuit import CLOSED_OHM, OPEN_OHM, chain_volts

CHAIN = [
    {"id": "eco", "normally": "closed"},
    {"id": "vent_limit", "normally": "closed"},
    {"id": "pressure_switch", "normally": "open"},
    {"id": "roll_out", "normally": "closed"},
]
SOURCE_V, LOAD_OHM, METER_OHM = 24.0, 60.0, 1.0e7
# The nodal matrix spans 20 siemens to 1e-9: in doubles its own answer is good to about a microvolt.
NODAL_V = 2.0e-6


def solve(count, branches, source_v):
    """Volts at every node by Kirchhoff's current law (numpy). Node 0 is the common, node 1 the hot side."""
    g = np.zeros((count, count))
    for a, b, ohm in branches:
        g[a, a] += 1 / ohm
        g[b, b] += 1 / ohm
        g[a, b] -= 1 / ohm
        g[b, a] -= 1 / ohm
    free = list(range(2, count))
    v = np.zeros(count)
    v[1] = source_v
    v[free] = np.linalg.solve(g[np.ix_(free, free)], -g[np.ix_(free, [1])].ravel() * source_v)
    return v


def nodal(source_v, contact_ohms, load_ohm, meter_ohm, clip_from, clip_to):
    """Volts of the meter between two nodes, by solving Kirchhoff's current law at every node (numpy, no divider rule).

    Node 0 is common, node 1 the hot side; each contact leads to the next node, the load from the last to common.
    """
    count = len(contact_ohms) + 2
    branches = [(n + 1, n + 2, ohm) for n, ohm in enumerate(contact_ohms)]
    v = solve(count, [*branches, (count - 1, 0, load_ohm), (clip_from, clip_to, meter_ohm)], source_v)
    return v[clip_from] - v[clip_to]


CASES = {
    "all closed": [CLOSED_OHM] * 4,
    "pressure switch open": [CLOSED_OHM, CLOSED_OHM, OPEN_OHM, CLOSED_OHM],
    "two open": [CLOSED_OHM, OPEN_OHM, OPEN_OHM, CLOSED_OHM],
    "poor contact": [CLOSED_OHM, 6.0, CLOSED_OHM, CLOSED_OHM],
    "first open": [OPEN_OHM, CLOSED_OHM, CLOSED_OHM, CLOSED_OHM],
    "last open": [CLOSED_OHM, CLOSED_OHM, CLOSED_OHM, OPEN_OHM],
}


def simulate(both, ohms, load_ohm=LOAD_OHM, meter_ohm=METER_OHM):
    args = {"source_v": SOURCE_V, "load_ohm": load_ohm, "meter_ohm": meter_ohm, "contact_ohms": ohms}
    return both("chain_volts", args)["ok"]


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("meter_ohm", [1.0e7, 3.0e3])
@pytest.mark.parametrize("load_ohm", [60.0, OPEN_OHM])
def test_every_reading_is_that_of_the_nodal_solution(name, meter_ohm, load_ohm, both):
    ohms = CASES[name]
    read = simulate(both, ohms, load_ohm, meter_ohm)
    for n in range(len(ohms) + 1):
        assert read["to_common_v"][n] == pytest.approx(
            nodal(SOURCE_V, ohms, load_ohm, meter_ohm, n + 1, 0), rel=1e-6, abs=NODAL_V
        )
    for n in range(len(ohms)):
        expected = nodal(SOURCE_V, ohms, load_ohm, meter_ohm, n + 1, n + 2)
        assert read["across_v"][n] == pytest.approx(expected, rel=1e-6, abs=NODAL_V)


# The table of the trade page (24 V, 60 ohm load, 10 megohm meter), computed there before this project began.
TABLE = [
    ("all closed", LOAD_OHM, [24, 24, 24, 23.9, 23.9], [0.02, 0.02, 0.02, 0.02]),
    ("pressure switch open", LOAD_OHM, [24, 24, 24, 0, 0], [0, 0, 24, 0]),
    ("two open", LOAD_OHM, [24, 24, 0.24, 0, 0], [0, 0.24, 0.24, 0]),
    ("pressure switch open", OPEN_OHM, [24, 24, 24, 0.24, 0.24], [0, 0, 0.24, 0]),
]


@pytest.mark.parametrize(("name", "load_ohm", "to_common", "across"), TABLE)
def test_the_trades_table_comes_out(name, load_ohm, to_common, across, both):
    read = simulate(both, CASES[name], load_ohm)
    assert read["to_common_v"] == pytest.approx(to_common, abs=0.06)
    assert read["across_v"] == pytest.approx(across, abs=0.25 if name == "pressure switch open" else 0.01)


def from_voltages(both, volts, *, low_impedance=True):
    return both("chain_from_voltages", {"contacts": CHAIN, "to_common_v": volts, "low_impedance": low_impedance})["ok"]


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("all closed", None),
        ("pressure switch open", "pressure_switch"),
        ("two open", "vent_limit"),
        ("first open", "eco"),
        ("last open", "roll_out"),
    ],
)
@pytest.mark.parametrize("load_ohm", [LOAD_OHM, OPEN_OHM])
def test_walking_to_common_finds_the_first_open_contact(name, expected, load_ohm, both):
    read = simulate(both, CASES[name], load_ohm)
    assert from_voltages(both, read["to_common_v"])["open"] == expected


def test_beyond_the_first_open_contact_nothing_is_claimed(both):
    states = from_voltages(both, [24, 24, 0.24, 0, 0])["contacts"]
    assert [one["state"] for one in states] == ["closed", "open", "beyond", "beyond"]


def test_the_sign_of_the_meter_does_not_matter(both):
    assert from_voltages(both, [-24, -24, -24, 0, 0])["open"] == "pressure_switch"


def test_a_floating_reading_is_not_trusted_until_the_low_impedance_setting_is_used(both):
    floating = from_voltages(both, [24, 24, 24, 9, 9], low_impedance=False)
    assert (floating["open"], floating["trust"]) == (None, False)
    assert from_voltages(both, [24, 24, 24, 9, 9], low_impedance=True)["open"] == "pressure_switch"


def read_along(clip, *, contacts, load_ohm, neutral_ohm=CLOSED_OHM, meter_ohm=METER_OHM, stray=()):
    """What a meter shows from each point of the chain to `clip` ("common", or "load": the load's own cold side).

    Nodes 1 to 5 are the points of the chain, node 6 the cold side of the load, joined to common by the neutral.
    `stray`: (node, ohm) leakage from the hot side to a point of the chain, as between wires in one cable.
    """
    to = 0 if clip == "common" else 6
    readings = []
    for point in range(1, 6):
        branches = [(n + 1, n + 2, ohm) for n, ohm in enumerate(contacts)]
        branches += [(5, 6, load_ohm), (6, 0, neutral_ohm), (point, to, meter_ohm)]
        branches += [(1, node, ohm) for node, ohm in stray]
        v = solve(7, branches, SOURCE_V)
        readings.append(float(v[point] - v[to]))
    return readings


def test_an_open_neutral_reads_full_volts_everywhere_and_is_looked_for_on_the_common_side(both):
    """Two ways to clip the fixed lead, both by the nodal solution: on the transformer's common all is full; on the
    load's cold side nothing is, the source itself included, and then nothing of the chain is judged."""
    volts = read_along("common", contacts=[CLOSED_OHM] * 4, load_ohm=LOAD_OHM, neutral_ohm=OPEN_OHM)
    assert volts == pytest.approx([SOURCE_V] * 5, abs=0.01)
    finding = from_voltages(both, volts)
    assert finding["open"] is None
    assert "common side" in finding["words"]
    at_load = read_along("load", contacts=[CLOSED_OHM] * 4, load_ohm=LOAD_OHM, neutral_ohm=OPEN_OHM)
    assert max(at_load) < 0.01
    finding = from_voltages(both, at_load)
    assert finding["open"] is None
    assert {one["state"] for one in finding["contacts"]} == {"cannot_tell"}
    assert "common" in finding["words"]


def test_a_wire_that_floats_beyond_an_open_contact_shows_ghost_volts_only_on_a_high_impedance_meter(both):
    """Leakage of 10 megohm from a hot wire beside it, load open too: half of 24 V on 10 megohm, none on 3 kohm."""
    case = {"contacts": CASES["pressure switch open"], "load_ohm": OPEN_OHM, "stray": [(4, 1.0e7)]}
    ghost = read_along("common", **case)
    real = read_along("common", **case, meter_ohm=3.0e3)
    assert ghost[3] == pytest.approx(12, abs=0.5)
    assert real[3] < 0.02
    assert from_voltages(both, ghost, low_impedance=False)["trust"] is False
    named = from_voltages(both, real)
    assert (named["open"], named["trust"]) == ("pressure_switch", True)


def test_two_open_by_the_nodal_solution_are_named_one_after_the_other(both):
    two = read_along("common", contacts=CASES["two open"], load_ohm=LOAD_OHM)
    assert from_voltages(both, two)["open"] == "vent_limit"
    mended = [CLOSED_OHM, CLOSED_OHM, OPEN_OHM, CLOSED_OHM]
    assert from_voltages(both, read_along("common", contacts=mended, load_ohm=LOAD_OHM))["open"] == "pressure_switch"


def test_a_poor_contact_is_named_by_its_drop(both):
    read = simulate(both, CASES["poor contact"])
    finding = from_voltages(both, read["to_common_v"])
    assert finding["open"] is None
    assert [one["id"] for one in finding["contacts"] if one["state"] == "poor"] == ["vent_limit"]


def test_no_volts_at_the_source_judges_nothing(both):
    finding = from_voltages(both, [0.3, 0, 0, 0, 0])
    assert {one["state"] for one in finding["contacts"]} == {"cannot_tell"}


def test_across_the_contacts_one_open_is_found_and_two_open_look_closed(both):
    args = {"contacts": CHAIN, "source_v": SOURCE_V}
    one = both("chain_from_across", {**args, "across_v": simulate(both, CASES["pressure switch open"])["across_v"]})[
        "ok"
    ]
    two = both("chain_from_across", {**args, "across_v": simulate(both, CASES["two open"])["across_v"]})["ok"]
    dead_load = both("chain_from_across", {**args, "across_v": [0, 0, 0.24, 0]})["ok"]
    assert one["open"] == "pressure_switch"
    assert (two["open"], two["trust"]) == (None, False)
    assert (dead_load["open"], dead_load["trust"]) == (None, False)


def from_continuity(both, ohms, leads_ohm=0.2):
    return both("chain_from_continuity", {"contacts": CHAIN, "ohms": ohms, "leads_ohm": leads_ohm})["ok"]


@pytest.mark.parametrize(
    ("ohms", "opened", "states"),
    [
        (
            [0.3, 0.3, None, 0.3],
            None,
            ["closed", "closed", "open", "closed"],
        ),  # an open pressure switch, dead, is healthy
        ([0.3, None, None, 0.3], "vent_limit", ["closed", "open", "open", "closed"]),
        ([None, None, None, 0.3], "eco", ["open", "open", "open", "closed"]),  # two open: both are seen dead
        ([0.3, 0.3, 0.4, 0.3], None, ["closed", "closed", "stuck", "closed"]),
        ([0.3, 4.0, None, 0.3], None, ["closed", "poor", "open", "closed"]),
        ([0.3, 5.0e6, None, 0.3], "vent_limit", ["closed", "open", "open", "closed"]),  # megohms are no contact
    ],
)
def test_dead_continuity_reads_each_contact_by_how_it_should_stand(ohms, opened, states, both):
    finding = from_continuity(both, ohms)
    assert finding["open"] == opened
    assert [one["state"] for one in finding["contacts"]] == states


@pytest.mark.parametrize("leads_ohm", [None, 30.0])
def test_leads_that_do_not_beep_judge_nothing(leads_ohm, both):
    finding = from_continuity(both, [None, None, None, None], leads_ohm)
    assert (finding["open"], finding["trust"]) == (None, False)


def test_closing_a_contact_never_lowers_a_reading_beyond_it():
    volts = [chain_volts(24.0, 60.0, 1.0e7, [0.05, ohm, 0.05])["to_common_v"][-1] for ohm in (1e9, 1e6, 1e3, 10, 0.05)]
    assert volts == sorted(volts)


@pytest.mark.parametrize(
    ("name", "args"),
    [
        ("chain_from_voltages", {"contacts": CHAIN, "to_common_v": [24, 24], "low_impedance": True}),
        ("chain_from_across", {"contacts": CHAIN, "across_v": [1], "source_v": 24}),
        ("chain_from_continuity", {"contacts": CHAIN, "ohms": [], "leads_ohm": 0.1}),
        ("chain_from_continuity", {"contacts": [{"id": "a", "normally": "shut"}], "ohms": [1], "leads_ohm": 0.1}),
        ("chain_volts", {"source_v": 24, "load_ohm": 0, "meter_ohm": 1e7, "contact_ohms": [1]}),
    ],
)
def test_readings_that_do_not_match_the_chain_are_refused_by_name(name, args, both):
    assert both(name, args)["error"]["code"] == "bad_argument"
