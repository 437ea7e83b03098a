"""The heater: plate and sheet, the company's model sheets, the code by tapping along, the chain of safeties."""

from base64 import b64decode

from playwright.sync_api import FilePayload

from e2e.thumb import tap_along
from tests.screens.conftest import OpenStage
from tests.screens.hand import JOB, Hand
from tests.screens.test_every_state_looks_right import faults

MODEL = "00000000-0000-7000-8000-000000000301"
ONE_PIXEL = b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR4nGP4z8DwHwAFAAH/iZk9HQAAAABJRU5ErkJggg=="
)

PNG: FilePayload = {"name": "p.png", "mimeType": "image/png", "buffer": ONE_PIXEL}


def begun(hand: Hand) -> None:
    hand.begin()
    hand.go("heater")
    hand.page.wait_for_selector("[data-heater-type]")


def choose_model(hand: Hand) -> None:
    hand.tap(f'[data-answer="{MODEL}"]')
    hand.page.wait_for_selector("[data-sheet]")


def to_the_code(hand: Hand, *blinks: int) -> None:
    """Open the code's check and tap along, with a pause between groups."""
    hand.go("check/control_code")
    hand.tap('[data-answer="flashes"]')
    for number, flashes in enumerate(blinks):
        hand.page.wait_for_timeout(1500 if number else 0)
        for _ in range(flashes):
            hand.tap("[data-blink]")
            hand.page.wait_for_timeout(300)
    hand.tap("[data-blinks-done]")


def to_the_gauge(hand: Hand) -> None:
    hand.go("walk")
    hand.pass_gate()
    for check, outcome in (("tap_type", "suction"), ("gas_off", None), ("plug_out", None)):
        hand.go(f"check/{check}")
        hand.tap(f'[data-answer="{outcome or hand.first_outcome(check)}"]')
        hand.until("(check) => fake.view.value.record.checks.some((one) => one.check === check)", check)
    hand.go("check/suction_at_switch")


def test_a_photo_says_what_it_is_of(hand: Hand) -> None:
    begun(hand)
    for number, about in enumerate(("plate", "sheet", "part_label")):
        hand.page.locator(".photo input").nth(number).set_input_files(PNG)
        hand.until("(count) => fake.view.value.record.photos.length === count", number + 1)
        assert hand.last_body("photo_taken")["about"] == about
    assert hand.last_event("photo_taken")["schema"] == 2
    assert hand.page.locator(".thumbs li").count() == 3


def test_a_model_of_the_company_s_sheets_is_chosen_with_one_tap(hand: Hand) -> None:
    begun(hand)
    choose_model(hand)
    told = hand.last_event("appliance_described")
    assert (told["schema"], told["job_id"]) == (2, JOB)
    assert told["body"]["model_sheet_id"] == MODEL
    assert "Make point on its label: 0.36 in. w.c., the part's label" in hand.page.locator("[data-sheet]").inner_text()


def test_what_is_typed_is_added_to_what_is_known_and_the_heater_keeps_its_id(hand: Hand) -> None:
    begun(hand)
    choose_model(hand)
    first = hand.last_body("appliance_described")
    hand.tap("[data-heater-type]")
    hand.page.fill("#serial_words", "Q4711")
    hand.page.fill("#input_btu_h", "40,000")
    hand.tap("text=Natural gas")
    hand.tap("[data-heater-save]")
    hand.page.wait_for_selector("text=serial Q4711")
    more = {"serial_words": "Q4711", "input_btu_h": 40000, "fuel": "natural_gas"}
    assert hand.last_body("appliance_described") == {**first, **more}


def test_another_model_typed_by_hand_no_longer_has_the_old_sheet(hand: Hand) -> None:
    begun(hand)
    choose_model(hand)
    hand.tap("[data-heater-type]")
    hand.page.fill("#model_words", "Cellar 40")
    hand.tap("[data-heater-save]")
    hand.page.wait_for_selector("text=Cellar 40")
    assert "model_sheet_id" not in hand.last_body("appliance_described")
    assert hand.page.locator("[data-sheet]").count() == 0


def test_the_company_s_figure_stands_on_the_pad_in_place_of_typing(hand: Hand) -> None:
    begun(hand)
    choose_model(hand)
    to_the_gauge(hand)
    hand.tap("[data-wanted]")
    assert hand.page.locator("[data-offer]").count() == 0  # what is measured is never offered
    hand.type_number("0.30")
    hand.tap("[data-pad-done]")
    assert "0.36 in. w.c. from the company's sheet, the part's label" in hand.page.locator("[data-offer]").inner_text()
    hand.tap("[data-offer]")
    hand.page.wait_for_selector(".said")
    hand.tap('[data-answer="short"]')
    hand.until("() => fake.view.value.record.sheet.length === 1")
    hand.go("record")
    assert "0.36 in. w.c., from the company's sheet, not read on the heater" in hand.words()
    assert hand.last_event("sheet_number")["schema"] == 2
    assert hand.last_body("sheet_number") == {
        "quantity": "make_point_in_wc", "value": 0.36, "where": "part_label", "model_sheet_id": MODEL,
    }  # fmt: skip


