"""Every number that a procedure asks for has a name that a householder understands."""

from __future__ import annotations

import re

from tests.jobsheet.test_told_plainly import sheet_of
from tests.jobsheet.test_true_and_short import GATE, answers, walked
from webapp.jobsheet.plain_numbers import PLAIN, number_name
from webapp.models import Job
from webapp.procedures.loader import compiled, list_procedures
from webapp.sites.procedure_words import ProcedureWords

# What a householder has no use for, or nobody explains to one on a sheet.
OF_THE_TRADE = re.compile(
    r"\b(couple|thermocouple|thermopile|pile|manifold|suction|flue|static|ECO|TCO|make point|drop-out)\b", re.IGNORECASE
)


def asked() -> set[str]:
    return {
        spec["quantity"]
        for name in list_procedures()
        for check in compiled(name)["checks"]
        for spec in check["readings"]
    }


def test_no_number_on_the_sheet_is_called_in_the_trades_own_words() -> None:
    for name in list_procedures():
        body = compiled(name)
        for check in body["checks"]:
            for spec in check["readings"]:
                told, _unit = number_name(check["id"], spec["quantity"], ProcedureWords(body))
                assert not OF_THE_TRADE.search(told), (check["id"], told)


def test_only_numbers_that_are_asked_for_are_named_here() -> None:
    assert set(PLAIN) <= asked()


def test_the_sheet_names_them_so(desk, story, session) -> None:
    reading = {"check": "suction_at_switch", "quantity": "suction_in_wc", "value": 0.31, "state": "cold"}
    run = {"passed": True, "minutes": 10, "restarts": 3, "looks_done": [], "quantity": "suction_in_wc"}
    figures = {"before_value": 0.31, "after_value": 0.5}
    acts = [("reading_taken", reading), ("repair_made", {"action": "other"})]
    job = walked(story, session, *answers(**GATE), *acts)
    site = session.get_one(Job, job).site_id
    story.say(story.hand, "proof_run", run | figures, site_id=site, job_id=job, schema=2)
    sheet = sheet_of(desk, job)
    assert "How strongly the vent draws 0.31 in. w.c. before the work, 0.5 in. w.c. after it" in sheet
    assert "How strongly the vent draws 0.31 in. w.c. heater cold" in sheet
