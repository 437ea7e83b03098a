"""The page of one job, with the forms that change its booking."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.office.call_taking import due_wall
from webapp.office.choices import complaint_choices, technician_choices
from webapp.office.forms import CancelForm, CorrectForm, MoveForm
from webapp.sites import service as sites

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.sites.service import JobPage
    from webapp.trade.record_types import Booked


@dataclass
class JobDesk:
    """One state of the page; a form that was sent is the one that is read, the others stand as they were."""

    page: JobPage
    move: MoveForm
    correct: CorrectForm
    cancel: CancelForm
    booked: Booked | None
    """The booking as it stands, corrections and all."""

    @classmethod
    def opened(cls, session: Session, job_id: str, sent: str = "") -> JobDesk:
        """The page; `sent` names the form that was sent, if one was."""
        page = sites.read_job(session, job_id)
        move = MoveForm() if sent == "move" else MoveForm(formdata=None)
        move.technician_id.choices = technician_choices(session)
        correct = CorrectForm() if sent == "correct" else CorrectForm(formdata=None)
        correct.complaint.choices = complaint_choices(session)
        cancel = CancelForm() if sent == "cancel" else CancelForm(formdata=None)
        booked = page.job.record["booked"] if page.job.record else None
        if booked and sent != "correct":
            correct.complaint.data = f"{booked['procedure_name']}/{booked['complaint']}"
            correct.complaint_words.data, correct.phone.data = booked["complaint_words"], booked["phone"] or ""
        return cls(page, move, correct, cancel, booked)

    def changed(self) -> dict[str, str]:
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
        return {name: str(words) for name, words in said.items() if words and words != stood.get(name)}

    def valid_correction(self) -> bool:
        """Whether there is something to correct, and a reason for it."""
        if not self.correct.validate_on_submit():
            return False
        if self.changed():
            return True
        self.correct.why.errors = ["Nothing above is changed yet."]
        return False
