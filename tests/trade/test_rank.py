"""Our Bayes against the outside: the Asia network (Lauritzen & Spiegelhalter 1988), and pgmpy as another engine."""

from __future__ import annotations

import itertools
import json
import math
import random
from pathlib import Path

import pytest

from tests.trade.bayes_network import network
from tests.trade.making import small_procedure
from webapp.trade.rank import FAILED_PROOF_OTHER, FAILED_PROOF_SAME, RULED_OUT_P, SHOWN_CAP, posterior, rank

# Asia: Lauritzen & Spiegelhalter, Local computations with probabilities on graphical structures, JRSS B 50 (1988).
P_ASIA, P_SMOKE = 0.01, 0.5
P_TUB = {True: 0.05, False: 0.01}
P_LUNG = {True: 0.1, False: 0.01}
P_BRONC = {True: 0.6, False: 0.3}
P_XRAY = {True: 0.98, False: 0.05}
P_DYSP = {(True, True): 0.9, (True, False): 0.7, (False, True): 0.8, (False, False): 0.1}  # (either, bronc)


def asia_network():
    """The network itself, for pgmpy. State 0 is yes."""
    edges = [("A", "T"), ("S", "L"), ("S", "B"), ("T", "E"), ("L", "E"), ("E", "X"), ("E", "D"), ("B", "D")]
    yes_no = [True, False]
    tables = []

    def cpd(name, parents, chance):
        combos = list(itertools.product(yes_no, repeat=len(parents)))
        row = [chance(*combo) for combo in combos]
        tables.append((name, [row, [1 - one for one in row]], parents, [2] * len(parents)))

    cpd("A", [], lambda: P_ASIA)
    cpd("S", [], lambda: P_SMOKE)
    cpd("T", ["A"], lambda a: P_TUB[a])
    cpd("L", ["S"], lambda s: P_LUNG[s])
    cpd("B", ["S"], lambda s: P_BRONC[s])
    cpd("E", ["T", "L"], lambda tub, lung: float(tub or lung))
    cpd("X", ["E"], lambda e: P_XRAY[e])
    cpd("D", ["E", "B"], lambda e, b: P_DYSP[e, b])
    return network(edges, tables)


def asia_as_causes():
    """Asia for our engine: a cause is a triple (tuberculosis, cancer, bronchitis), given which A, S, X, D are apart."""
    priors, tables = {}, {name: {"no": {}, "yes": {}} for name in ("A", "S", "X", "D")}
    for t, lung, b in itertools.product([True, False], repeat=3):
        name = f"t{t:d}_l{lung:d}_b{b:d}"
        t_given = {a: P_TUB[a] if t else 1 - P_TUB[a] for a in (True, False)}
        lb_given = {
            s: (P_LUNG[s] if lung else 1 - P_LUNG[s]) * (P_BRONC[s] if b else 1 - P_BRONC[s]) for s in (True, False)
        }
        p_t = P_ASIA * t_given[True] + (1 - P_ASIA) * t_given[False]
        p_lb = P_SMOKE * lb_given[True] + (1 - P_SMOKE) * lb_given[False]
        priors[name] = p_t * p_lb
        yes = {
            "A": P_ASIA * t_given[True] / p_t,
            "S": P_SMOKE * lb_given[True] / p_lb,
            "X": P_XRAY[t or lung],
            "D": P_DYSP[t or lung, b],
        }
        for check, chance in yes.items():
            tables[check]["yes"][name], tables[check]["no"][name] = chance, 1 - chance
    return small_procedure(priors, tables)


# Published and computed twice before (pyAgrum 3.3.1 and pgmpy 1.1.2 agreed to six digits): P(T), P(L), P(B).
ASIA_CASES = [
    ({}, (0.0104, 0.055, 0.45)),
    ({"D": "yes"}, (0.018845, 0.102759, 0.833967)),
    ({"A": "yes", "D": "yes"}, (0.087751, 0.099525, 0.811402)),
    ({"A": "yes", "D": "yes", "X": "no"}, (0.002249, 0.00255, 0.862761)),
    ({"A": "yes", "S": "no", "D": "yes"}, (0.112835, 0.022567, 0.717942)),
    ({"A": "yes", "S": "no", "D": "yes", "X": "yes"}, (0.632329, 0.126466, 0.45896)),
]


