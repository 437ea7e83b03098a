from __future__ import annotations

import hashlib
import io
import re
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from pypdf import PdfReader
from sqlalchemy.orm import Session

from tests.jobsheet.test_sheet import letters_of, pdf_of, words_of
from tests.office.conftest import Desk
from tests.sites.stories import Story
from webapp.extensions import Database
from webapp.jobsheet.paper_photos import HEIGHT_PX, LARGEST_PIXELS, WIDTH_PX, small_photo
from webapp.jobsheet.telling_photos import MOST_PICTURES
from webapp.sync.photos import photo_path, store_photo

BUTTON = "Photo of damage from before"


def a_jpeg(width: int, height: int, shade: int = 90) -> bytes:
    kept = io.BytesIO()
    picture = Image.effect_noise((width, height), shade).convert("RGB")
    picture.save(kept, "JPEG", quality=80, exif=b"Exif\x00\x00II*\x00\x08\x00\x00\x00\x00\x00\x00\x00\x00\x00")
    return kept.getvalue()


def told_of(content: bytes, **more: Any) -> tuple[str, dict[str, Any]]:
    return "photo_taken", {
        "sha256": hashlib.sha256(content).hexdigest(), "length_bytes": len(content), "media_type": "image/jpeg",
        "width_px": 1280, "height_px": 960, "check": "tube", **more,
    }  # fmt: skip


@pytest.mark.parametrize(("width", "height"), [(1280, 960), (960, 1280), (100, 50), (3000, 10)])
def test_a_photo_is_scaled_into_a_small_box_and_keeps_its_shape(tmp_path: Path, width: int, height: int) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(a_jpeg(width, height))
    small = small_photo(path)
    assert small is not None
    with Image.open(small) as shown:
        assert shown.width <= min(width, WIDTH_PX)
        assert shown.height <= min(height, HEIGHT_PX)
        assert (
            shown.width / shown.height == pytest.approx(width / height, rel=0.05) or shown.height == 1 or height == 10
        )
        assert not shown.getexif()
    assert len(small.getvalue()) < 150_000


