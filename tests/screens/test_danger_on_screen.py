"""What stops a visit or was found unsafe there: on the list, the job's page and the strip, offline."""

import pytest

from tests.screens.conftest import OpenStage
from tests.screens.hand import JOB, Hand
from tests.screens.test_a_small_phone import SMALL, is_in_sight
from tests.screens.test_every_state_looks_right import faults

CARD = f'[data-job="{JOB}"]'
# Came here long ago, or on another day.
LONG_AWAY = """() => {
  const { view } = fake;
  view.value = { ...view.value, record: { ...view.value.record, arrivals: [] } };
}"""
BELOW = """(job) => {
  const due_out_wall = new Date(Date.now() + 36e5).toISOString();
  return fake.act(job, [{ kind: 'due_out', body: { due_out_wall } }]);
}"""


def find(hand: Hand, check: str, outcome: str | None, ppm: int | None = None) -> None:
    """Note a figure and an answer, as the question's screen does."""
    drafts: list[dict[str, object]] = []
    if ppm is not None:
        body = {"check": check, "quantity": "co_room_ppm", "value": ppm, "place": "room"}
        drafts.append({"kind": "reading_taken", "body": body})
    if outcome is not None:
        drafts.append({"kind": "check_answered", "body": {"check": check, "outcome": outcome, "could_not": None}})
    hand.page.evaluate("([job, drafts]) => fake.act(job, drafts)", [JOB, drafts])
    hand.settle()


def card_words(hand: Hand) -> str:
    hand.go("/jobs")
    return hand.page.locator(CARD).inner_text()


def test_the_card_says_the_stop_before_anything_else_and_does_not_invite_on(hand: Hand) -> None:
    hand.begin()
    find(hand, "smell_of_gas", "smell")
    words = card_words(hand)
    assert words.startswith("Stop. Smell of gas")
    assert "go on" not in words
    hand.tap(CARD)
    assert hand.page.locator(".stop-card").count() == 1


