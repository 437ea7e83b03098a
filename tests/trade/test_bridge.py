"""The bridge: JSON in, JSON out, named errors, on both engines."""


def test_a_step_gives_record_and_advice_alike_on_both_engines(both, power_vent):
    answer = both("step", {"procedure_hash": power_vent["hash"], "events": []})
    assert answer["ok"]["record"]["state"] == "booked"
    assert answer["ok"]["advice"]["gate"]["next_check"] == power_vent["gate"][0]
