"""Hatchling's custom build hook: a wheel always holds a freshly built shell."""

import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

ROOT = Path(__file__).resolve().parents[2]


class ShellBuildHook(BuildHookInterface[Any]):
    """Runs the same build as `make`; an editable install is left to the Makefile, which knows when it is stale."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:  # noqa: ARG002 (hatchling's signature)
        """Build the shell before the wheel is packed."""
        if self.target_name != "wheel" or version == "editable":
            return
        sys.path.insert(0, str(ROOT))
        from service_worker.build.build import build  # noqa: PLC0415 (only importable from here on)
        from service_worker.build.places import Places  # noqa: PLC0415

        build(Places(ROOT))
