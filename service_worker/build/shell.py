"""Everything the phone loads, in the one order in which each part can know the addresses of the parts below it."""

import json
from pathlib import Path

from service_worker.build.assets import PREFIX, Assets, digest_of
from service_worker.build.bundle import bundle, bundle_in_two
from service_worker.build.engine import compiled_modules, engine_files
from service_worker.build.look import app_css, font_files, style_sheets
from service_worker.build.places import Places
from service_worker.build.written import write_whole

BUILD_MARK = "@@BUILD@@"  # stands in the bundles until the build's number, a hash of them, is known
HEADER = "// Made by service_worker/build/shell.py. Not edited by hand.\n"
TYPES = {
    "PRECACHE": "{ url: string; integrity: string }[]",
    "TRADE_MODULES": "{ path: string; url: string }[]",
}


def build_shell(places: Places, version: str) -> Assets:
    """Return all files of the shell. `version` goes into the build's number: old code can be shipped as a new build."""
    assets = Assets()
    engine_url = _engine(places, assets)
    font_urls = {name: assets.add(f"fonts/{name}", content) for name, content in font_files(places).items()}
    css_url = assets.add("app.css", app_css(style_sheets(places), font_urls))
    icons = {
        path.name: assets.add(f"icons/{path.name}", path.read_bytes())
        for path in sorted((places.phone / "icons").glob("*.png"))
    }
    manifest = _manifest(places, icons)
    sketches_url = assets.add("sketches.json", (places.phone / "shell" / "sketches" / "sketches.json").read_bytes())
    urls = {"ENGINE_WORKER_URL": engine_url, "SKETCHES_URL": sketches_url}
    write_module(places.shell_generated / "shell_assets.ts", **urls, BUILD=BUILD_MARK)
    app = _app(places, assets)
    index = (places.phone / "shell" / "index.html").read_bytes()
    worker = _worker(places, BUILD_MARK, [])
    parts = {"manifest": manifest, "app": app, "index": index, "worker": worker, "version": version.encode()}
    build = digest_of({**assets.files, **parts})
    app_url = assets.add("app.js", app.replace(BUILD_MARK.encode(), build.encode()))
    assets.put(f"{PREFIX}manifest.webmanifest", manifest)
    fonts = dict(zip(("font_400", "font_700"), font_urls.values(), strict=True))
    links = {"icon_192": icons["icon-192.png"], "icon_180": icons["icon-180.png"], **fonts}
    assets.put(PREFIX, _index(index, app_js=app_url, app_css=css_url, build=build, **links))
    assets.put(f"{PREFIX}worker.js", _worker(places, build, assets.precache()))
    return assets


def _app(places: Places, assets: Assets) -> bytes:
    """Take the late part in; return the first, which names it by its address."""
    parts = bundle_in_two(places, places.phone / "shell" / "main.ts")
    if BUILD_MARK.encode() in parts.late:
        raise ValueError(
            "the late part asks for the build's number, which only the first may: it is a hash of the rest"
        )
    url = assets.add("late.js", parts.late)
    return parts.first.replace(parts.late_name, f"./{url.rsplit('/', 1)[1]}".encode())


def _engine(places: Places, assets: Assets) -> str:
    files = engine_files(places)
    modules = [
        {"path": path, "url": assets.add(f"engine/{path}", content)} for path, content in compiled_modules(places)
    ]
    write_module(
        places.shell_generated / "engine_assets.ts",
        MICROPYTHON_MJS_URL=assets.add("micropython.mjs", files["micropython.mjs"]),
        MICROPYTHON_WASM_URL=assets.add("micropython.wasm", files["micropython.wasm"]),
        TRADE_MODULES=modules,
    )
    entry = places.phone / "shell" / "core" / "engine.worker.ts"
    return assets.add("engine.js", bundle(places, entry, form="esm"))


def _manifest(places: Places, icons: dict[str, str]) -> bytes:
    manifest = json.loads((places.phone / "manifest.webmanifest").read_text("utf-8"))
    for icon in manifest["icons"]:
        icon["src"] = icons[icon["src"]]
    return json.dumps(manifest, ensure_ascii=False, indent=1).encode("utf-8")


def _worker(places: Places, build: str, precache: list[dict[str, str]]) -> bytes:
    write_module(places.worker_generated / "precache.ts", BUILD=build, PRECACHE=precache)
    return bundle(places, places.phone / "worker.ts", form="iife")


def _index(template: bytes, **values: str) -> bytes:
    text = template.decode("utf-8")
    for name, value in values.items():
        text = text.replace("{{" + name + "}}", value)
    if "{{" in text:
        raise ValueError("index.html asks for a value that the build does not have")
    return text.encode("utf-8")


def write_module(path: Path, **values: object) -> None:
    """Write constants as a TypeScript module."""
    lines = [
        f"export const {name}: {TYPES.get(name, 'string')} = {json.dumps(value)};" for name, value in values.items()
    ]
    write_whole(path, HEADER + "\n".join(lines) + "\n")
