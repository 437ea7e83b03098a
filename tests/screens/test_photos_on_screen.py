"""A photo: made small, bare of what the camera wrote into it, saved at once; in words by whoever took it."""

import base64
from io import BytesIO
from typing import Any

from PIL import Image
from playwright.sync_api import FilePayload

from tests.screens.conftest import OpenStage
from tests.screens.hand import JOB, Hand
from tests.screens.test_before_going_down_on_screen import WRITE
from tests.screens.test_every_state_looks_right import faults
from tests.screens.test_the_heater_on_screen import PNG

ORIENTATION, GPS, LATITUDE = 0x0112, 0x8825, {1: "N", 2: (38.0, 53.0, 23.0)}  # Exif 2.32, tables 4 and 15 (from memory)
TURNED_RIGHT = 6
BYTES = """async (sha) => {
  const bytes = new Uint8Array(await fake.photoBytes(sha));
  return btoa(Array.from(bytes, (one) => String.fromCharCode(one)).join(''));
}"""
SHOT = "() => fake.view.value.record.photos.length === 1"
NOT_A_PICTURE: FilePayload = {"name": "IMG_0001.HEIC", "mimeType": "image/heic", "buffer": b"\0\0\0\x18ftypheic" * 40}


def from_a_camera() -> FilePayload:
    """Held upright: the sensor's rows lie down, and the camera says where it stood."""
    picture = Image.effect_noise((1200, 900), 90).convert("RGB")
    exif = Image.Exif()
    exif[ORIENTATION] = TURNED_RIGHT
    exif.get_ifd(GPS).update(LATITUDE)
    file = BytesIO()
    picture.save(file, "JPEG", quality=95, exif=exif)
    assert b"Exif" in file.getvalue()
    return {"name": "c.jpg", "mimeType": "image/jpeg", "buffer": file.getvalue()}


def shoot(hand: Hand, file: FilePayload = PNG) -> None:
    hand.page.locator(".photo input").first.set_input_files(file)


def taken(hand: Hand, file: FilePayload = PNG, screen: str = "heater") -> None:
    hand.begin()
    hand.go(screen)
    shoot(hand, file)
    hand.until(SHOT)


def say(hand: Hand, words: str) -> None:
    hand.tap("[data-photo-words]")
    hand.page.fill("textarea", words)
    hand.tap("[data-photo-words-save]")
    hand.until("(words) => fake.view.value.record.photos.at(-1).words === words", words)


def test_a_photo_says_what_it_is_of_and_no_words_of_its_button(hand: Hand) -> None:
    taken(hand)
    body = hand.last_body("photo_taken")
    assert body["about"] == "plate"
    assert "words" not in body


def test_what_it_shows_is_said_beside_it_and_stands_in_the_record(hand: Hand) -> None:
    taken(hand)
    first = hand.last_event("photo_taken")
    say(hand, "rust at the bottom seam")
    said = hand.last_event("photo_taken")
    assert (said["schema"], said["replaces"]) == (2, [first["id"]])
    assert said["body"] == {**first["body"], "words": "rust at the bottom seam"}
    assert hand.view("record.photos.length") == 1
    assert "rust at the bottom seam" in hand.words()
    hand.go("record")
    line = hand.page.locator(".line", has_text="Photo: Rating plate")
    assert "rust at the bottom seam" in line.inner_text()
    line.locator("[data-photo-words]").click()
    assert hand.page.input_value("textarea") == "rust at the bottom seam"
    hand.page.fill("textarea", "")
    hand.tap("[data-photo-words-save]")
    hand.until("() => fake.view.value.record.photos[0].words === null")


