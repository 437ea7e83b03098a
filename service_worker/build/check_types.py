"""Check the TypeScript with tsc, strictly; nothing is written: `python -m service_worker.build.check_types`."""

import sys

from service_worker.build.node import run_node
from service_worker.build.places import HERE, Places


def check_types(places: Places) -> str:
    """Return what tsc complains about: the page's world first, then the workers', which have no document."""
    script = places.node_modules / "typescript" / "bin" / "tsc"
    complaints = []
    for project in sorted(places.phone.glob("tsconfig*.json")):
        try:
            run_node([script, "--project", project.name, "--noEmit"], folder=places.phone)
        except RuntimeError as error:
            complaints.append(str(error))
    return "\n".join(complaints)


if __name__ == "__main__":
    sys.exit(check_types(HERE))
