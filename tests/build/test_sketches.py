"""Every check has a sketch of its own matter, and no sketch is left over."""

import json

from service_worker.build.places import HERE
from webapp.procedures.loader import list_procedures, source

SKETCHES = json.loads((HERE.phone / "shell" / "sketches" / "sketches.json").read_text("utf-8"))
CHECKS = [check for name in list_procedures() for check in source(name)["checks"]]
# What an instrument is put on tells one measurement from another: these drawings show the same connection.
ALIKE = {"co_meter", "gauge_tee", "igniter", "limit"}


def test_every_check_has_its_sketch_and_every_sketch_its_check() -> None:
    drawings = {f"heater/{name}" for name in list_procedures()}
    assert {check["sketch"] for check in CHECKS} | drawings == set(SKETCHES)


def test_two_measurements_share_a_sketch_only_where_the_instrument_is_put_on_alike() -> None:
    measured = {"meter", "gauge", "analyser"}
    users: dict[str, set[str]] = {}
    for check in CHECKS:
        users.setdefault(check["sketch"], set()).add(f"{check['sense']} {check['id']}")
    shared = {
        sketch: ids for sketch, ids in users.items() if len(ids) > 1 and any(one.split()[0] in measured for one in ids)
    }
    assert set(shared) <= ALIKE, shared
