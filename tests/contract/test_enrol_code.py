"""A code and the phone that it let in, on both databases."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest

from tests.contract.conftest import Hand
from webapp.errors import CodeUnknown, TokenUnknown
from webapp.extensions import Database
from webapp.models.ids import new_id
from webapp.people.service import change_password, deactivate_person, enrol_phone, make_enrol_code, phone_of_token


def enrol(database: Database, code: str, device_id: str) -> str:
    with database.session() as session:
        token, _ = enrol_phone(
            session, code=code, device_id=device_id, device_words="a phone", address="here", token_days=1
        )
    return token


def make_code(database: Database, person_id: str) -> str:
    with database.session() as session:
        return make_enrol_code(session, person_id, minutes=10)


def test_the_same_phone_may_ask_again_and_another_may_not(ada: Hand, database: Database) -> None:
    code, device_id = make_code(database, ada.person.id), new_id()
    assert enrol(database, code, device_id) != enrol(database, code, device_id)
    with pytest.raises(CodeUnknown):
        enrol(database, code, new_id())


def works(database: Database, token: str) -> bool:
    with database.reading_session() as session:
        try:
            return phone_of_token(session, token)[0].revoked_at is None
        except TokenUnknown:
            return False


def test_a_phone_that_asks_several_times_at_once_gets_in_each_time_and_the_last_token_counts(
    ada: Hand, database: Database
) -> None:
    code, device_id = make_code(database, ada.person.id), new_id()
    with ThreadPoolExecutor(4) as pool:
        tokens = list(pool.map(lambda _: enrol(database, code, device_id), range(4)))
    assert sorted(works(database, token) for token in tokens) == [False, False, False, True]


def test_a_new_password_leaves_phones_open_and_leaving_closes_them(ada: Hand, database: Database) -> None:
    token = enrol(database, make_code(database, ada.person.id), new_id())
    with database.session() as session:
        change_password(session, ada.person.login, "long enough to be one")
    assert works(database, token)
    with database.session() as session:
        deactivate_person(session, ada.person.login)
    assert not works(database, token)