@pytest.fixture(scope="module")
def asia():
    return asia_network()


@pytest.mark.parametrize(("found", "expected"), ASIA_CASES)
def test_asia_comes_out_as_published_and_as_pgmpy_says(found, expected, asia, both):
    procedure = asia_as_causes()
    evidence = [{"check": check, "outcome": outcome} for check, outcome in found.items()]
    p = {one["cause"]: one["p"] for one in both("rank", {"procedure": procedure, "evidence": evidence})["ok"]["causes"]}
    for position, name in enumerate("TLB"):
        letter = name.lower()
        ours = sum(chance for cause, chance in p.items() if f"{letter}1" in cause)
        assert ours == pytest.approx(expected[position], abs=1e-6)
        query = asia.query(
            [name], {check: 0 if said == "yes" else 1 for check, said in found.items()}, show_progress=False
        )
        assert ours == pytest.approx(query.values[0], abs=1e-9)


def naive_bayes(procedure):
    """The procedure as a pgmpy network: one cause node, one child for each check."""
    causes = procedure["causes"]
    tables = [("cause", [[one["prior"]] for one in causes], [], [])]
    for check in procedure["checks"]:
        rows = [check["rows"][one["id"]] for one in check["outcomes"]]
        tables.append((check["id"], rows, ["cause"], [len(causes)]))
    return network([("cause", check["id"]) for check in procedure["checks"]], tables)


def pgmpy_posterior(engine, procedure, evidence):
    numbers = {check["id"]: [one["id"] for one in check["outcomes"]] for check in procedure["checks"]}
    given = {one["check"]: numbers[one["check"]].index(one["outcome"]) for one in evidence}
    values = engine.query(["cause"], given, show_progress=False).values
    return {cause["id"]: float(value) for cause, value in zip(procedure["causes"], values, strict=True)}


def test_a_shipped_procedure_ranks_as_pgmpys_naive_bayes_does(shipped, both):
    engine = naive_bayes(shipped)
    chance = random.Random(20261125)
    for _ in range(25):
        checks = chance.sample(shipped["checks"], chance.randint(0, 25))
        evidence = [{"check": one["id"], "outcome": chance.choice(one["outcomes"])["id"]} for one in checks]
        ours = both("rank", {"procedure_hash": shipped["hash"], "evidence": evidence})["ok"]
        theirs = pgmpy_posterior(engine, shipped, evidence)
        for one in ours["causes"]:
            assert one["p"] == pytest.approx(theirs[one["cause"]], abs=1e-9)


def sketch():
    """The sketch tables as a compiled procedure; a column that leaves nothing for the normal outcome is scaled."""
    data = json.loads((Path(__file__).parent / "data/sketch_tables.json").read_text(encoding="utf-8"))
    total = sum(data["priors"].values())
    tables = {}
    for check, outcomes in data["checks"].items():
        rows = {"normal": {}, **{outcome: {} for outcome in outcomes}}
        for cause in data["priors"]:
            column = {outcome: row.get(cause, row["else"]) for outcome, row in outcomes.items()}
            column["normal"] = max(0.01, 1 - sum(column.values()))
            scale = sum(column.values())
            for outcome, one in column.items():
                rows[outcome][cause] = one / scale
        tables[check] = rows
    return small_procedure({cause: one / total for cause, one in data["priors"].items()}, tables)


