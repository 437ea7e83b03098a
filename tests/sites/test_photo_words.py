"""Own words about a photo, and those that a button wrote."""

import pytest

from webapp.procedures.loader import compiled, list_procedures
from webapp.sites.photo_words import own_words
from webapp.sites.procedure_words import ProcedureWords


@pytest.mark.parametrize("name", list_procedures())
def test_what_a_check_calls_its_photo_is_nobody_s_own_word(name: str) -> None:
    words = ProcedureWords(dict(compiled(name)))
    asked = [check for check in words.checks.values() if check["photo_words"]]
    assert asked
    assert [own_words(check["photo_words"], check["id"], words) for check in asked] == [""] * len(asked)
    assert own_words(asked[0]["photo_words"], None, words) == asked[0]["photo_words"]


def test_words_that_somebody_typed_stand_with_or_without_the_procedure() -> None:
    assert own_words("split at the elbow", "joints", ProcedureWords(None)) == "split at the elbow"
    assert own_words(None, "joints", ProcedureWords(None)) == ""
