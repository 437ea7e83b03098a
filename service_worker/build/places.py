"""Where the build reads from and writes to."""

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Places:
    """The folders of one source tree; all others hang on `root`."""

    root: Path

    @property
    def webapp(self) -> Path:
        """The Python package."""
        return self.root / "webapp"

    @property
    def phone(self) -> Path:
        """The phone's side: TypeScript, icons, manifest."""
        return self.root / "service_worker"

    @property
    def node_modules(self) -> Path:
        """What npm installed."""
        return self.phone / "node_modules"

    @property
    def shell_generated(self) -> Path:
        """TypeScript that the build writes for the shell."""
        return self.phone / "shell" / "generated"

    @property
    def worker_generated(self) -> Path:
        """TypeScript that the build writes for the service worker."""
        return self.phone / "generated"

    @property
    def built(self) -> Path:
        """What the blueprint serves under /phone/."""
        return self.webapp / "shell" / "built"

    @property
    def fonts(self) -> Path:
        """The fonts that the office serves."""
        return self.webapp / "look" / "static" / "built" / "fonts"


HERE = Places(Path(__file__).resolve().parents[2])
