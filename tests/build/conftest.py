"""One wheel for all tests of it; a second build only where two are compared."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="session")
def build_wheel():
    def build(folder):
        folder.mkdir(parents=True)
        command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder]
        done = subprocess.run(
            command, cwd=ROOT, env=os.environ, capture_output=True, text=True, timeout=240, check=False
        )
        assert done.returncode == 0, done.stdout + done.stderr
        (wheel,) = folder.glob("*.whl")
        return wheel

    return build


@pytest.fixture(scope="session")
def wheel(build_wheel, tmp_path_factory):
    return build_wheel(tmp_path_factory.mktemp("wheels") / "first")