def test_what_cannot_be_read_as_a_jpeg_is_no_photo(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    good = a_jpeg(200, 100)
    png = io.BytesIO()
    Image.new("RGB", (4, 4)).save(png, "PNG")
    for content in (b"", b"\xff\xd8\xff", good[: len(good) // 4], png.getvalue(), b"%PDF-1.4"):
        path.write_bytes(content)
        assert small_photo(path) is None
    assert small_photo(tmp_path / "not there.jpg") is None


def test_a_file_that_claims_to_be_huge_is_not_opened(tmp_path: Path) -> None:
    """The claim stands in the SOF0 segment: height and width, two bytes each (ITU-T T.81, B.2.2)."""
    path = tmp_path / "a.jpg"
    content = bytearray(a_jpeg(200, 100))
    place = content.index(b"\xff\xc0") + 5
    content[place : place + 4] = b"\xff\xff\xff\xff"
    path.write_bytes(bytes(content))
    assert LARGEST_PIXELS < 65_535**2
    assert small_photo(path) is None


def test_photos_are_on_the_paper_small_with_their_words_and_the_rest_is_counted(
    desk: Desk, story: Story, database: Database, tmp_path: Path, session: Session
) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    contents = [a_jpeg(640, 480, shade) for shade in range(20, 20 + MOST_PICTURES + 2)]
    story.walk(site, job, *(told_of(content) for content in contents))
    with database.session() as writing:
        for content in contents[1:]:
            store_photo(writing, tmp_path, hashlib.sha256(content).hexdigest(), content)
    reader = pdf_of(desk, job)
    drawn = [image for page in reader.pages for image in page.images]
    assert len(drawn) == MOST_PICTURES - 1
    assert all(image.image is not None and image.image.width <= WIDTH_PX for image in drawn)
    told = words_of(reader)
    assert told.count("Sensing tube, both ends") == MOST_PICTURES
    assert "(the photo is still on the phone)" in told
    assert "2 more are kept with the record of this visit." in told
    whole = desk.client.get(f"/jobs/{job}/sheet.pdf").data
    assert len(whole) < sum(len(content) for content in contents)
    assert len(whole) < MOST_PICTURES * 150_000


def test_a_photo_that_was_damaged_on_disk_leaves_the_sheet_whole(
    desk: Desk, story: Story, database: Database, tmp_path: Path
) -> None:
    site = story.address()
    job = story.book(site)
    content = a_jpeg(640, 480)
    story.walk(site, job, told_of(content))
    digest = hashlib.sha256(content).hexdigest()
    with database.session() as writing:
        store_photo(writing, tmp_path, digest, content)
    photo_path(tmp_path, digest).write_bytes(content[:700])
    assert "(the photo cannot be read)" in words_of(pdf_of(desk, job))


def captions(desk: Desk, story: Story, *photos: tuple[int, dict[str, Any]]) -> list[str]:
    """What stands below each photo of one visit, in their order, on the page; the paper says the same."""
    site = story.address()
    job = story.book(site)
    for number, (schema, more) in enumerate(photos):
        body = told_of(bytes([number]), **{"check": None, **more})[1]
        story.say(story.hand, "photo_taken", body, site_id=site, job_id=job, schema=schema)
    page = desk.client.get(f"/jobs/{job}/sheet").text
    found = re.findall(r"<figcaption><small>(.*?)</small>", page)
    paper = letters_of(words_of(pdf_of(desk, job)))
    assert [one for one in found if letters_of(one.partition("<br>")[2]) not in paper] == []
    return [one.replace("<br>", ", ") for one in found]


def test_words_that_are_all_that_says_what_a_photo_is_of_are_its_caption(desk: Desk, story: Story) -> None:
    assert captions(
        desk, story, (1, {"words": "the tag at the meter"}), (2, {"about": "other", "words": "A photo"})
    ) == [
        "The tag at the meter, 2 March 2026, 14:03",
        "Photo, with no words to it, 2 March 2026, 14:04",
    ]


def test_words_of_damage_that_was_there_before_are_on_the_sheet_but_not_those_of_the_phones_button(
    desk: Desk, story: Story
) -> None:
    before = {"about": "damage_before"}
    assert captions(desk, story, (2, {**before, "words": "dent in the jacket"}), (2, {**before, "words": BUTTON})) == [
        "Damage that was there before: dent in the jacket, 2 March 2026, 14:03",
        "Damage that was there before, 2 March 2026, 14:04",
    ]


def test_own_words_stand_beside_what_a_photo_is_of(desk: Desk, story: Story) -> None:
    seen = captions(
        desk, story, (1, {"check": "tube", "words": "split here"}), (2, {"about": "plate", "words": "rust over it"})
    )
    assert seen == [
        "Sensing tube, both ends: split here, 2 March 2026, 14:03",
        "The heater&#39;s rating plate: rust over it, 2 March 2026, 14:04",
    ]


def test_a_caption_that_is_too_long_for_the_paper_says_so(desk: Desk, story: Story) -> None:
    site = story.address()
    job = story.book(site)
    words = "word " * 60
    story.walk(site, job, told_of(b"1", check=None, words=words))
    told = words_of(pdf_of(desk, job))
    assert "and more words, 2 March 2026" in told
    assert told.count("word ") < 60


def test_a_photo_of_the_visits_own_day_names_its_hour_alone(desk: Desk, story: Story) -> None:
    """The day stands at the head of the sheet; that of a photo taken on another day stands with the photo."""
    site = story.address()
    job = story.book(site)
    story.walk(site, job, ("arrived", {}), told_of(b"1"))
    assert f"Sensing tube, both ends, {story.at:%H:%M}" in desk.read(f"/jobs/{job}/sheet")
    story.at += timedelta(days=1)
    story.walk(site, job, told_of(b"2"))
    assert "Sensing tube, both ends, 3 March 2026, " in desk.read(f"/jobs/{job}/sheet")


def test_a_picture_says_in_words_what_it_is_of_to_who_cannot_see_it(
    desk: Desk, story: Story, database: Database, tmp_path: Path
) -> None:
    site = story.address()
    job = story.book(site)
    content = a_jpeg(640, 480)
    story.walk(site, job, told_of(content))
    with database.session() as writing:
        store_photo(writing, tmp_path, hashlib.sha256(content).hexdigest(), content)
    reader: PdfReader = pdf_of(desk, job)
    assert reader.root_object["/MarkInfo"]["/Marked"]
    assert any("Photo: Sensing tube" in words for words in _alternatives(reader.root_object["/StructTreeRoot"]))


def _alternatives(element: Any) -> list[str]:
    found = [str(element["/Alt"])] if "/Alt" in element else []
    kids = element.get("/K", [])
    for kid in kids if isinstance(kids, list) else [kids]:
        whole = kid.get_object() if hasattr(kid, "get_object") else kid
        if hasattr(whole, "get"):
            found += _alternatives(whole)
    return found