def test_what_is_typed_over_an_offered_figure_is_typed_on_site(hand: Hand) -> None:
    begun(hand)
    choose_model(hand)
    to_the_gauge(hand)
    hand.tap("[data-wanted]")
    hand.type_number("0.30")
    hand.tap("[data-pad-done]")
    hand.tap("[data-offer]")
    hand.page.wait_for_selector(".said")
    assert hand.page.locator(".chips").count() == 0  # nobody asks where the company's figure stands
    hand.tap('[data-figure="make_point_in_wc"]')
    hand.type_number("0.38")
    hand.tap("[data-pad-done]")
    assert hand.page.locator(".chips").count() == 1
    hand.tap('[data-answer="short"]')
    hand.until("() => fake.view.value.record.sheet.length === 1")
    assert hand.last_body("sheet_number") == {"quantity": "make_point_in_wc", "value": 0.38, "where": "part_label"}
    hand.go("record")
    assert "0.38 in. w.c., typed on site, not confirmed yet" in hand.words()
    confirm = {
        "sheet_event_id": hand.last_event("sheet_number")["id"],
        "quantity": "make_point_in_wc",
        "agrees": False,
        "read_value": 0.39,
    }
    hand.page.evaluate("([job, body]) => fake.act(job, [{kind: 'sheet_confirmed', body}])", [JOB, confirm])
    hand.until("() => fake.view.value.record.sheet_confirmed.length === 1")
    assert "the office reads 0.39 in. w.c." in hand.words()


MORE_MODELS = """() => {
  const [first] = fake.company.value.model_sheets;
  const names = [['Aldous', 'Attic 30'], ['Halvorsen & Pike', 'Attic 40'], null, ['Zeller', 'Zenith 50']];
  const model_sheets = names.map((name, n) => name === null ? first : {
    ...first, model_sheet_id: `00000000-0000-7000-8000-00000000040${n}`, maker_words: name[0], model_words: name[1],
  });
  fake.company.value = {...fake.company.value, model_sheets};
}"""
AT_THE_ADDRESS = "([job, body]) => fake.act(job, [{kind: 'appliance_described', schema: 2, job: null, body}])"


def described(hand: Hand, **more: str) -> None:
    """The office wrote down what the caller read off the plate; nobody chose a sheet."""
    body = {"appliance_id": "00000000-0000-7000-8000-000000000901", "kind": "power_vent", **more}
    hand.page.evaluate(AT_THE_ADDRESS, [JOB, body])
    hand.settle()


def models(hand: Hand) -> list[str]:
    return hand.page.locator("[data-models] .answer-words, [aria-label=Models] .answer-words").all_text_contents()


def test_a_heater_that_was_described_by_name_has_the_sheet_of_that_name(hand: Hand) -> None:
    hand.page.evaluate(MORE_MODELS)
    hand.begin()
    described(hand, maker_words="halvorsen & pike", model_words="Cellar 50-PV", location_words="in the garage")
    hand.go("heater")
    assert "Make point on its label: 0.36 in. w.c." in hand.page.locator("[data-sheet]").inner_text()
    assert not hand.page.locator("[data-models]").evaluate("(one) => one.open")
    assert models(hand) == ["Halvorsen & Pike Attic 40", "Aldous Attic 30", "Zeller Zenith 50"]


def test_the_code_of_a_known_model_asks_for_no_model(hand: Hand) -> None:
    hand.page.evaluate(MORE_MODELS)
    hand.begin()
    described(hand, maker_words="Halvorsen & Pike", model_words="Cellar 50 PV")
    to_the_code(hand, 3)
    assert hand.heading() == "3 flashes: Draft not proved"
    hand.tap("[data-other-model]")
    assert hand.heading() == "3 flashes. Which model is it?"
    assert len(models(hand)) == 3


def test_of_many_models_those_that_stand_here_come_first_and_say_so(hand: Hand) -> None:
    hand.page.evaluate(MORE_MODELS)
    hand.begin()
    described(hand, maker_words="Zeller", model_words="Zenith 50", location_words="under the stairs")
    described(
        hand,
        appliance_id="00000000-0000-7000-8000-000000000902",
        maker_words="Halvorsen & Pike",
        model_words="Attic 40",
    )
    to_the_code(hand, 3)
    first, second, *rest = hand.page.locator("[aria-label=Models] .answer").all_inner_texts()
    assert "Attic 40" in first
    assert "Stands here, as it was described" in first
    assert "Zenith 50" in second
    assert "under the stairs" in second
    assert not any("Stands here" in words for words in rest)
    hand.tap("[aria-label=Models] .answer >> nth=1")
    assert hand.last_body("appliance_described")["appliance_id"] == "00000000-0000-7000-8000-000000000901"


