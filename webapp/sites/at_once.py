"""What is to be seen at once at an address: what was left off, what did not hold, what was asked for in vain."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from webapp.sites.visit import CameBack

if TYPE_CHECKING:
    from collections.abc import Sequence

    from webapp.sites.visit import Visit

COULD_NOT_GROUP = "Could not check"


@dataclass(frozen=True)
class DidNotHold:
    """A visit that closed with something done, and what says that it did not hold."""

    job_id: str
    made: datetime
    technician: str
    done: list[str]
    failed_run: str
    came_back: CameBack | None


@dataclass(frozen=True)
class AtOnce:
    """The head of a logbook, over the visits on the page."""

    left_off: list[Visit]
    """Left a heater off that stands off still; first what was found in service since."""
    unsafe: list[Visit]
    """Found something unsafe, and neither repaired it nor left the heater off."""
    looked_again: list[Visit]
    """Found something unsafe that was otherwise when looked at again, or noted it so by a wrong tap."""
    back: list[Visit]
    """Left a heater off that is in service again; whatever stands unsafe comes before it."""
    did_not_hold: list[DidNotHold]
    could_not: list[str]
    """Checks that were tried in vain and never answered on any of these visits, with the reason."""

    @property
    def stands(self) -> bool:
        """Something unsafe: what was put back before it says nothing of now."""
        return bool(self.left_off or self.unsafe)

    @property
    def says_something(self) -> bool:
        """False for an address where all is quiet: the logbook alone is enough."""
        return bool(self.left_off or self.unsafe or self.looked_again or self.back or self.did_not_hold)


def at_once(visits: Sequence[Visit]) -> AtOnce:
    """Read it from the visits, newest first."""
    begun = [visit for visit in visits if visit.begun and visit.state != "booked"]
    return AtOnce(
        left_off=sorted(
            [visit for visit in begun if visit.left_off and visit.stands_off], key=lambda one: not one.found_running
        ),
        unsafe=[visit for visit in begun if visit.unsafe],
        looked_again=[visit for visit in begun if visit.looked_again or visit.corrected],
        back=[visit for visit in begun if visit.left_off and not visit.stands_off],
        did_not_hold=[_did_not_hold(visit) for visit in begun if _says_it_did_not(visit)],
        could_not=_in_vain(begun),
    )


def _says_it_did_not(visit: Visit) -> bool:
    """A return visit says it for the same cause, or while a cause is open; another cause is another fault."""
    again = visit.came_back is not None and not visit.came_back.is_no_repeat
    return bool(visit.done) and (again or bool(_failed_run(visit)))


def _did_not_hold(visit: Visit) -> DidNotHold:
    return DidNotHold(visit.job_id, visit.made, visit.technician, visit.done, _failed_run(visit), visit.came_back)


def _failed_run(visit: Visit) -> str:
    return next((held.words for held in visit.held if held.verdict == "bad"), "")


def _in_vain(begun: Sequence[Visit]) -> list[str]:
    answered = {
        seen.check
        for visit in begun
        for group in visit.findings
        if group.words != COULD_NOT_GROUP
        for seen in group.findings
    }
    found: dict[str, list[str]] = {}
    for visit in begun:
        for group in visit.findings:
            for seen in group.findings if group.words == COULD_NOT_GROUP else ():
                if seen.check not in answered:
                    found.setdefault(seen.check, []).append(seen.said.words)
    return [f"{check}: {', '.join(dict.fromkeys(why))}{_times(len(why))}" for check, why in found.items()]


def _times(count: int) -> str:
    return "" if count == 1 else f" ({count} visits)"
