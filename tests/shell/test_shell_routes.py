"""How the shell is served: what may be kept, what must be asked for anew, and what the browser is allowed to do."""

import gzip
import os

import pytest
from flask import Flask

from webapp.shell import routes


@pytest.fixture
def client(tmp_path, monkeypatch):
    built = tmp_path / "built"
    (built / "assets").mkdir(parents=True)
    (built / "index.html").write_text("<title>Undercroft</title>", "utf-8")
    (built / "worker.js").write_text("self.x=1", "utf-8")
    (built / "manifest.webmanifest").write_text("{}", "utf-8")
    for name in (
        "app-1.js",
        "micropython-1.mjs",
        "micropython-1.wasm",
        "app-1.css",
        "fonts.f-1.woff2",
        "engine.a-1.mpy",
        "sketches-1.json",
    ):
        (built / "assets" / name).write_bytes(b"x")
    (tmp_path / "secret.txt").write_text("not for the web", "utf-8")
    monkeypatch.setattr(routes, "BUILT", built)
    app = Flask(__name__, static_folder=None)
    app.register_blueprint(routes.shell_bp)
    return app.test_client()


@pytest.mark.parametrize("path", ["/phone/", "/phone/worker.js", "/phone/manifest.webmanifest"])
def test_what_keeps_its_address_is_asked_for_anew_each_time(client, path):
    with client.get(path) as response:
        assert response.status_code == 200
        assert response.headers["Cache-Control"] == "no-cache"
        assert response.headers["ETag"]


def test_what_did_not_change_is_not_sent_again(client):
    with client.get("/phone/worker.js") as first:
        tag = first.headers["ETag"]
    # RFC 9110, 13.1.2: a matching If-None-Match on GET is answered 304, without content.
    with client.get("/phone/worker.js", headers={"If-None-Match": tag}) as again:
        assert again.status_code == 304
        assert again.data == b""


def test_a_new_build_is_seen_though_its_date_and_size_are_the_old_ones(client):
    with client.get("/phone/worker.js") as first:
        tag = first.headers["ETag"]
        assert "Last-Modified" not in first.headers
    path = routes.BUILT / "worker.js"
    before = path.stat()
    path.write_text("self.x=2", "utf-8")
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    with client.get("/phone/worker.js", headers={"If-None-Match": tag}) as again:
        assert again.status_code == 200
        assert again.data == b"self.x=2"


def test_an_asset_may_be_kept_for_ever(client):
    with client.get("/phone/assets/app-1.js") as response:
        assert response.headers["Cache-Control"] == "public, max-age=31536000, immutable"


@pytest.mark.parametrize("name", ["app-1.js", "micropython-1.wasm", "app-1.css", "engine.a-1.mpy"])
def test_an_asset_is_sent_packed_to_whoever_takes_it_so(client, name):
    with client.get(f"/phone/assets/{name}", headers={"Accept-Encoding": "br, gzip;q=0.8"}) as packed:
        assert packed.headers["Content-Encoding"] == "gzip"
        assert gzip.decompress(packed.data) == b"x"
        assert packed.headers["Cache-Control"] == "public, max-age=31536000, immutable"
        assert "Accept-Encoding" in packed.headers["Vary"]
    with client.get(f"/phone/assets/{name}") as plain:
        assert plain.data == b"x"
        assert "Accept-Encoding" in plain.headers["Vary"]
        assert plain.headers["ETag"] != packed.headers["ETag"]


@pytest.mark.parametrize("wish", ["gzip;q=0", "identity", "br"])
def test_an_asset_goes_plain_where_packing_is_not_wanted(client, wish):
    # RFC 9110, 12.4.2: a weight of 0 means "not acceptable".
    with client.get("/phone/assets/app-1.js", headers={"Accept-Encoding": wish}) as response:
        assert "Content-Encoding" not in response.headers
        assert response.data == b"x"


def test_what_is_packed_already_is_not_packed_again(client):
    with client.get("/phone/assets/fonts.f-1.woff2", headers={"Accept-Encoding": "gzip"}) as response:
        assert "Content-Encoding" not in response.headers


@pytest.mark.parametrize(
    ("path", "media_type"),
    [
        # A module script and a worker need a JavaScript type (HTML, "fetch a single module script"); streaming
        # compilation needs application/wasm (WebAssembly Web API, section 4); the manifest's is in W3C appmanifest.
        ("/phone/worker.js", "text/javascript"),
        ("/phone/assets/app-1.js", "text/javascript"),
        ("/phone/assets/micropython-1.mjs", "text/javascript"),
        ("/phone/assets/micropython-1.wasm", "application/wasm"),
        ("/phone/assets/app-1.css", "text/css"),
        ("/phone/assets/fonts.f-1.woff2", "font/woff2"),
        ("/phone/assets/engine.a-1.mpy", "application/octet-stream"),
        ("/phone/assets/sketches-1.json", "application/json"),
        ("/phone/manifest.webmanifest", "application/manifest+json"),
        ("/phone/", "text/html"),
    ],
)
@pytest.mark.parametrize("wish", ["identity", "gzip"])
def test_every_file_says_what_it_is(client, path, media_type, wish):
    with client.get(path, headers={"Accept-Encoding": wish}) as response:
        assert response.mimetype == media_type


def test_the_worker_may_control_the_whole_shell_and_nothing_else(client):
    with client.get("/phone/worker.js") as response:
        assert response.headers["Service-Worker-Allowed"] == "/phone/"


@pytest.mark.parametrize(
    "path", ["/phone/assets/none.js", "/phone/assets/../../secret.txt", "/phone/assets/%2e%2e/%2e%2e/secret.txt"]
)
def test_nothing_outside_the_built_files_is_served(client, path):
    with client.get(path) as response:
        assert response.status_code == 404


def test_a_missing_build_is_said_in_words(client, monkeypatch, tmp_path):
    monkeypatch.setattr(routes, "BUILT", tmp_path / "nothing")
    with client.get("/phone/") as response:
        assert response.status_code == 503
        assert b"make demo" in response.data