def test_of_two_heaters_of_one_kind_nobody_guesses_which_it_is(hand: Hand) -> None:
    hand.begin()
    for name, sheet in (("Left one", {"model_sheet_id": MODEL}), ("Right one", {})):
        body = {"appliance_id": f"00000000-0000-7000-8000-0000000009{len(name):02}", "kind": "power_vent", **sheet}
        hand.page.evaluate(
            "([job, body]) => fake.act(job, [{kind: 'appliance_described', schema: 2, job: null, body}])",
            [JOB, body | {"maker_words": name}],
        )
    hand.until("() => fake.view.value.facts.heaters.length === 2")
    assert hand.view("record.appliances") == []
    to_the_gauge(hand)
    hand.tap("[data-wanted]")
    hand.type_number("0.30")
    hand.tap("[data-pad-done]")
    assert hand.page.locator("[data-offer]").count() == 0
    assert "Several heaters here; none is named." in hand.words()
    hand.go("heater")
    hand.page.wait_for_selector("[data-which]")
    assert hand.page.locator("[data-sheet]").count() == 0
    hand.tap('[data-which] button:has-text("Left one")')
    hand.page.wait_for_selector("[data-sheet]")
    assert hand.last_event("appliance_described")["job_id"] == JOB
    assert hand.last_body("appliance_described")["maker_words"] == "Left one"


def test_the_meaning_comes_from_that_model_s_table_with_the_model_named(hand: Hand) -> None:
    begun(hand)
    choose_model(hand)
    to_the_code(hand, 2, 4)
    assert hand.heading() == "Flashes 2 – 4: Limit open"
    assert "Halvorsen & Pike Cellar 50 PV" in hand.words()
    hand.tap("[data-code-save]")
    hand.until("() => fake.view.value.record.codes.length === 1")
    code = {"shown": "flashes", "flash_groups": "2-4", "meaning_words": "Limit open", "model_sheet_id": MODEL}
    assert hand.last_body("code_read") == code


def test_a_model_that_is_not_known_yet_can_be_chosen_at_the_code(hand: Hand) -> None:
    hand.begin()
    to_the_code(hand, 3)
    hand.tap(f'[data-answer="{MODEL}"]')
    hand.page.wait_for_selector("text=3 flashes: Draft not proved")
    hand.tap("[data-code-save]")
    hand.until("() => fake.view.value.record.codes.length === 1")
    assert hand.last_body("code_read")["flashes"] == 3


def test_a_code_that_is_in_no_table_takes_the_label_s_own_words(hand: Hand) -> None:
    begun(hand)
    choose_model(hand)
    to_the_code(hand, 7)
    hand.page.fill("#meaning", "fan slow")
    hand.tap("[data-code-save]")
    hand.until("() => fake.view.value.record.codes.length === 1")
    assert hand.last_body("code_read") == {"shown": "flashes", "flashes": 7, "meaning_words": "fan slow"}


def test_a_miscount_is_put_right_by_hand(hand: Hand) -> None:
    hand.page.evaluate("fake.company.value = {...fake.company.value, model_sheets: []}")
    hand.begin()
    hand.go("check/control_code")
    hand.tap('[data-answer="flashes"]')
    hand.tap("[data-blink]")
    hand.tap('[aria-label="+ one flash in group 1"]')
    hand.tap("[data-add-group]")
    assert hand.page.locator("[data-groups]").get_attribute("data-groups") == "2-1"
    assert hand.page.locator("[data-blink]").is_disabled()
    hand.tap("text=Count again")
    tap_along(hand.page, 4)
    hand.tap("[data-code-save]")
    hand.until("() => fake.view.value.record.codes.length === 1")
    assert hand.last_body("code_read") == {"shown": "flashes", "flashes": 4}


def test_the_chain_shows_what_was_found_and_what_the_code_says_could_be_open(hand: Hand) -> None:
    begun(hand)
    choose_model(hand)
    to_the_code(hand, 2, 4)
    hand.tap("[data-code-save]")
    hand.until("() => fake.view.value.record.codes.length === 1")
    hand.go("chain")
    hand.page.wait_for_selector("[data-contact]")
    contacts = hand.page.locator("[data-contact]")
    parts = [contact.get_attribute("data-contact") for contact in contacts.all()]
    assert parts == [part["id"] for part in hand.view("procedure.chain")]
    assert hand.page.locator("[data-state=could_be_open]").get_attribute("data-contact") == "vent_limit"
    assert "no two terminals are ever joined" in hand.words()
    assert "Vent limit: could be open" in (hand.page.locator("svg.chain").get_attribute("aria-label") or "")


