from __future__ import annotations

from tests.sync.conftest import Phone


def test_what_one_push_stored_a_pull_brings_back(phone: Phone) -> None:
    events = [phone.open_job(), phone.note()]
    answer = phone.push(*events)
    assert answer.status_code == 200
    assert [r["status"] for r in answer.json["results"]] == ["stored", "stored"]
    manifest = phone.get("manifest").json
    assert manifest["streams"] == [{**answer.json["heads"][0], "group_id": phone.site}]
    assert manifest["jobs"] == [
        {"job_id": phone.job, "site_id": phone.site, "technician_id": phone.person.id, "state": "open"}
    ]
    page = phone.get(f"sites/{phone.site}/events").json
    assert [line["event"] for line in page["events"]] == events
    assert [line["seq"] for line in page["events"]] == [1, 2]
    assert page["events"][-1]["chain"] == page["chain"] == manifest["streams"][0]["chain"]
