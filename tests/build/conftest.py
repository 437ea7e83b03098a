"""The wheel that `make wheel` gives, once for all tests of it; others only to be compared with it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from service_worker.build.build import build, is_stale
from service_worker.build.places import HERE

BUILD_SECONDS = 240


def run_build(command: list[str | Path], folder: Path, root: Path = HERE.root) -> Path:
    """Run what puts one wheel into the folder; return the wheel."""
    folder.mkdir(parents=True, exist_ok=True)
    without_make = {
        name: value for name, value in os.environ.items() if name not in {"MAKEFLAGS", "MAKELEVEL", "MFLAGS"}
    }
    done = subprocess.run(
        command, cwd=root, env=without_make, capture_output=True, text=True, timeout=BUILD_SECONDS, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    (wheel,) = folder.glob("*.whl")
    return wheel


def build_here(folder: Path, root: Path = HERE.root) -> Path:
    """Build in this environment, not apart from it: the second way to the same bytes, and the quicker one."""
    return run_build([sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder], folder, root)


@pytest.fixture(scope="session")
def wheel(tmp_path_factory):
    """As a person makes it: apart from this environment, with no more than the build's lock."""
    folder = tmp_path_factory.mktemp("wheels")
    return run_build(["make", "--old-file=.venv/.runtime", "wheel", f"DIST={folder}"], folder)


@pytest.fixture(scope="session")
def built_shell():
    if is_stale(HERE):
        build(HERE)
