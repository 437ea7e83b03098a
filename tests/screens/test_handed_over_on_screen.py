"""A job that went to somebody else is theirs to do; who had it before sees who has it now."""

from tests.screens.conftest import OpenStage
from tests.screens.hand import JOB, Hand
from tests.screens.test_a_small_phone import SMALL
from tests.screens.test_every_state_looks_right import faults

CARD = f'[data-job="{JOB}"]'
HAND_OVER = """([job, more]) => {
  const { jobs, view } = fake;
  jobs.value = jobs.value.map((card) => (card.job_id === job ? { ...card, ...more } : card));
  view.value = { ...view.value, card: { ...view.value.card, ...more } };
}"""
LONG = "Wilhelmine Oberwasserbaudirektorin-Hinterhaus"


def hand_over(hand: Hand, **more: str) -> None:
    hand.begin()
    hand.pass_gate()
    hand.page.evaluate(HAND_OVER, [JOB, more])
    hand.go("/jobs")


def test_it_stands_apart_with_the_name_and_does_not_invite_on(hand: Hand) -> None:
    hand_over(hand, handed_to="Teodor Amsel")
    words = hand.words()
    assert words.index("3 Lime Kiln Lane") < words.index("Handed over") < words.index("14 Tannery Row")
    card = hand.page.locator(CARD).inner_text()
    assert "handed over to Teodor Amsel" in card
    assert "begun" not in card
    hand.tap(CARD)
    assert "This job is handed over to Teodor Amsel." in hand.words()
    assert hand.page.get_by_role("link", name="Go on with the walk").count() == 0
    assert hand.page.locator(".dock .button").get_attribute("href") == f"#/job/{JOB}/record"


def test_what_was_closed_as_handed_over_says_to_whom(hand: Hand) -> None:
    hand_over(hand, state="closed", handed_words="to Teodor Amsel, who has the licence")
    assert "handed over: to Teodor Amsel, who has the licence" in hand.page.locator(CARD).inner_text()


def test_it_fits_the_smallest_phone(open_stage: OpenStage) -> None:
    for look, percent in (("dark", 100), ("light", 200)):
        hand = open_stage(size=SMALL, look=look, text_percent=percent)
        hand_over(hand, handed_to=LONG)
        assert faults(hand) == []
        hand.go("home")
        assert faults(hand) == []
