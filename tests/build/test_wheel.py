"""What is shipped: looked at as it lies in the wheel, not in the source tree."""

import base64
import hashlib
import json
import re
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest

from service_worker.build.api_types import PRINT_OPENAPI
from service_worker.build.places import HERE
from tests.build.conftest import build_here

BUILT = "webapp/shell/built/"
PRECACHE_ROW = re.compile(r'\{url:"(?P<url>[^"]+)",integrity:"sha256-(?P<digest>[^"]+)"\}')
PROJECT = tomllib.loads((HERE.root / "pyproject.toml").read_text("utf-8"))
# Runs a program and prints, apart from its own output, the distributions that it imported.
PRINT_IMPORTED = """
import sys
from importlib.metadata import packages_distributions
exec(sys.argv[1])
found = packages_distributions()
print(*{name.lower() for module in list(sys.modules) for name in found.get(module, [])}, file=sys.stderr)
"""

pytestmark = pytest.mark.slow


@pytest.fixture(scope="session")
def contents(wheel):
    with zipfile.ZipFile(wheel) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


@pytest.fixture(scope="session")
def precache(contents):
    text = contents[BUILT + "worker.js"].decode("utf-8")
    return {row["url"]: row["digest"] for row in PRECACHE_ROW.finditer(text)}


def requirement_name(text):
    return re.split(r"[^A-Za-z0-9_.-]", text)[0].lower()


def name_in_wheel(url):
    return BUILT + (url.removeprefix("/phone/") or "index.html")


def test_a_wheel_built_apart_and_one_built_in_this_environment_are_one_and_the_same(wheel, tmp_path):
    again = build_here(tmp_path)
    assert hashlib.sha256(again.read_bytes()).hexdigest() == hashlib.sha256(wheel.read_bytes()).hexdigest()


@pytest.mark.parametrize(
    "pattern",
    [
        r"index\.html",
        r"worker\.js",
        r"manifest\.webmanifest",
        r"assets/app-[0-9a-f]{12}\.js",
        r"assets/late-[0-9a-f]{12}\.js",
        r"assets/app-[0-9a-f]{12}\.css",
        r"assets/engine-[0-9a-f]{12}\.js",
        r"assets/micropython-[0-9a-f]{12}\.mjs",
        r"assets/micropython-[0-9a-f]{12}\.wasm",
        r"assets/engine\.webapp\.trade\.record-[0-9a-f]{12}\.mpy",
        r"assets/engine\.typing-[0-9a-f]{12}\.mpy",
        r"assets/fonts\.atkinson-hyperlegible-next-latin-700-normal-[0-9a-f]{12}\.woff2",
    ],
)
def test_the_wheel_holds_the_built_shell(contents, pattern):
    assert [name for name in contents if re.fullmatch(re.escape(BUILT) + pattern, name)] != []


def test_the_wheel_holds_the_offices_fonts_with_their_licence(contents):
    fonts = "webapp/look/static/built/fonts/"
    assert fonts + "atkinson-hyperlegible-next-latin-400-normal.woff2" in contents
    assert b"SIL OPEN FONT LICENSE" in contents[fonts + "LICENSE.txt"].upper()


def test_the_precache_list_names_every_file_but_the_worker(contents, precache):
    shipped = {name for name in contents if name.startswith(BUILT)} - {BUILT + "worker.js", BUILT + "licences.txt"}
    assert {name_in_wheel(url) for url in precache} == shipped


def test_every_hash_in_the_precache_list_is_that_of_the_shipped_bytes(contents, precache):
    assert precache
    for url, digest in precache.items():
        actual = hashlib.sha256(contents[name_in_wheel(url)]).digest()
        assert base64.b64decode(digest) == actual, url


def test_no_address_in_the_shell_leads_to_a_file_that_is_not_shipped(contents):
    for name, content in contents.items():
        if name.startswith(BUILT) and Path(name).suffix in {".js", ".css", ".html", ".webmanifest"}:
            for url in re.findall(rb"/phone/assets/[\w.@-]+", content):
                assert name_in_wheel(url.decode()) in contents, (name, url)


def test_the_licences_of_what_is_bundled_are_shipped(contents):
    licences = contents[BUILT + "licences.txt"].decode("utf-8")
    for package in ("lit-html", "idb", "@preact/signals-core", "@micropython/micropython-webassembly-pyscript"):
        assert f"== {package} " in licences


def test_index_and_worker_agree_on_the_build(contents):
    build = re.search(rb'data-build="([0-9a-f]{12})"', contents[BUILT + "index.html"])
    assert build is not None
    assert build[1] in contents[BUILT + "worker.js"]
    assert not [name for name, content in contents.items() if b"@@BUILD@@" in content]


def test_the_wheel_holds_no_source_maps_no_typescript_and_no_tests(contents):
    assert [name for name in contents if name.endswith((".map", ".ts")) or name.startswith(("tests/", "e2e/"))] == []


def test_the_wheel_names_no_machine(contents):
    marks = (f"{Path.home()}/".encode(), b"/home/", b"/tmp/", b"node_modules/", str(Path(__file__).parents[2]).encode())
    for name, content in contents.items():
        if name.startswith(BUILT) and not name.endswith(("licences.txt", ".wasm", ".mjs")):
            assert [mark for mark in marks if mark in content] == [], name


def test_the_manifest_in_the_wheel_points_at_icons_that_are_shipped(contents):
    manifest = json.loads(contents[BUILT + "manifest.webmanifest"])
    assert [icon["src"] for icon in manifest["icons"] if name_in_wheel(icon["src"]) not in contents] == []


def test_the_source_archive_builds_the_same_wheel(wheel, tmp_path):
    sdist = [sys.executable, "-m", "hatchling", "build", "-t", "sdist", "-d", tmp_path]
    subprocess.run(sdist, cwd=HERE.root, check=True, capture_output=True, timeout=60)
    (archive,) = tmp_path.glob("*.tar.gz")
    with tarfile.open(archive) as packed:
        packed.extractall(tmp_path, filter="data")
    again = build_here(tmp_path / "wheel", tmp_path / archive.name.removesuffix(".tar.gz"))
    assert hashlib.sha256(again.read_bytes()).hexdigest() == hashlib.sha256(wheel.read_bytes()).hexdigest()


def test_the_app_starts_with_no_more_than_the_build_may_install():
    """`make wheel` builds apart from this environment, with `build-system.requires` alone, and needs the app."""
    names = {requirement_name(text) for text in PROJECT["build-system"]["requires"]}
    done = subprocess.run(
        [sys.executable, "-c", PRINT_IMPORTED, PRINT_OPENAPI],
        cwd=HERE.root,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    imported = set(done.stderr.split())
    runtime = {requirement_name(text) for text in PROJECT["project"]["dependencies"]}
    assert "flask" in imported
    assert sorted(imported & (runtime - names)) == []