def test_the_maker_s_figures_of_the_vent_go_by_the_size_of_the_pipe(hand: Hand) -> None:
    begun(hand)
    choose_model(hand)
    hand.go("walk")
    hand.pass_gate()
    hand.go("check/run_length")
    hand.tap("[data-wanted]")
    offered = []
    for digits in ("3", "20", "2", "1"):
        offered.append(hand.page.locator("[data-offer]").count())
        hand.type_number(digits)
        hand.tap("[data-pad-done]")
        hand.settle()
    assert offered == [0, 0, 0, 0]
    assert "60 ft from the company's sheet" in hand.page.locator("[data-offer]").inner_text()
    hand.tap("[data-offer]")
    hand.page.wait_for_selector("[data-answer]")
    assert "60 ft" in hand.words()


def test_every_screen_of_it(open_stage: OpenStage) -> None:
    for look in ({"look": "dark"}, {"look": "light", "size": {"width": 320, "height": 640}}):
        hand = open_stage(**look)
        begun(hand)
        wrong = {"heater": faults(hand)}
        choose_model(hand)
        wrong["chosen"] = faults(hand)
        hand.tap("[data-heater-type]")
        wrong["typed"] = faults(hand)
        hand.go("check/control_code")
        hand.tap('[data-answer="flashes"]')
        wrong["blinks"] = faults(hand)
        hand.tap("[data-blink]")
        hand.settle()
        wrong["groups"] = faults(hand)
        hand.tap('[aria-label="+ one flash in group 1"]')
        hand.tap('[aria-label="+ one flash in group 1"]')
        hand.tap("[data-blinks-done]")
        wrong["meaning"] = faults(hand)
        hand.tap("[data-code-save]")
        hand.until("() => fake.view.value.record.codes.length === 1")
        hand.settle()
        hand.go("chain")
        hand.page.wait_for_selector("[data-contact]")
        wrong["chain"] = faults(hand)
        assert {screen: found for screen, found in wrong.items() if found} == {}, look


def test_a_job_of_another_phone_s_heater_is_known_by_its_last_description(hand: Hand) -> None:
    describe = (
        "([job, heater]) => { fake.write(job, [{kind: 'appliance_described', schema: 2, job: null, body: heater}],"
        " '00000000-0000-7000-8000-0000000000a2', '2026-10-01T08:00:00Z'); }"
    )
    heater = {"appliance_id": MODEL, "kind": "power_vent", "maker_words": "Olm", "model_words": "Tub 40"}
    hand.page.evaluate(describe, [JOB, heater])
    hand.tap(f'[data-job="{JOB}"]')
    hand.page.wait_for_selector("[data-way=heater]")
    assert "Olm Tub 40" in hand.page.locator("[data-way=heater]").inner_text()


def test_a_figure_typed_otherwise_than_the_company_s_sheet_is_remarked_and_kept(hand: Hand) -> None:
    begun(hand)
    choose_model(hand)
    hand.go("walk")
    hand.pass_gate()
    hand.go("check/run_length")
    hand.tap("[data-wanted]")
    for digits in ("3", "20", "2", "1", "2"):
        hand.type_number(digits)
        hand.tap("[data-pad-done]")
        hand.settle()
    remarks = hand.page.locator("[data-remark]")
    assert remarks.all_inner_texts() == ["The company's sheet of this model says 60 ft."]
    hand.tap('[data-answer="over"]')
    hand.until("() => fake.view.value.record.sheet.length === 1")
    assert hand.last_body("sheet_number") == {"quantity": "limit_ft", "value": 2, "where": "part_label"}
    hand.go("check/run_length")
    assert remarks.count() == 1  # it stands beside the figure for as long as they differ


def test_a_run_that_is_over_by_its_straight_pipe_alone_is_said_before_the_elbows_are_counted(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    limit = "{kind: 'sheet_number', body: {quantity: 'limit_ft', value: 2, where: 'sheet'}}"
    hand.page.evaluate(f"(job) => fake.act(job, [{limit}])", JOB)
    hand.go("check/run_length")
    hand.tap("[data-wanted]")
    for digits in ("3", "42"):
        hand.type_number(digits)
        hand.tap("[data-pad-done]")
        hand.settle()
    assert "Over the sheet's limit." in hand.page.locator(".pad").inner_text()
    hand.tap("[data-pad-cancel]")
    assert "Over the sheet's limit." in hand.page.locator(".said").inner_text()
    assert hand.page.locator('[data-answer="within"][data-barred]').count() == 1
    hand.tap('[data-answer="over"]')
    hand.until("() => fake.view.value.record.checks.some((one) => one.check === 'run_length')")
