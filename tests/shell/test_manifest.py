"""The manifest against what makes a browser offer to install it.

- MDN, "Making PWAs installable", section "Required manifest members" (mdn/content, commit 01a4590e): browsers built
  on Chromium ask for `name`, `icons`, `start_url` and `display` or `display_override`; a secure context; and a worker
  that answers `fetch`.
- web.dev/installable-manifest: `short_name` or `name`, icons of 192x192 and 512x512 px, `start_url`, `display` of
  `fullscreen`, `standalone` or `minimal-ui`.
- W3C Web Application Manifest: by the text itself no member is required (MDN, "Web application manifest"). The display
  modes, the purposes of an icon, and that `start_url` and `id` lie within the scope are from memory of the text.
"""

import json
import re
import struct
from urllib.parse import urljoin

import pytest

from service_worker.build.places import HERE

ADDRESS = "https://example.org/phone/manifest.webmanifest"
DISPLAY_MODES = {"fullscreen", "standalone", "minimal-ui", "browser"}
PURPOSES = {"monochrome", "maskable", "any"}


@pytest.fixture
def manifest():
    return json.loads((HERE.phone / "manifest.webmanifest").read_text("utf-8"))


def test_it_has_the_members_that_make_it_installable(manifest):
    assert {"name", "start_url", "display", "icons"} <= set(manifest)
    assert {"short_name", "scope", "id"} <= set(
        manifest
    )  # ours: a name under the icon, one app whatever its start address
    assert manifest["display"] in DISPLAY_MODES - {"browser"}


def test_start_and_identity_lie_within_the_scope(manifest):
    scope = urljoin(ADDRESS, manifest["scope"])
    assert urljoin(ADDRESS, manifest["start_url"]).startswith(scope)
    assert urljoin(ADDRESS, manifest["id"]).startswith(scope)
    assert scope.endswith("/")


def test_every_icon_has_its_source_sizes_and_known_purposes(manifest):
    for icon in manifest["icons"]:
        assert icon["src"]
        assert re.fullmatch(r"any|\d+x\d+( \d+x\d+)*", icon["sizes"])
        assert set(icon["purpose"].split()) <= PURPOSES


def test_both_sizes_that_installing_asks_for_are_there_and_one_may_be_masked(manifest):
    sizes = {(icon["sizes"], icon["purpose"]) for icon in manifest["icons"]}
    assert {("192x192", "any"), ("512x512", "any"), ("512x512", "maskable")} <= sizes


def test_an_icon_is_as_large_as_the_manifest_says(manifest):
    for icon in manifest["icons"]:
        if icon["type"] == "image/png":
            head = (HERE.phone / "icons" / icon["src"]).read_bytes()[:24]
            # PNG (W3C, third edition), 11.2.1: width and height are the first eight bytes of IHDR.
            assert "{}x{}".format(*struct.unpack(">II", head[16:24])) == icon["sizes"]


def test_short_name_fits_under_an_icon(manifest):
    assert len(manifest["short_name"]) <= 12


def test_the_colours_are_the_ground_of_the_dark_theme(manifest):
    tokens = (HERE.webapp / "look" / "static" / "tokens.css").read_text("utf-8")
    ground = re.search(r"--ground:\s*(#[0-9a-f]{6})", tokens)
    assert ground is not None
    assert manifest["background_color"] == manifest["theme_color"] == ground[1]
