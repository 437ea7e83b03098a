"""What is missing is one tap away from where it is missed."""

import pytest

from tests.screens.hand import JOB, Hand
from tests.screens.test_every_state_looks_right import faults
from webapp.procedures.loader import list_procedures


@pytest.fixture
def begun(hand: Hand) -> Hand:
    hand.begin()
    hand.pass_gate()
    return hand


def links_of(hand: Hand, inside: str) -> dict[str, str]:
    """The words of each link, and the screen that it leads to."""
    return {
        (link.text_content() or ""): (link.get_attribute("href") or "").removeprefix(f"#/job/{JOB}/")
        for link in hand.page.locator(f"{inside} a").all()
    }


@pytest.mark.parametrize("stage_procedure", list_procedures())
def test_every_line_under_not_yet_leads_to_its_check(begun: Hand) -> None:
    lines = 0
    for blocked in begun.view("advice.blocked"):
        begun.go(f"check/{blocked['check']}")
        links = links_of(begun, "[data-blocked] li")
        assert list(links) == blocked["missing_words"], blocked["check"]
        lines += len(links)
        assert all(
            screen.startswith("check/") and screen.endswith(f"/check/{blocked['check']}") for screen in links.values()
        )
    assert lines > 20


def test_a_tap_on_what_is_missing_asks_it(begun: Hand) -> None:
    begun.go("check/limit_continuity")
    begun.page.get_by_role("link", name="Plug out and proved dead").click()
    begun.settle()
    assert begun.asked() == "plug_out"
    begun.answer(begun.first_outcome("plug_out"))
    assert begun.asked() == "limit_continuity"


def test_what_has_to_stand_before_the_hot_run_leads_to_its_checks(begun: Hand) -> None:
    begun.go("proof")
    assert links_of(begun, ".strip[data-kind=caution] li")["Terminal seen and clear"] == "check/terminal/proof"


def test_what_is_unsafe_leads_from_the_close_to_the_check_that_found_it(begun: Hand) -> None:
    begun.answer_to("terminal", "burn_marks", terminal="nest_or_debris", burn_marks="soot_or_scorch")
    begun.go("close")
    begun.page.wait_for_selector('[data-refused~="proven"] a', state="attached")
    assert links_of(begun, '[data-refused~="proven"]') == {
        "Terminal and screen: Nest or debris": "check/terminal/close",
        "Soot and scorch: Soot or scorch": "check/burn_marks/close",
    }
    assert faults(begun) == []


def test_what_a_proof_still_wants_leads_to_where_it_is_noted(begun: Hand) -> None:
    begun.go("close")
    begun.page.wait_for_selector('[data-refused~="proven"] a', state="attached")
    assert links_of(begun, '[data-refused~="proven"]') == {"No hot run yet.": "proof"}
    assert links_of(begun, '[data-refused~="not_proven"]') == {
        "Nothing was repaired, so there is nothing to prove.": "repair"
    }


def test_a_joint_that_was_opened_leads_from_the_close_to_the_look_at_it(begun: Hand) -> None:
    begun.answer_to("gas_off", "plug_out", "restrictor", "joints", "gas_off", "plug_out", "restrictor")
    begun.go("close")
    begun.page.wait_for_selector('[data-refused~="not_proven"] a', state="attached")
    again = "Not seen again since the vent was parted: Every joint of the run seen and sound"
    assert links_of(begun, '[data-refused~="not_proven"]')[again] == "check/joints/close"


def test_what_was_typed_of_a_hot_run_is_still_there_after_a_look_elsewhere(begun: Hand) -> None:
    begun.go("proof")
    begun.tap('[data-figure="minutes"]')
    begun.type_number("12")
    begun.tap("[data-pad-done]")
    begun.page.locator("#proof-words").fill("ran quietly")
    begun.page.get_by_role("link", name="Terminal seen and clear").click()
    begun.tap('[data-answer="clear"]')
    begun.until("() => location.hash.endsWith('/proof')")
    begun.page.wait_for_selector('[data-figure="minutes"]')
    assert "12" in begun.page.locator('[data-figure="minutes"]').inner_text().split()
    assert begun.page.locator("#proof-words").input_value() == "ran quietly"
    begun.tap('[data-figure="restarts"]')
    begun.type_number("2")
    begun.tap("[data-pad-done]")
    begun.tap('[data-answer="failed"]')
    begun.until("() => fake.view.value.record.proofs.length === 1")
    begun.go("proof")
    assert begun.page.locator("#proof-words").input_value() == ""
