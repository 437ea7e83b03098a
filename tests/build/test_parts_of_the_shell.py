"""The shell in parts: what the first paint needs, and what comes after it."""

import re

import pytest

from service_worker.build.assets import Assets
from service_worker.build.bundle import taken_from_global
from service_worker.build.node import run_node
from service_worker.build.places import HERE
from service_worker.build.shell import build_shell
from service_worker.build.sizes import FIRST_PAINT_LIMIT_BYTES, own_bytes

READ = "require('node:fs').readFileSync(0, 'utf8')"

pytestmark = pytest.mark.usefixtures("built_shell")


@pytest.fixture(scope="module")
def assets(built_shell: None) -> Assets:
    return build_shell(HERE, "0")


def test_the_late_part_reads_from_the_global_what_it_imported() -> None:
    text = 'import{A as b,c,if as d}from"./chunk-1.js";b(c,d);export{b as e};'
    assert taken_from_global(text, "chunk-1.js") == (
        "const{A:b,c:c,if:d}=undercroft;b(c,d);export{b as e};",
        ["A", "c", "if"],
    )


def test_a_late_part_that_imports_the_shared_one_otherwise_stops_the_build() -> None:
    with pytest.raises(ValueError, match="0 times"):
        taken_from_global('import*as a from"./chunk-1.js";', "chunk-1.js")


def test_nothing_that_is_exported_is_set_anew() -> None:
    """The late part has what it imports as it was when it came."""
    sources = [path for path in (HERE.phone / "shell").rglob("*.ts") if "export let" in path.read_text("utf-8")]
    assert sources == []


def test_the_first_part_is_a_plain_script_that_names_the_late_one(assets: Assets) -> None:
    """A module would be compiled anew at each start: a worker's cache keeps only plain scripts compiled."""
    ((how, url),) = re.findall(r'<script ([^>]*)src="([^"]+)"', assets.files["/phone/"].decode())
    assert how == "defer "
    first = assets.files[url].decode()
    run_node(
        ["--input-type=commonjs", "-e", f"new (require('node:vm').Script)({READ})"], folder=HERE.phone, given=first
    )
    (late,) = re.findall(r'import\("\./(late-[^"]+)"\)', first)
    assert f"/phone/assets/{late}" in {row["url"] for row in assets.precache()}


def test_the_late_part_names_no_other_part(assets: Assets) -> None:
    (late,) = [text for url, text in assets.files.items() if "/late-" in url]
    assert late.startswith(b"const{")
    assert re.findall(rb'(?:from|import)"|import\(', late) == []


def test_the_page_fetches_nothing_of_the_late_part(assets: Assets) -> None:
    assert "/late-" not in assets.files["/phone/"].decode()


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
