"""The page of one job, with the forms that change its booking."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from typing import TYPE_CHECKING, Any, cast

from wtforms.fields import SelectChoice

from webapp.models.base import canonical_json
from webapp.office import heaters_off
from webapp.office.booked_beside import also_booked
from webapp.office.call_form import NO_APPOINTMENT, day_choices
from webapp.office.call_taking import due_wall
from webapp.office.calls_beside import calls_beside
from webapp.office.choices import complaint_choices, technician_choices
from webapp.office.forms import (
    CancelForm,
    CorrectForm,
    HeardForm,
    MoveForm,
    NoteForm,
    OfficeToldForm,
    PutBackForm,
    SettleForm,
)
from webapp.office.left_unsafe import LEFT_UNSAFE, left_unsafe, tells_who
from webapp.office.overdue import ringing_of
from webapp.office.said_then import SaidWhole, said_whole
from webapp.office.still_owed import still_owed
from webapp.office.urgency import nobody_goes
from webapp.office.urgency_queries import WAITING
from webapp.people.licences import licence_on
from webapp.people.service import get_person
from webapp.sites import one_door
from webapp.sites import service as sites
from webapp.sites.address_key import phone_key
from webapp.sites.brought_in import NOBODYS_ID
from webapp.sites.clock import moment_words

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.office.booked_beside import AlsoBooked
    from webapp.office.calls_beside import CallBeside
    from webapp.sites.one_door import DoubtfulPair
    from webapp.sites.service import JobPage
    from webapp.trade.record_types import Booked, Record


@dataclass
class JobDesk:
    """One state of the page; a form that was sent is the one that is read, the others stand as they were."""

    page: JobPage
    move: MoveForm
    correct: CorrectForm
    cancel: CancelForm
    put_back: PutBackForm
    told: OfficeToldForm
    heard: HeardForm
    note: NoteForm
    settle: SettleForm
    standing: list[tuple[str, str]]
    """What was left off by this job, and nobody has put back in service: the event's id, and what it was."""
    also_booked: list[AlsoBooked]
    """Other jobs that stand booked at its address."""
    calls_beside: list[CallBeside]
    """Other calls from the address that alarm, and that this job has not looked into."""
    owed: list[str]
    """Closed so that somebody has to go again, and nothing is booked, what can hurt first; empty where it is not so."""
    doubts: list[DoubtfulPair]
    """Other entries that its address may be the same as."""
    licences: list[str]
    """What is kept of whoever went or goes, for the day on which they went."""
    said_whole: list[SaidWhole]
    """What was read out to the caller."""
    booked: Booked | None
    """The booking as it stands, corrections and all."""
    whose_ring: str
    """Of the one who is below: whose number was given to be rung."""

    @classmethod
    def opened(cls, session: Session, job_id: str, sent: str = "") -> JobDesk:
        """The page; `sent` names the form that was sent, if one was."""
        page = sites.read_job(session, job_id)
        move = MoveForm(**_data_if(sent == "move"))
        move.technician_id.choices = technician_choices(session)
        correct = CorrectForm(**_data_if(sent == "correct"))
        correct.complaint.choices = complaint_choices(session)
        correct.due_day.choices = _appointments(promised=bool(page.job.due_wall))
        booked = page.job.record["booked"] if page.job.record else None
        standing = heaters_off.standing_here(session, page.job)
        if booked and sent != "correct":
            correct.complaint.data = f"{booked['procedure_name']}/{booked['complaint']}"
            correct.complaint_words.data, correct.phone.data = booked["complaint_words"], booked["phone"] or ""
        return cls(
            page=page,
            move=move,
            correct=correct,
            cancel=CancelForm(**_data_if(sent == "cancel")),
            put_back=PutBackForm(**_data_if(sent == "put_back")),
            told=OfficeToldForm(**_data_if(sent == "told")),
            heard=HeardForm(**_data_if(sent == "heard")),
            note=NoteForm(**_data_if(sent == "note")),
            settle=SettleForm(**_data_if(sent == "settle")),
            standing=standing,
            calls_beside=calls_beside(session, datetime.now(UTC), page.site.group_id).get(page.job.id, []),
            also_booked=also_booked(session, [(page.job, page.site.group_id)]).get(page.job.id, []),
            owed=_owed(session, page.job.id) if page.job.state == "closed" else [],
            doubts=one_door.pairs_of(session, page.site.id) if page.visit.state in WAITING else [],
            licences=_licences(session, page),
            said_whole=said_whole(session, cast("Record | None", page.job.record)),
            booked=booked,
            whose_ring=_whose_ring(session, page),
        )

    @property
    def hears(self) -> str:
        """Who hears of what was just said; nothing where no phone has the job."""
        return "The phone hears of it as soon as it has signal." if self.page.job.technician_id else ""

    @property
    def is_wet(self) -> str:
        """`yes` or `unsure` where the caller spoke of water where it should not be; only until it is closed."""
        call = self.page.job.record["call"] if self.page.job.record else None
        said = str(call["water_leak"]) if call and self.page.visit.state in WAITING else ""
        return said if said in ("yes", "unsure") else ""

    @property
    def own_phone(self) -> str:
        """The number to ring about this job, where it is another than the address's."""
        said = (self.booked["phone"] if self.booked else None) or ""
        return said if phone_key(said) != phone_key(self.page.site.phone) else ""

    @property
    def ring(self) -> str:
        """The number that leads to whoever rang."""
        return self.own_phone or self.page.site.phone

    @property
    def no_address(self) -> bool:
        """Nobody has said the street: there is nowhere to send anybody."""
        return not self.page.site.street and self.page.visit.state == "booked"

    @property
    def nobody_goes(self) -> bool:
        """Who goes is to be decided."""
        return nobody_goes(self.page.job)

    @property
    def stands(self) -> str:
        """The booking as it stands now, as a mark that changes with it."""
        booked, due = dict(self.booked or {}), self.page.job.due_wall
        told = [booked.get(name) for name in ("complaint", "procedure_name", "complaint_words", "phone")]
        return sha256(canonical_json([*told, due]).encode()).hexdigest()

    def sent_words(self, technician_id: str) -> str:
        """What was done by sending them; the page still stands as it was before."""
        if self.page.job.technician_id:
            return "Moved. Both phones hear of it as soon as they have signal."
        name = dict(self.move.technician_id.choices).get(technician_id, "").partition(":")[0]
        return f"{name} goes. The phone hears of it as soon as it has signal."

    def _meanwhile(self) -> str:
        """Two at one booking: the second reads what the first made of it before anything is taken back."""
        booked = dict(self.booked or {})
        words, ring = booked.get("complaint_words") or "", booked.get("phone") or "no number of its own"
        due = self.page.visit.due or "none"
        return (
            "Somebody corrected this booking meanwhile. It stands now: "
            f"{self.page.visit.complaint}, “{words}”, phone {ring}, appointment {due}. "
            "Take over what is right of it below, and send again: then yours counts."
        )

    def changed(self) -> dict[str, Any]:
        """What the correction says otherwise than the booking; what was emptied stays as it is."""
        procedure_name, _, complaint = str(self.correct.complaint.data or "").partition("/")
        said = {
            "complaint": complaint,
            "procedure_name": procedure_name,
            "complaint_words": self.correct.complaint_words.data,
            "phone": self.correct.phone.data,
            "due_wall": due_wall(self.correct),
        }
        stood = {**dict(self.booked or {}), "due_wall": self.page.job.due_wall}
        changed: dict[str, Any] = {n: str(words) for n, words in said.items() if words and words != stood.get(n)}
        return changed | ({"due_cleared": True} if self.correct.due_cleared() else {})

    def valid_correction(self) -> bool:
        """Whether there is something to correct, and a reason for it."""
        if not self.correct.validate_on_submit():
            return False
        if self.correct.stood.data and self.correct.stood.data != self.stands:
            self.correct.complaint_words.errors = [self._meanwhile()]
            return False
        if self.changed():
            return True
        self.correct.why.errors = ["Nothing above is changed yet."]
        return False

    def valid_put_back(self, session: Session) -> bool:
        """Whether what was heard can be: nothing is put back before it was left off."""
        if not self.put_back.validate_on_submit():
            return False
        at, off = self.put_back.back_at(), heaters_off.left_off_at(session, self.put_back.left_off_ids.data or [])
        if at is None or off is None or at >= off.replace(second=0, microsecond=0):
            return True
        self.put_back.back_when.errors = [f"That is before it was left off, {moment_words(off)}."]
        return False

    @property
    def owes_danger(self) -> bool:
        """What was left to do can hurt somebody."""
        return LEFT_UNSAFE in self.owed

    def valid_settling(self) -> bool:
        """Whether it is told why; of a danger also who put it right, or sees to it."""
        if not self.settle.validate_on_submit():
            return False
        if not self.owes_danger or tells_who(self.settle.why.data):
            return True
        self.settle.why.errors = ["More than one word: who put it right and how, or who sees to it."]
        return False