# Five regression paths with the posteriors that the sketch gives beside its tables. All of it is expert guesses: the
# test holds the arithmetic, not the trade. The sketch prints its tables rounded and its posteriors to three places;
# from the printed tables three paths come out within 0.002, the second and the fifth 0.008 and 0.012 higher.
PATHS = [
    (
        [("K04", "blower runs, switch never makes"), ("K07", "normal"), ("K05", "obstructed / iced")],
        {"C1": 0.891, "C2": 0.048, "C9": 0.015},
    ),
    (
        [
            ("K04", "made, then opened after flame (1-10 min)"),
            ("K05", "normal"),
            ("K07", "normal"),
            ("K06", "over the allowed equivalent length"),
            ("K24", "recovers"),
        ],
        {"C3": 0.952, "C5": 0.024, "C2": 0.011},
    ),
    (
        [
            ("K04", "blower runs, switch never makes"),
            ("K05", "normal"),
            ("K07", "normal"),
            ("K06", "normal"),
            ("K22", "below make point"),
            ("K24", "stays low"),
        ],
        {"C9": 0.852, "C7": 0.099, "C6": 0.045},
    ),
    (
        [
            ("K04", "blower runs, switch never makes"),
            ("K22", "below make point"),
            ("K29", "tap good, switch end low"),
            ("K15", "water or plug came out"),
        ],
        {"C7": 0.936, "C6": 0.046},
    ),
    ([("K04", "call, blower silent"), ("K11", "dead")], {"C10": 0.955}),
]


@pytest.mark.parametrize(("path", "expected"), PATHS, ids=["terminal", "run", "blower", "tube", "power"])
def test_a_regression_path_comes_out_as_sketched_and_as_pgmpy_says(path, expected, both):
    procedure = sketch()
    evidence = [{"check": check, "outcome": outcome} for check, outcome in path]
    ours = {
        one["cause"]: one["p"] for one in both("rank", {"procedure": procedure, "evidence": evidence})["ok"]["causes"]
    }
    theirs = pgmpy_posterior(naive_bayes(procedure), procedure, evidence)
    for cause, one in ours.items():
        assert one == pytest.approx(theirs[cause], abs=1e-9)
    for cause, one in expected.items():
        assert ours[cause] == pytest.approx(one, abs=0.013)
    assert max(ours, key=ours.__getitem__) == next(iter(expected))


TWO = small_procedure(
    {"a": 0.5, "b": 0.4, "none_of_these": 0.1},
    {
        "look": {"good": {"a": 0.1, "b": 0.9, "none_of_these": 0.5}, "bad": {"a": 0.9, "b": 0.1, "none_of_these": 0.5}},
        "feel": {
            "good": {"a": 0.0, "b": 0.99, "none_of_these": 0.5},
            "bad": {"a": 1.0, "b": 0.01, "none_of_these": 0.5},
        },
    },
)


def test_without_findings_the_priors_come_back(both):
    ranked = both("rank", {"procedure": TWO, "evidence": []})["ok"]["causes"]
    assert [(one["cause"], one["p"]) for one in ranked] == [("a", 0.5), ("b", 0.4), ("none_of_these", 0.1)]


def test_a_check_with_two_different_outcomes_counts_as_not_asked(both):
    both_ways = [{"check": "look", "outcome": "good"}, {"check": "look", "outcome": "bad"}]
    ranking = both("rank", {"procedure": TWO, "evidence": both_ways})["ok"]
    assert ranking["causes"][0]["p"] == 0.5
    assert ranking["used"] == []
    assert ranking["ignored"] == both_ways


def test_the_same_outcome_twice_counts_once(both):
    once = both("rank", {"procedure": TWO, "evidence": [{"check": "look", "outcome": "bad"}]})["ok"]
    twice = both("rank", {"procedure": TWO, "evidence": [{"check": "look", "outcome": "bad"}] * 2})["ok"]
    assert once["causes"] == twice["causes"]


def test_a_zero_likelihood_does_not_kill_a_cause(both):
    ranked = both("rank", {"procedure": TWO, "evidence": [{"check": "feel", "outcome": "good"}]})["ok"]["causes"]
    assert 0 < next(one["p"] for one in ranked if one["cause"] == "a") < 0.01


def test_a_ruled_out_cause_names_the_outcome_that_did_it(both):
    ranked = both("rank", {"procedure": TWO, "evidence": [{"check": "feel", "outcome": "good"}]})["ok"]["causes"]
    a = next(one for one in ranked if one["cause"] == "a")
    assert a["state"] == "ruled_out"
    assert a["by"] == [{"check": "feel", "outcome": "good"}]
    assert a["p"] < RULED_OUT_P