def test_words_to_a_photo_leave_what_is_half_typed_beside_it(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("proof")
    hand.page.fill("#proof-words", "runs quietly")
    shoot(hand)
    hand.until(SHOT)
    hand.tap("[data-photo-words]")
    hand.page.fill("[id^=words-]", "flame steady")
    hand.tap("[data-photo-words-save]")
    hand.until("() => fake.view.value.record.photos[0].words === 'flame steady'")
    assert hand.page.input_value("#proof-words") == "runs quietly"


def test_an_older_version_s_button_words_are_nobody_s_own(hand: Hand) -> None:
    taken(hand)
    body = {**hand.last_body("photo_taken"), "words": "Photo of the rating plate"}
    draft = {"kind": "photo_taken", "schema": 2, "body": body}
    hand.page.evaluate("([job, draft]) => fake.act(job, [draft])", [JOB, draft])
    hand.go("record")
    assert "Photo of the rating plate" not in hand.page.locator(".timeline").inner_text()


def test_the_words_are_undone_before_the_photo_is(hand: Hand) -> None:
    taken(hand)
    say(hand, "dented")
    hand.tap("[data-undo]")
    hand.until("() => fake.view.value.record.photos[0].words === null")


def test_another_person_s_photo_is_theirs_to_put_in_words(hand: Hand) -> None:
    taken(hand)
    body = {**hand.last_body("photo_taken"), "sha256": "0" * 64}
    theirs = "00000000-0000-7000-8000-0000000000a2"
    hand.page.evaluate(WRITE, [JOB, "photo_taken", body, theirs])
    hand.page.evaluate("([job]) => fake.act(job, [{kind: 'note', body: {words: 'x'}}])", [JOB])
    hand.go("record")
    assert hand.page.locator(".line", has_text="Photo").count() == 2
    assert hand.page.locator("[data-photo-words]").count() == 1


def test_a_photo_stands_upright_and_says_nothing_of_where_it_was_taken(hand: Hand) -> None:
    taken(hand, from_a_camera())
    body: dict[str, Any] = hand.last_body("photo_taken")
    kept = base64.b64decode(hand.page.evaluate(BYTES, body["sha256"]))
    assert body["length_bytes"] == len(kept) <= 400_000
    with Image.open(BytesIO(kept)) as picture:
        assert picture.size == (body["width_px"], body["height_px"])
        assert picture.width * 4 == picture.height * 3
        assert dict(picture.getexif()) == {}
    assert b"Exif" not in kept


def test_a_picture_that_the_phone_cannot_read_is_said_and_nothing_is_saved(hand: Hand) -> None:
    hand.begin()
    hand.go("heater")
    shoot(hand, NOT_A_PICTURE)
    hand.until("() => document.querySelector('#fault') !== null")
    words = hand.page.locator("#fault").inner_text()
    assert words.index("All that says “saved” is safe") < words.index("cannot read that picture")
    assert hand.last_event("photo_taken") is None
    assert "Making the photo smaller" not in hand.words()
    shoot(hand)
    hand.until(SHOT)


def test_while_a_photo_is_made_smaller_the_button_says_so(hand: Hand) -> None:
    hand.begin()
    hand.go("heater")
    hand.page.evaluate("""() => {
      const make = createImageBitmap;
      window.createImageBitmap = (...args) => new Promise((done) => { window.goOn = () => done(make(...args)); });
    }""")
    shoot(hand)
    hand.until("() => document.querySelector('.photo').innerText.includes('Making the photo smaller')")
    hand.page.evaluate("goOn()")
    hand.until(SHOT)
    hand.until("() => document.querySelector('.photo').innerText.includes('Photo of the rating plate')")


def test_every_state_of_it(open_stage: OpenStage) -> None:
    for look in ({"look": "dark"}, {"look": "light", "size": {"width": 320, "height": 640}}):
        hand = open_stage(**look)
        taken(hand)
        wrong = {"taken": faults(hand)}
        hand.tap("[data-photo-words]")
        wrong["open"] = faults(hand)
        hand.page.fill("textarea", "Warmwasserbereitungsanlagenstörungsmeldung " * 3)
        hand.tap("[data-photo-words-save]")
        wrong["said"] = faults(hand)
        hand.go("record")
        wrong["record"] = faults(hand)
        assert {state: found for state, found in wrong.items() if found} == {}, look


def test_a_photo_taken_by_mistake_is_taken_back_later_with_its_words_and_stays_in_the_log(hand: Hand) -> None:
    taken(hand)
    say(hand, "dent on the left")
    hand.page.evaluate("(job) => fake.act(job, [{ kind: 'note', body: { words: 'later' } }])", JOB)
    hand.go("record")
    hand.tap('[data-take-back][aria-label^="Take back: Photo"]')
    assert "no page and no sheet shows it any more" in hand.words()
    assert faults(hand) == []
    hand.tap("[data-take-it-back]")
    hand.until("() => fake.view.value.record.photos.length === 0")
    shots = "fake.written().filter((one) => one.kind === 'photo_taken').map((one) => one.id)"
    assert sorted(hand.last_event("withdrawn")["replaces"]) == sorted(hand.page.evaluate(shots))


def test_another_person_s_photo_is_theirs_to_take_back(hand: Hand) -> None:
    taken(hand)
    theirs = "00000000-0000-7000-8000-0000000000a2"
    hand.page.evaluate(WRITE, [JOB, "photo_taken", {**hand.last_body("photo_taken"), "sha256": "0" * 64}, theirs])
    hand.go("record")
    assert hand.page.locator('[data-take-back][aria-label^="Take back: Photo"]').count() == 1
