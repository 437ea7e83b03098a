"""Check the TypeScript with tsc, strictly; nothing is written: `python -m service_worker.build.check_types`."""

import sys

from service_worker.build.node import run_node
from service_worker.build.places import HERE, Places


def check_types(places: Places) -> str:
    """Return what tsc complains about in the shell and in its tests."""
    script = places.node_modules / "typescript" / "bin" / "tsc"
    projects = [*places.phone.glob("tsconfig*.json"), *(places.phone / "tests").rglob("tsconfig*.json")]
    complaints = []
    for project in sorted(projects):
        try:
            run_node([script, "--project", project, "--noEmit"], folder=places.phone)
        except RuntimeError as error:
            complaints.append(str(error))
    return "\n".join(complaints)


if __name__ == "__main__":
    sys.exit(check_types(HERE) or 0)