def test_no_more_than_95_in_100_is_shown_until_a_proof_run_has_passed():
    strong = small_procedure(
        {"a": 0.5, "b": 0.5},
        {f"c{n}": {"good": {"a": 0.01, "b": 0.99}, "bad": {"a": 0.99, "b": 0.01}} for n in range(4)},
    )
    evidence = [{"check": f"c{n}", "outcome": "bad"} for n in range(4)]
    first = rank(strong, evidence)["causes"][0]
    assert first["p"] > 0.9999
    assert first["p_shown"] == SHOWN_CAP == 0.95  # the trade's sketch: checks see the same flow
    assert rank(strong, evidence, proven="a")["causes"][0]["p_shown"] == first["p"]
    assert rank(strong, evidence, proven="b")["causes"][0]["p_shown"] == SHOWN_CAP


def test_a_failed_proof_speaks_against_the_cause_that_was_repaired():
    p = posterior(TWO, [], ["a"])
    total = 0.5 * FAILED_PROOF_SAME + 0.5 * FAILED_PROOF_OTHER
    assert p == pytest.approx(
        [0.5 * FAILED_PROOF_SAME / total, 0.4 * FAILED_PROOF_OTHER / total, 0.1 * FAILED_PROOF_OTHER / total]
    )


def test_entropy_is_that_of_the_probabilities(power_vent, both):
    ranking = both("rank", {"procedure_hash": power_vent["hash"], "evidence": []})["ok"]
    by_hand = -sum(one["p"] * math.log2(one["p"]) for one in ranking["causes"])
    assert ranking["entropy_bits"] == pytest.approx(by_hand, abs=1e-12)


def test_findings_that_no_single_cause_explains_are_called_strained(power_vent):
    odd = [
        {"check": "outlet", "outcome": "dead"},
        {"check": "terminal", "outcome": "nest_or_debris"},
        {"check": "tube_drain", "outcome": "water_or_plug"},
        {"check": "igniter_ohms", "outcome": "open_or_off"},
    ]
    assert not rank(power_vent, odd[:1])["fit"]["strained"]
    fit = rank(power_vent, odd)["fit"]
    assert fit["strained"]
    assert len(fit["look_again"]) == 2


def states(both, procedure, *found):
    evidence = [{"check": check, "outcome": outcome} for check, outcome in found]
    ranked = both("rank", {"procedure_hash": procedure["hash"], "evidence": evidence})["ok"]["causes"]
    return {one["cause"]: one["state"] for one in ranked}


def test_one_cause_found_rules_no_other_out(both, power_vent):
    """A nest in the terminal says nothing of a joint that leaks or a burner that lacks air: they are not looked at."""
    nest = states(both, power_vent, ("terminal", "nest_or_debris"))
    assert nest["terminal_blocked"] == "likely"
    assert [cause for cause, state in nest.items() if state == "ruled_out"] == []


def test_what_was_looked_at_and_found_right_rules_its_own_cause_out(both, power_vent):
    found = states(both, power_vent, ("terminal", "nest_or_debris"), ("sensing_tube", "seated"), ("joints", "sound"))
    assert found["tube_off"] == "ruled_out"
    assert "ruled_out" not in (found["air_starved"], found["gas_low"])


@pytest.mark.parametrize("answers", [39, 40, 41, 81])
def test_every_answer_of_a_very_long_walk_counts(answers):
    """Bayes by hand: of two causes the odds are the priors' times each answer's ratio, 0.55 / 0.45."""
    rows = {"no": {"a": 0.45, "b": 0.55}, "yes": {"a": 0.55, "b": 0.45}}
    checks = [f"c{number}" for number in range(answers)]
    procedure = small_procedure({"a": 0.02, "b": 0.98}, dict.fromkeys(checks, rows))
    ranked = rank(procedure, [{"check": check, "outcome": "yes"} for check in checks])["causes"]
    odds = 0.02 / 0.98 * (0.55 / 0.45) ** answers
    assert next(one["p"] for one in ranked if one["cause"] == "a") == pytest.approx(odds / (1 + odds), rel=1e-9)
