"""Write the locks from pyproject.toml: `make lock`. Every file has its hash; none says where it was fetched."""

import subprocess
import sys
import tomllib
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parent
UV = Path(sys.executable).with_name("uv")
UV_VERSION = "0.13.9"
EDITABLE = "editables>=0.5"  # what hatchling needs to install this tree as it stands
COMPILE = [
    *(
        "pip",
        "compile",
        "--universal",
        "--python-version",
        "3.11",
        "--generate-hashes",
        "--no-emit-index-url",
        "--quiet",
    ),
    *("--no-emit-find-links", "--custom-compile-command", "make lock"),
]


def lock(name: str, arguments: list[str], requirements: list[str] | None = None) -> None:
    """Resolve into requirements/NAME.lock; what was locked before stays unless it must move or --upgrade is asked."""
    subprocess.run(
        [UV, *COMPILE, *arguments, *sys.argv[1:], "--output-file", f"requirements/{name}.lock"],
        cwd=ROOT,
        input="\n".join(requirements or []),
        text=True,
        check=True,
    )


def constrained_by(name: str) -> list[str]:
    """Return the option that keeps the versions of another lock, so that all fit into one environment."""
    return ["--constraints", f"requirements/{name}.lock"]


def main() -> None:
    """Write all four."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    lock("bootstrap", ["-"], [f"uv=={UV_VERSION}"])
    lock("runtime", ["pyproject.toml", "--extra", "postgresql"])
    lock(
        "dev",
        ["pyproject.toml", "--extra", "postgresql", "--group", "dev", "--constraints", "requirements/runtime.lock"],
    )
    lock("build", ["-", *constrained_by("dev")], [*project["build-system"]["requires"], EDITABLE])


if __name__ == "__main__":
    main()
