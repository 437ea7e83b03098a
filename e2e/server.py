"""A real server in a process of its own, on a free port, over a folder that outlives it."""

import contextlib
import os
import random
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path
from typing import Self

ROOT = Path(__file__).parents[1]
START_SECONDS = 30
STOP_SECONDS = 10
GIVEN_TO_NOBODY = (20_000, 32_768)


def free_port() -> int:
    """Return a port that nobody listens on now, and that the kernel gives to nobody who asks for any port.

    A server that is stopped for a while must find its port free again, beside tests that take ports by asking for 0.
    Linux hands those out from 32768 on, the IANA's dynamic range begins at 49152 (RFC 6335, section 6).
    """
    while True:
        port = random.SystemRandom().randrange(*GIVEN_TO_NOBODY)
        with socket.socket() as probe, contextlib.suppress(OSError):
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind(("127.0.0.1", port))
            return port


class Server:
    """The app under gunicorn. `stop` and `start` keep port and data: the phone sees an outage, not another server."""

    def __init__(self, data: Path, *, workers: int = 1, settings: dict[str, str] | None = None) -> None:
        self.data = data
        self.port = free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        self.workers = workers
        self.settings = {"UNDERCROFT_DATA": str(data), "UNDERCROFT_COOKIE_SECURE": "0", **(settings or {})}
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> Self:
        """Start, and return when it answers."""
        self.data.mkdir(parents=True, exist_ok=True)
        with (self.data / "server.log").open("ab") as log:
            self._process = subprocess.Popen(
                self._command(), cwd=ROOT, env=os.environ | self.settings, stdout=log, stderr=log
            )
        self._wait()
        return self

    def stop(self) -> None:
        """Let it finish what it does, and end it."""
        self._end(signal.SIGTERM)

    def kill(self) -> None:
        """End it and its workers in whatever they do; the master first, which would replace a lost worker."""
        workers = self._worker_pids()
        self._end(signal.SIGKILL)
        for worker in workers:
            with contextlib.suppress(ProcessLookupError):
                os.kill(worker, signal.SIGKILL)

    def log(self) -> str:
        """Return what it wrote."""
        return (self.data / "server.log").read_text("utf-8", "replace")

    def _command(self) -> list[str]:
        gunicorn = [sys.executable, "-m", "gunicorn", "webapp.wsgi:app", "--bind", f"127.0.0.1:{self.port}"]
        return [
            *gunicorn,
            "--workers",
            str(self.workers),
            "--threads",
            "8",
            "--no-control-socket",
            "--graceful-timeout",
            "5",
        ]

    def _wait(self) -> None:
        until = time.monotonic() + START_SECONDS
        while time.monotonic() < until:
            if self._process is None or self._process.poll() is not None:
                break
            if self._answers():
                return
            time.sleep(0.05)
        self.kill()
        raise RuntimeError(f"the server did not start:\n{self.log()}")

    def _answers(self) -> bool:
        try:
            with urllib.request.urlopen(f"{self.address}/healthz", timeout=2) as answer:
                return bool(answer.status == 200)
        except (urllib.error.URLError, OSError):
            return False

    def _worker_pids(self) -> list[int]:
        if self._process is None:
            return []
        children = Path(f"/proc/{self._process.pid}/task/{self._process.pid}/children")
        return [int(pid) for pid in children.read_text("ascii").split()] if children.exists() else []

    def _end(self, how: signal.Signals) -> None:
        if self._process is None:
            return
        self._process.send_signal(how)
        try:
            self._process.wait(STOP_SECONDS)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait(STOP_SECONDS)
        self._process = None
