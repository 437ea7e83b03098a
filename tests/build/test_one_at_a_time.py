import subprocess
import sys
import time

import pytest

from service_worker.build import one_at_a_time as module
from service_worker.build.one_at_a_time import one_at_a_time
from service_worker.build.places import HERE

HOLD = """
import sys, time
from pathlib import Path
from service_worker.build.one_at_a_time import one_at_a_time
with one_at_a_time(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(60)
"""


@pytest.fixture
def holder(tmp_path):
    command = [sys.executable, "-c", HOLD, tmp_path / "lock"]
    with subprocess.Popen(command, cwd=HERE.root, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout.readline() == "held\n"
        yield process
        process.kill()


def test_a_second_build_waits(holder, tmp_path, monkeypatch):
    monkeypatch.setattr(module, "WAIT_SECONDS", 0.3)
    began = time.monotonic()
    with pytest.raises(TimeoutError, match="another build"), one_at_a_time(tmp_path / "lock"):
        pass
    assert time.monotonic() - began >= 0.3


def test_a_build_that_was_killed_holds_nobody_up(holder, tmp_path):
    holder.kill()
    holder.wait()
    with one_at_a_time(tmp_path / "lock"):
        pass