@pytest.mark.parametrize(
    ("outcome", "ppm", "said"),
    [
        ("raised", 24, "Unsafe. CO in the room: Raised, 24 ppm"),
        ("leave", 90, "Stop. CO in the room: Leave now, 90 ppm"),
        (None, 24, "Unsafe. CO in the room: Raised, 24 ppm"),
    ],
)
def test_the_card_and_the_strip_give_the_figure(outcome: str | None, ppm: int, said: str, hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    find(hand, "co_room", outcome, ppm)
    hand.go("record")
    assert hand.page.locator("[data-unsafe]").inner_text().startswith(said)
    assert card_words(hand).startswith(said)


def test_the_figure_is_the_one_that_goes_with_the_answer(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    find(hand, "co_room", "raised", 24)
    hand.page.evaluate("(job) => fake.act(job, [{ kind: 'arrived', body: {} }])", JOB)
    find(hand, "co_room", None, 3)
    hand.go("record")
    assert "CO in the room: Raised, 24 ppm" in hand.page.locator("[data-unsafe]").inner_text()


def test_the_list_goes_by_what_the_phone_has_stored_though_the_rules_are_away(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    find(hand, "joints", "parted")
    hand.page.evaluate("() => { fake.engineAway = true; return fake.openJob(fake.view.value.card.job_id); }")
    hand.go("walk")
    assert hand.view("advice") is None
    assert "Unsafe. Joints and pipe: Parted" in hand.page.locator("[data-unsafe]").inner_text()


def test_of_several_the_stop_comes_first_and_the_rest_is_counted(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    find(hand, "joints", "parted")
    find(hand, "co_room", "leave", 90)
    assert card_words(hand).startswith("Stop. CO in the room: Leave now, 90 ppm, and 1 more")


def test_a_stop_that_is_marked_unsafe_nowhere_is_said_too(hand: Hand) -> None:
    hand.begin()
    find(hand, "scene", "cannot_reach")
    for check in ("smell_of_gas", "symptoms", "co_meter"):
        find(hand, check, hand.first_outcome(check))
    assert hand.view("advice.gate.state") == "stopped"
    assert card_words(hand).startswith("Stop. Safe to work: Cannot be reached safely")


def test_once_left_off_only_a_stop_stays_on_the_card(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    find(hand, "joints", "parted")
    off = {"what_words": "The heater", "why_words": "Vent parted", "told_words": "The customer"}
    hand.page.evaluate("([job, body]) => fake.act(job, [{ kind: 'left_off', body }])", [JOB, off])
    assert hand.page.locator("[data-danger]").count() == 0
    find(hand, "smell_of_gas", "smell")
    assert card_words(hand).startswith("Stop. Smell of gas")


def test_the_jobs_page_leads_to_what_the_stop_asks_and_not_on(hand: Hand) -> None:
    hand.begin()
    find(hand, "smell_of_gas", "smell")
    hand.go("home")
    assert "Go on with the walk" not in hand.words()
    hand.tap("[data-stop]")
    assert hand.page.locator(".stop-card").count() == 1


def test_the_stop_leads_on_to_left_off_then_the_office_then_the_close(hand: Hand) -> None:
    hand.begin()
    hand.answer("smell")
    steps = [hand.page.locator("[data-after-stop]").get_attribute("href")]
    off = {"what_words": "The heater", "why_words": "Smell of gas", "told_words": "The customer"}
    told = {"told_wall": "2026-11-25T09:00:00Z", "who_words": "Ida"}
    for kind, body in (("left_off", off), ("office_told", told)):
        hand.page.evaluate("([job, kind, body]) => fake.act(job, [{ kind, body }])", [JOB, kind, body])
        hand.settle()
        steps.append(hand.page.locator("[data-after-stop]").get_attribute("href"))
    assert [str(step).split("/", 3)[3] for step in steps] == ["left-off", "office-told", "close/left_off"]


def test_whoever_comes_back_to_a_stop_reads_it_before_the_first_question(hand: Hand) -> None:
    hand.begin()
    find(hand, "smell_of_gas", "smell")
    hand.page.evaluate(LONG_AWAY)
    hand.go("walk")
    assert hand.page.locator("[data-arrive]").count() == 1
    assert hand.page.locator("[data-unsafe]").inner_text().startswith("Stop. Smell of gas")


def test_a_stop_that_is_not_sent_says_so_and_gives_the_number(hand: Hand) -> None:
    hand.begin()
    hand.answer("smell")
    told = hand.page.locator("[data-stop-tell]")
    assert told.inner_text().startswith("Not sent: the office does not know yet. Ring it from outside")
    assert told.locator("a").get_attribute("href") == "tel:5555550100"
    hand.page.evaluate("fake.syncNow()")
    hand.settle()
    assert told.locator("[data-unsent]").count() == 0
    assert told.locator("a").count() == 1


def test_without_a_number_the_words_are_still_said(hand: Hand) -> None:
    hand.page.evaluate(
        "fake.company.value = { ...fake.company.value, settings: { co_ladder: null, office_phone: null } }"
    )
    hand.begin()
    hand.answer("smell")
    assert "Ring it from outside, with the number that you know." in hand.page.locator("[data-stop-tell]").inner_text()


def test_what_the_server_refused_is_not_known_to_the_office_either(hand: Hand) -> None:
    hand.begin()
    hand.answer("smell")
    hand.page.evaluate("""() => {
        const refused = [fake.view.value.danger[0].by.event_id];
        fake.queue.value = { ...fake.queue.value, waiting: 0, waiting_since: null, parked: 1, refused };
    }""")
    hand.settle()
    assert hand.page.locator("[data-stop-tell] [data-unsent]").count() == 1


@pytest.mark.parametrize("look", ["dark", "light"])
def test_it_all_fits_the_smallest_phone(look: str, open_stage: OpenStage) -> None:
    hand = open_stage(size=SMALL, look=look)
    hand.begin()
    hand.answer("smell")
    assert is_in_sight(hand, ".stop-card, [data-stop-tell], .dock .button")
    wrong = {}
    for screen in ("walk", "home", "record", "/jobs"):
        hand.go(screen)
        if found := faults(hand):
            wrong[screen] = found
    assert wrong == {}


@pytest.mark.parametrize("look", ["dark", "light"])
def test_with_large_text_the_strips_take_one_line_that_says_what_is_unsafe(look: str, open_stage: OpenStage) -> None:
    hand = open_stage(size=SMALL, look=look, text_percent=200)
    hand.begin()
    hand.pass_gate()
    find(hand, "joints", "parted")
    hand.page.evaluate(
        BELOW,
        JOB,
    )
    hand.go("walk")
    strips = hand.page.locator(".visit-strips")
    folded = strips.bounding_box()
    assert folded is not None
    assert folded["height"] < 640 / 6
    assert is_in_sight(hand, "[data-unsafe] strong")
    assert hand.page.locator("[data-due-out]").is_hidden()
    hand.tap(".strips-fold")
    assert hand.page.locator("[data-due-out]").is_visible()
    assert hand.page.locator("[data-unsafe] a").is_visible()
    assert faults(hand) == []


THEIR_STOP = """() => {
  const { view } = fake;
  const of = { event_id: 'e', job_id: 'j', check: 'co_room', look: 'co_room', person_id: 'p', at_ms: 1 };
  const said = { words: 'CO in the room: Leave now, 90 ppm', stop_words: 'Everybody out now.', repaired: false };
  const elsewhere = [{ ...of, ...said, wall: '2026-11-25T08:00:00Z', appliance_ids: [], other_heater: false }];
  view.value = { ...view.value, elsewhere };
}"""


def test_another_visit_s_stop_comes_before_what_is_unsafe_here_and_after_a_stop_here(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    first = hand.page.locator(".visit-strip").first
    for check, outcome, said in (
        ("joints", "parted", "Another visit: stop."),
        ("smell_of_gas", "smell", "Stop. Smell of gas"),
    ):
        find(hand, check, outcome)
        hand.go("record")
        hand.page.evaluate(THEIR_STOP)
        hand.settle()
        assert first.inner_text().startswith(said)
