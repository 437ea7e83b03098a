from __future__ import annotations

import re

from flask.testing import FlaskClient

from tests.people.conftest import Desk
from tests.sync.conftest import Phone
from webapp.models import Person
from webapp.models.ids import new_id


def let_a_phone_in(desk: Desk, client: FlaskClient, person: Person) -> Phone:
    page = desk.post(f"/people/{person.id}/enrol-code", "/people")
    assert page.status_code == 200
    found = re.search(r'data-code="(\w{8})"', page.text)
    assert found
    device_id = new_id()
    asked = {"code": found[1], "device_id": device_id, "device_words": "Ada's <b>phone</b>"}
    answer = client.post("/api/v1/enrol", json=asked)
    assert answer.status_code == 200
    return Phone(client, person, answer.json["token"], device_id)


def test_the_office_lets_a_phone_in_and_closes_it(desk: Desk, client: FlaskClient, people: dict[str, Person]) -> None:
    desk.sign_in("dispatcher")
    phone = let_a_phone_in(desk, client, people["technician"])
    assert phone.get("manifest").status_code == 200
    page = client.get("/people").text
    assert "Ada&#39;s &lt;b&gt;phone&lt;/b&gt;" in page
    folded = page.partition("<summary>Close this phone")[2].partition("</details>")[0]
    assert f"/people/phones/{phone.device_id}/close" in folded, "one press, which cuts somebody off below, is too few"
    assert "at once and for good" in folded
    assert desk.post(f"/people/phones/{phone.device_id}/close", "/people").status_code == 303
    assert phone.get("manifest").json["code"] == "device_revoked"
    page = client.get("/people").text
    assert re.search(r"closed [A-Z][a-z]{2} \d", page)
    assert "Close this phone" not in page


def test_the_page_tells_what_a_phone_has_not_handed_in(
    desk: Desk, client: FlaskClient, people: dict[str, Person]
) -> None:
    desk.sign_in("owner")
    phone = let_a_phone_in(desk, client, people["technician"])
    events = [phone.open_job(), phone.note(), phone.note()]
    phone.push(events[0], events[2])
    assert "1 still on the phone, or lost with it" in client.get("/people").text
    phone.push(events[1])
    assert "still on the phone" not in client.get("/people").text


def test_what_is_not_there_is_404(desk: Desk, people: dict[str, Person]) -> None:
    desk.sign_in("owner")
    assert desk.post(f"/people/{new_id()}/enrol-code", "/people").status_code == 404
    assert desk.post(f"/people/phones/{new_id()}/close", "/people").status_code == 404
