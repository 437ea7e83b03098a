"""Whatever phones send, there is a sheet, and its PDF can be read."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from tests.sites.stories import PROCEDURE
from tests.sites.test_any_events import NOW, events
from webapp.jobsheet.pdf import draw_pdf
from webapp.jobsheet.telling import tell
from webapp.models import Job, Site
from webapp.people.licences import PersonThen
from webapp.sheets.settings import Settings
from webapp.sites.about_address import address_facts
from webapp.sites.procedure_words import ProcedureWords
from webapp.sites.timeline import Arrived
from webapp.sites.told_job import ToldJob
from webapp.trade.record import fold_job


@given(st.lists(events(), max_size=12), st.booleans())
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_events_make_a_sheet_that_can_be_read(tmp_path: Path, told: list[Any], known: bool) -> None:
    names = ("street", "town", "postcode", "customer_name", "phone", "access_words")
    site = Site(id="s", group_id="s", **dict.fromkeys(names, ""))
    job = ToldJob(
        job=Job(id="00000000-0000-7000-8000-00000000abcd", site_id="s"),
        site=site,
        moment=NOW,
        record=fold_job(told),
        arrived=[Arrived(event, NOW) for event in told],
        words=ProcedureWords(PROCEDURE if known else None),
        facts=address_facts(told),
        stored_photos=set(),
    )
    sheet = tell(
        job,
        {"a": PersonThen("Ann", technician=True, licence=None)},
        Settings(None, None, "Lantern & Sons" if known else None, None),
    )
    reader = PdfReader(io.BytesIO(draw_pdf(sheet, tmp_path)), strict=True)
    assert "For your safety" in " ".join(page.extract_text() for page in reader.pages)
    assert len(reader.outline) == len(sheet.sections)
