"""The shell in parts: what the first paint needs, and what comes after it."""

import re

import pytest

from service_worker.build.assets import Assets
from service_worker.build.bundle import bundle_in_parts, names_in, parts_in_order
from service_worker.build.places import HERE
from service_worker.build.shell import build_shell
from service_worker.build.sizes import FIRST_PAINT_LIMIT_BYTES, own_bytes

ENTRY = HERE.phone / "shell" / "main.ts"

pytestmark = pytest.mark.usefixtures("built_shell")


@pytest.fixture(scope="module")
def assets(built_shell: None) -> Assets:
    return build_shell(HERE, "0")


def test_a_part_comes_after_all_that_it_names() -> None:
    parts = {
        "main.js": b'import"./chunk-A.js";import("./late-B.js")',
        "late-B.js": b'import"./chunk-A.js"',
        "chunk-A.js": b"",
    }
    assert parts_in_order(parts) == ["chunk-A.js", "late-B.js", "main.js"]


def test_parts_that_name_one_another_are_refused() -> None:
    with pytest.raises(ValueError, match="circle"):
        parts_in_order({"a.js": b'"./b.js"', "b.js": b'"./a.js"'})


def test_only_the_entry_names_the_second_part() -> None:
    parts = bundle_in_parts(HERE, ENTRY)
    late = next(name for name in parts if name.startswith("late"))
    assert [name for name in parts if late in names_in(parts, name)] == ["main.js"]


def test_every_part_that_a_part_names_is_in_the_precache_list(assets: Assets) -> None:
    listed = {row["url"].rsplit("/", 1)[1] for row in assets.precache()}
    scripts = {url: text for url, text in assets.files.items() if url.endswith(".js")}
    named = {name for text in scripts.values() for name in listed if f"./{name}".encode() in text}
    assert {name.split("-")[0] for name in named} >= {"chunk", "late"}
    assert b"./chunk-" in next(text for url, text in scripts.items() if "/late-" in url)


def test_the_page_fetches_the_shared_part_beside_the_entry(assets: Assets) -> None:
    page = assets.files["/phone/"].decode()
    assert 'rel="modulepreload" href="/phone/assets/chunk-' in page
    assert "/late-" not in page


def test_the_page_fetches_ahead_just_the_fonts_that_its_sheet_names(assets: Assets) -> None:
    sheet = next(content for name, content in assets.files.items() if name.endswith(".css")).decode()
    page = assets.files["/phone/"].decode()
    named = set(re.findall(r"/phone/assets/fonts\.[^\"')]+", sheet))
    assert named
    assert set(re.findall(r'rel="preload" href="(/phone/assets/fonts\.[^"]+)" as="font"', page)) == named


def test_our_own_code_to_the_first_paint_stays_under_its_limit() -> None:
    """Whoever comes over it moves a screen to the late part or takes as much out (docs/adr/0047)."""
    own = own_bytes(HERE)
    assert own.late > 20_000  # the screens that come later are not counted, and there are some
    assert own.first < FIRST_PAINT_LIMIT_BYTES
