"""Two builds of one tree wait for each other: both would install the packages and write the same files."""

import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

try:
    import fcntl
except ImportError:  # Windows: there, whoever starts two builds at once must wait by themselves
    fcntl = None  # type: ignore[assignment]

WAIT_SECONDS = 600
POLL_SECONDS = 0.1


@contextmanager
def one_at_a_time(lock_file: Path) -> Iterator[None]:
    """Hold the lock; the system takes it back from a process that ends, however it ends."""
    lock_file.parent.mkdir(parents=True, exist_ok=True)
    with lock_file.open("w") as handle:
        if fcntl is not None:
            _wait_for(handle.fileno(), lock_file)
        yield


def _wait_for(descriptor: int, lock_file: Path) -> None:
    until = time.monotonic() + WAIT_SECONDS
    while True:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() > until:
                raise TimeoutError(f"another build has held {lock_file.name} for {WAIT_SECONDS} s") from None
            time.sleep(POLL_SECONDS)
        else:
            return
