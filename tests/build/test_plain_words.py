"""What a customer is told on the phone is said as on their sheet."""

import json
import re

import pytest

from service_worker.build.places import HERE
from service_worker.build.plain_words import literal, plain_words_module
from webapp.jobsheet.plain_checks import ANSWERS, TITLES
from webapp.jobsheet.plain_words import FIRST_LOOKS


def told(name: str) -> dict[str, str]:
    found = re.search(rf"export const {name}: Words = (.*);", plain_words_module(HERE))
    assert found
    words: dict[str, str] = json.loads(found[1])
    return words


def test_the_phone_has_every_word_of_the_sheet() -> None:
    assert told("TITLES") == TITLES
    assert told("ANSWERS") == {" ".join(key): words for key, words in ANSWERS.items()}
    assert told("SENTENCES") == {" ".join(key): words for key, words in FIRST_LOOKS.items()}


def test_a_name_that_is_gone_stops_the_build() -> None:
    with pytest.raises(LookupError):
        literal(HERE.webapp / "jobsheet" / "plain_checks.py", "GONE")
