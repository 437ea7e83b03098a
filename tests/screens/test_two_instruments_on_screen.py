"""Two instruments of one kind are carried: which one a reading was taken with is one tap, and is remembered."""

import pytest

from tests.screens.conftest import OpenStage
from tests.screens.hand import JOB, Hand
from tests.screens.test_a_small_phone import SMALL, is_in_sight
from tests.screens.test_every_state_looks_right import faults

LONG = "Unterdruckmessgerätekalibrierungsnummer 2000-0815"
GAUGE = "check/suction_at_switch"


def carry(hand: Hand, *serials: str, kind: str = "manometer") -> None:
    for n, serial in enumerate(serials):
        body = {"instrument_id": f"00000000-0000-7000-8000-00000000040{n}", "instrument_kind": kind}
        draft = {"kind": "instrument_carried", "body": {**body, "serial_words": serial}}
        hand.page.evaluate("([job, draft]) => fake.act(job, [draft])", [JOB, draft])
    hand.settle()


def open_pad(hand: Hand) -> None:
    hand.go("record")
    hand.page.evaluate(
        "() => { const { view } = fake; view.value = {...view.value, advice: {...view.value.advice, blocked: []}}; }"
    )
    hand.go(GAUGE)
    hand.tap("[data-wanted]")


def read(hand: Hand, digits: str) -> object:
    while hand.page.locator("[data-pad-done]").count():
        hand.type_number(digits)
        hand.tap("[data-pad-done]")
    hand.tap("[data-answer]:not([data-barred])")
    hand.until(
        "() => fake.written().some((one) => one.kind === 'reading_taken' && one.body.check === 'suction_at_switch')"
    )
    return hand.last_body("reading_taken").get("instrument_words")


@pytest.fixture
def two(hand: Hand) -> Hand:
    hand.begin()
    hand.pass_gate()
    carry(hand, "M-22", "M-31")
    return hand


def test_the_one_that_was_tapped_is_named_and_remembered(two: Hand) -> None:
    open_pad(two)
    assert two.page.locator("[data-which-instrument][aria-pressed=true]").count() == 0
    two.tap("[data-which-instrument] >> nth=1")
    assert read(two, "1") == "Manometer, M-31"
    open_pad(two)
    assert two.page.locator("[data-which-instrument][aria-pressed=true]").inner_text() == "M-31"
    two.tap("[data-which-instrument] >> nth=0")
    assert read(two, "1") == "Manometer, M-22"


def test_nobody_said_which_and_none_is_named(two: Hand) -> None:
    open_pad(two)
    assert read(two, "1") is None


def test_one_of_a_kind_is_not_asked(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    carry(hand, "M-22")
    open_pad(hand)
    assert hand.page.locator("[data-which-instrument]").count() == 0
    assert "With: Manometer, M-22" in hand.words()


@pytest.mark.parametrize("look", ["dark", "light"])
def test_done_stays_in_sight_on_the_smallest_phone(look: str, open_stage: OpenStage) -> None:
    hand = open_stage(size=SMALL, look=look)
    hand.begin()
    hand.pass_gate()
    carry(hand, LONG, "M-31")
    open_pad(hand)
    assert is_in_sight(hand, "[data-pad-done], [data-which-instrument], .pad-key")
    keys, done = (hand.page.locator(one).last.bounding_box() for one in (".pad-keys", "[data-pad-done]"))
    assert keys is not None
    assert done is not None
    assert keys["y"] + keys["height"] <= done["y"]
    assert faults(hand) == []