def _owed(session: Session, job_id: str) -> list[str]:
    """What can hurt first."""
    danger = [LEFT_UNSAFE] if left_unsafe(session, job_id) else []
    return danger + list(still_owed(session, datetime.now(UTC), job_id).values())


def _whose_ring(session: Session, page: JobPage) -> str:
    """Of two below each gave a number; which is whose is then not said here."""
    told = ringing_of(session, [page.job.id]) if len(page.visit.below) == 1 else {}
    return told[page.job.id].whose if page.job.id in told else ""


def _licences(session: Session, page: JobPage) -> list[str]:
    """A line each; with the name where it is not said already."""
    job, went = page.job, page.visit.went
    ids = went or ([job.technician_id] if job.technician_id not in (None, NOBODYS_ID) else [])
    people = [person for one in ids if one and (person := get_person(session, one))]
    told = [(person.name, licence_on(session, person, job.opened_at or datetime.now(UTC))) for person in people]
    return [f"{name}: {licence}" if len(ids) > 1 else licence for name, licence in told]


def _appointments(*, promised: bool) -> list[SelectChoice]:
    """The days, and that none stands any more where one was promised."""
    none = [SelectChoice(NO_APPOINTMENT, "None any more")] if promised else []
    return [SelectChoice("", "Leave it as it is"), *none, *day_choices()[1:]]


def _data_if(sent: bool) -> dict[str, None]:  # noqa: FBT001  the only question
    """What makes a form read what was sent, or stay empty."""
    return {} if sent else {"formdata": None}
