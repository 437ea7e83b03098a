"""The phone finds a check by the words of a need or by the title in a finding: neither may mean two checks."""

import pytest

from webapp.procedures.loader import list_procedures, source


@pytest.mark.parametrize("name", list_procedures())
def test_the_same_words_never_need_two_different_checks(name: str) -> None:
    written = source(name)
    needs = [*written["may_fire"], *(need for check in written["checks"] for need in check.get("needs", []))]
    meant: dict[str, set[str]] = {}
    for need in needs:
        meant.setdefault(need["words"], set()).add(need["check"])
    assert {words: checks for words, checks in meant.items() if len(checks) > 1} == {}
    assert [words for words in meant if "; " in words] == []


@pytest.mark.parametrize("name", list_procedures())
def test_a_finding_says_by_its_title_which_check_it_is(name: str) -> None:
    titles = [check["title"] for check in source(name)["checks"]]
    assert len(set(titles)) == len(titles)
    assert [title for title in titles if ":" in title or ";" in title] == []
