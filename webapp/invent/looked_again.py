"""What is looked at again between the repair and the fire, as the phone asks for it before a visit is closed.

What was found unsafe has been put right and is seen so; what must stand before any burner runs, and was not seen yet
or was undone on the way, is seen now. Without it no invented visit could have been closed as proven.
"""

from __future__ import annotations

from typing import Any

from webapp.invent.safe import needs_of, safe_outcomes
from webapp.invent.walking import Step


def look_again(procedure: dict[str, Any], steps: list[Step]) -> list[Step]:
    """The looks that come on top of the walk's, with how they come out by then; last, what other looks may undo."""
    said = {step.check["id"]: step.outcome for step in steps}
    needs = needs_of(procedure)
    again = []
    for check in sorted(procedure["checks"], key=lambda one: bool(one.get("undone_by"))):
        found, safe = said.get(check["id"]), safe_outcomes(procedure, check)
        need = needs.get(check["id"])
        asked = need is not None and not need.get("if_answered")
        if (found not in safe and (asked or found is not None)) or (asked and check.get("undone_by")):
            again.append(Step(check, safe[0]))
    return again
