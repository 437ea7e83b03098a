"""What one visit looks like in the logbook: shapes only, ready to be shown."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from webapp.sites.clock import Noted
from webapp.sites.in_service import BackInService
from webapp.sites.never_measured import Never, never_lines
from webapp.sites.off_here import FoundRunning, OffHere
from webapp.sites.procedure_words import Said
from webapp.sites.trend import Trend


@dataclass(frozen=True)
class JobPlace:
    """Where a page of the logbook ends: the next one starts behind it."""

    moment: datetime
    job_id: str


@dataclass(frozen=True)
class Line:
    """One event of the timeline."""

    event_id: str
    kind: str
    who: str
    noted: Noted
    title: str
    said: Said | None = None
    detail: str = ""
    struck: str = ""
    """Where it no longer stands: who took it back or what stands in its place."""
    contradicted: bool = False
    times: int = 1
    """How often the same was noted, one after the other."""


@dataclass(frozen=True)
class LineGroup:
    """Lines of one person on one day, one after the other."""

    who: str
    moment: datetime | None
    lines: list[Line]


@dataclass(frozen=True)
class FindingSeen:
    """A check with the answer that stands."""

    check: str
    said: Said
    words: str = ""


@dataclass(frozen=True)
class FindingGroup:
    """Findings of one sort: those that were not right come first."""

    words: str
    findings: list[FindingSeen]


@dataclass(frozen=True)
class AnswerSeen:
    """One person's answer, where two people's differ."""

    who: str
    noted: Noted
    said: Said


@dataclass(frozen=True)
class Contradiction:
    """Two answers to one check, side by side."""

    check: str
    answers: list[AnswerSeen]


@dataclass(frozen=True)
class ReadingSeen:
    """A number with its unit."""

    quantity: str
    words: str
    value: str
    where: str
    """Place and state: `switch, hot`."""
    number: float | None = None
    noted: Noted | None = None
    beside: str = ""
    """`before the repair`, where something was repaired on that visit."""


@dataclass(frozen=True)
class PhotoSeen:
    """A photo, or its absence while it is still on the phone."""

    sha256: str
    words: str
    stored: bool


@dataclass(frozen=True)
class Below:
    """Somebody who went below and was not heard from since."""

    person_id: str
    who: str
    words: str
    """Due out when, how long ago that was, and whom to ring."""
    rang: str = ""
    """Who rang about them since, and nobody answered."""
    rang_note: str = ""
    """What is noted when nobody answers again."""


@dataclass(frozen=True)
class LeftOffSeen:
    """One entry of what was left off: a visit may have several, and each is put back for itself."""

    what: str
    words: str
    """What, why, who was told, who noted it, and when that got here."""
    stands: bool
    """Nobody has put it back."""


@dataclass(frozen=True)
class CameBack:
    """The visit that followed at the same address."""

    job_id: str
    moment: datetime
    words: str
    label: str
    """Its day, and its hour where both are of one day."""
    is_no_repeat: bool
    """It says nothing against what was done: both causes were named and differ, or a part was waited for."""


@dataclass(frozen=True)
class Visit:
    """One job, as the logbook tells it."""

    job_id: str
    site_id: str
    state: str
    moment: datetime
    technician: str
    complaint: str
    complaint_words: str
    found: list[str]
    done: list[str]
    held: list[Said]
    came_back: CameBack | None
    left_off: list[LeftOffSeen]
    codes: list[str]
    """What the control showed."""
    findings: list[FindingGroup]
    contradictions: list[Contradiction]
    readings: list[ReadingSeen]
    photos: list[PhotoSeen]
    never_measured: list[Never]
    """What the procedure asks for and nobody measured."""
    ended_at_first_looks: bool
    """Nothing but the first looks for safety was answered, and the heater was left off: the walk was never begun."""
    uncounted: str
    """What this version cannot read, counted in words; empty where there is nothing of the kind."""
    lines: list[Line] = field(default_factory=list)
    cause: str | None = None
    """The id of what stands found; None where it is none of the procedure's, or people disagree."""
    cause_words: str = ""
    brought_in: bool = False
    """From the company's old files: nobody walked it, so nothing was left unmeasured."""
    alarm: str = ""
    """What the caller said yes to, or was not sure of: `smell of gas, CO alarm (not sure)`."""
    unasked: list[str] = field(default_factory=list)
    """What the words of the call or of a note mention and nobody has asked, a line each; only until it is closed."""
    unsaid: list[str] = field(default_factory=list)
    """Words that the caller should have heard and nobody marked as said; only until it is closed."""
    call: list[tuple[str, str]] = field(default_factory=list)
    """What was asked on the phone: heading and words."""
    call_by: str = ""
    """`taken by Bo Ox, Fri 20 Nov, 10:00`."""
    booked_by: str = ""
    carried: list[str] = field(default_factory=list)
    """Instruments with their serials, and when they were calibrated."""
    carried_unnamed: str = ""
    """What is known of instruments where none is named: that there is nothing, or the CO meter of the first looks."""
    not_alike: list[str] = field(default_factory=list)
    """Where the caller alarmed and on site all was noted as well."""
    unsafe: list[str] = field(default_factory=list)
    """What it found unsafe and left so, where no heater was left off."""
    looked_again: list[str] = field(default_factory=list)
    """What it found unsafe and only looked at again; nothing shows that it was put right."""
    put_right_since: list[str] = field(default_factory=list)
    """What it found unsafe, looked at again, and put right after that."""
    corrected: list[str] = field(default_factory=list)
    """What was noted unsafe and called a wrong tap or a wrong number, or taken back."""
    not_looked: str = ""
    """Which looks for safety it ended without, where a heater may run since."""
    looked_last: list[str] = field(default_factory=list)
    """After the last hot run."""
    no_room_co_since_work: bool = False
    """CO in the room was read before a repair, and no figure of it stands after."""
    went: list[str] = field(default_factory=list)
    """Ids of everybody who noted something that only somebody on site can note."""
    there: tuple[datetime, datetime | None] | None = None
    """From when to when somebody was there: it is booked on one day and often made on another."""
    due: str = ""
    """The appointment."""
    cancelled: str = ""
    """Why nobody goes; only while it stands so."""
    settled: str = ""
    """Why nobody goes again, said after the close."""
    settled_by: str = ""
    """`said by Bo Ox, Fri 20 Nov, 10:00`."""
    begun: bool = True
    """Whether a phone has noted anything of the work itself."""
    below: list[Below] = field(default_factory=list)
    disagreements: list[str] = field(default_factory=list)
    """What two people said otherwise, beside the checks."""
    office_told: list[str] = field(default_factory=list)
    """Who rang the office about a heater left off, and when."""
    put_back: list[str] = field(default_factory=list)
    """What this visit noted of a heater that is in service again."""
    said_back: list[tuple[str, str, bool]] = field(default_factory=list)
    """What it noted as put back without what shows it safe: that ended nothing."""
    put_back_here: list[OffHere] = field(default_factory=list)
    """What of another visit it put back."""
    stands_off: bool = False
    """Something of what it left off, nobody has put back since."""
    found_running: list[FoundRunning] = field(default_factory=list)
    """Where a visit found something of it in service, and nobody has shown it to be safe."""
    back: list[BackInService] = field(default_factory=list)
    """Where other visits put something of it back, later."""

    @property
    def made(self) -> datetime:
        """When somebody was there; of a visit that nobody has made yet, or came from a file, where it stands."""
        return self.there[0] if self.there else self.moment

    @property
    def never_lines(self) -> list[str]:
        """What was never measured, check by check."""
        return never_lines(self.never_measured)

    @property
    def was_walked(self) -> bool:
        """Somebody could have measured there."""
        stopped_at_once = self.brought_in or self.ended_at_first_looks
        return self.begun and self.state != "booked" and not stopped_at_once


@dataclass(frozen=True)
class ReadingRow:
    """One quantity over the visits, in their order."""

    words: str
    values: list[str]
    trend: Trend | None = None
