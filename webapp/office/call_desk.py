"""The page on which what the caller said is corrected."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from webapp.errors import NotFound
from webapp.office import moving, queries
from webapp.office.call_form import CorrectedCallForm
from webapp.office.call_taking import asked_as_it_stands, corrected_body
from webapp.office.call_words import CALLS_FOR_WORDS, QUESTIONS
from webapp.sites.office_event_words import ASKED_WORDS

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import Job, Person, Site
    from webapp.trade.record_types import CallNote


@dataclass
class CallDesk:
    """One state of the page."""

    job: Job
    site: Site | None
    form: CorrectedCallForm
    own: CallNote | None
    """What this person wrote; None where somebody else took the call."""
    others: bool
    """Somebody else's words stand too, and go on standing."""

    @classmethod
    def opened(cls, session: Session, person: Person, job_id: str, *, sent: bool = False) -> CallDesk:
        """The page, filled in with this person's own words, else with the last ones."""
        job = queries.get_job(session, job_id)
        if job is None:
            raise NotFound("There is no such job here.")
        calls = moving.calls_of(job)
        own = [call for call in calls if call["by"]["person_id"] == person.id]
        stood = (own or calls)[-1:]
        form = (
            CorrectedCallForm() if sent else CorrectedCallForm(None, data=asked_as_it_stands(stood[0]) if stood else {})
        )
        return cls(job, queries.get_site(session, job.site_id), form, own[-1] if own else None, len(calls) > len(own))

    def body(self) -> dict[str, Any] | None:
        """What is to be kept; nothing where something is unclear or nothing was changed."""
        if not self.form.validate_on_submit():
            return None
        body = corrected_body(self.form, self.own or next(reversed(moving.calls_of(self.job)), None))
        if self.own is not None and all(body.get(name) == value for name, value in self.own.items() if name != "by"):
            self.form.smell_of_gas.errors = ["Nothing is changed yet."]
            return None
        back = self.taken_back(body)
        if back and not self.form.why.data:
            self.form.why.errors = [f"Say why: {back} was heard on the phone."]
            return None
        return body

    def taken_back(self, body: dict[str, Any]) -> str:
        """What this person heard as an alarm and now says was none."""
        own: Any = self.own or {}
        back = [
            one for one in QUESTIONS if own.get(one.name) in CALLS_FOR_WORDS and body[one.name] not in CALLS_FOR_WORDS
        ]
        return ", ".join(ASKED_WORDS[one.name] for one in back)

    def why_words(self, body: dict[str, Any]) -> str:
        """The note that goes with it; empty where nobody has to say why."""
        back, why = self.taken_back(body), self.form.why.data
        what = f", not so: {back}" if back else ""
        return f"The call corrected{what}. Why: {why}" if why else ""
