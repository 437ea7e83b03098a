"""The call's page: its form, what is known of the address, and when all of it is a booking."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from flask import request
from wtforms.validators import Optional

from webapp.models.ids import new_id
from webapp.office import queries
from webapp.office.booking import DECIDE_LATER, NEW_ADDRESS, Booking, likely_same
from webapp.office.call_taking import call_body, due_wall
from webapp.office.call_words import CALLS_FOR_WORDS, QUESTIONS
from webapp.office.choices import NOBODY_YET, booking_choices, complaint_choices
from webapp.office.forms import BookingForm
from webapp.office.known_kind import kind_to_book
from webapp.office.mentions import mentions_of
from webapp.sites import finding
from webapp.sites.address_key import street_key, words_key
from webapp.sites.near_spelling import nearest_streets, nearly_same_street
from webapp.sites.street_parts import parts_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy.orm import Session

    from webapp.models import Site
    from webapp.sites.finding import Match

ADDRESS_TOLD_BY = ("street", "town", "phone", "customer_name")
MAY_BE_TOLD = 3
WHERE = "Where is it? The street and its number. They hung up before saying it: choose “decide later” beside it."
WHICH_NUMBER = "Without a street, which number did they ring from? Nothing else leads back to them."
ADDRESS_FIELDS = ("street", "town", "postcode", "customer_name", "phone", "access_words")


@dataclass
class BookingDesk:
    """One state of the page."""

    form: BookingForm
    matches: list[Match]
    looking: bool
    """Only the address is being looked for: nothing is to be booked yet."""
    mentions: list[str] = field(default_factory=list)
    """What the typed words mention while the question about it is not answered."""

    @classmethod
    def opened(cls, session: Session, site_id: str | None) -> BookingDesk:
        """The page before anything is typed, with a known address filled in where one was chosen."""
        form = _form(session)
        form.job_id.data = new_id()
        site = queries.get_site(session, site_id) if site_id else None
        if site is not None:
            _fill_in(form, site)
        return cls(form, _matches(session, form), looking=True)

    @classmethod
    def sent(cls, session: Session) -> BookingDesk:
        """The page as it was sent."""
        form = _form(session)
        return cls(form, _matches(session, form), looking="look" in request.form, mentions=mentions_of(request.form))

    def booking(self) -> Booking | None:
        """The booking, or nothing: the form then says what is missing."""
        if self.looking or not self._valid():
            return None
        form, chosen = self.form, self._chosen()
        taken = kind_to_book(str(form.complaint.data), chosen.only_kind if chosen else "", form.complaint.choices)
        return Booking(
            job_id=str(form.job_id.data),
            site_id=chosen.site.id if chosen else new_id(),
            is_new=chosen is None,
            address={name: str(form[name].data or "") for name in ADDRESS_FIELDS},
            procedure_name=taken.procedure_name,
            complaint=taken.complaint,
            known_here=taken.words,
            kind_note=taken.note,
            complaint_words=str(form.complaint_words.data),
            technician_id=self._technician_id(),
            call=call_body(form),
            due_wall=due_wall(form),
            may_be=() if chosen else self._may_be(),
            is_doubtful=chosen is None and self._is_doubtful(),
        )

    @property
    def chosen_id(self) -> str:
        """The known address that is chosen, `new`, or nothing."""
        return str(self.form.site_id.data or "")

    @property
    def typed(self) -> dict[str, str]:
        """What the address was looked for by."""
        return {name: str(self.form[name].data or "") for name in ADDRESS_TOLD_BY}

    @property
    def _door(self) -> dict[str, str]:
        return {name: self.typed[name] for name in ("street", "town", "phone")}

    def _chosen(self) -> Match | None:
        """The match that was chosen; where nothing was, the same door, if there is exactly one."""
        if not self.chosen_id:
            exact = [match for match in self.matches if match.exact]
            return exact[0] if len(exact) == 1 else None
        return next((match for match in self.matches if match.site.id == self.chosen_id), None)

    def _is_doubtful(self) -> bool:
        """Never a reason not to book: it waits on the list of doubtful addresses."""
        if self.chosen_id == NEW_ADDRESS:
            return False
        return self._put_off or bool(self._may_be() or likely_same(self.matches, **self._door))

    def _may_be(self) -> tuple[Site, ...]:
        """What was in sight while it was put off; where nothing was chosen, what sounds like the typed street."""
        if self.chosen_id and not self._put_off:
            return ()
        sites = [match.site for match in self.matches if self._put_off or self._sounds_like(match.site)]
        return tuple(sites[:MAY_BE_TOLD])

    def _sounds_like(self, known: Site) -> bool:
        street, town = self.typed["street"], words_key(self.typed["town"])
        same_number = parts_of(street).number == parts_of(known.street).number
        return same_number and words_key(known.town) in ("", town) and self._misheard(known)

    @property
    def _put_off(self) -> bool:
        return self.chosen_id == DECIDE_LATER

    @property
    def _only_the_call(self) -> bool:
        """They hung up before the street: number and words are kept, and nobody can be sent."""
        return self._put_off and not self.form.street.data

    @property
    def _alarms(self) -> bool:
        return any(self.form[one.name].data in CALLS_FOR_WORDS for one in QUESTIONS)

    def _valid(self) -> bool:
        if self._only_the_call:
            self.form.technician_id.validators = [Optional()]
        typed_well = bool(self.form.validate_on_submit())
        return self._place_decided() and typed_well

    def _place_decided(self) -> bool:
        chosen = self._chosen()
        if chosen is not None:
            return self._same_door(chosen)
        wanted = {"street": WHERE, "town": "Which town?"}
        if self._only_the_call:  # who alarmed from a withheld number is kept all the same
            wanted = {} if self._alarms else {"phone": WHICH_NUMBER}
        missing = [name for name in wanted if not self.form[name].data]
        for name in missing:
            self._say(name, wanted[name])
        return not missing and self._somewhere_to_go()

    def _somewhere_to_go(self) -> bool:
        if self._only_the_call and self._technician_id():
            self._say("technician_id", "Nobody can be sent without a street. Choose “Nobody yet”, and ring back first.")
            return False
        return True

    def _technician_id(self) -> str | None:
        chosen = str(self.form.technician_id.data or "")
        return None if chosen in ("", NOBODY_YET) else chosen

    def _same_door(self, chosen: Match) -> bool:
        """A technician must not be sent to one door while another one was typed."""
        typed, known = set(street_key(self.typed["street"]).split()), set(street_key(chosen.site.street).split())
        if typed <= known or chosen.exact or self._misheard(chosen.site):
            return True
        self._say("site_id", f"You typed {self.typed['street']}, but chose {chosen.site.street}. Which one is it?")
        return False

    def _misheard(self, chosen: Site) -> bool:
        """The chosen street in another spelling; not where what was typed is a known door itself."""
        street = self.typed["street"]
        if nearly_same_street(street, chosen.street):
            return True
        itself = any(street_key(match.site.street) == street_key(street) for match in self.matches)
        return not itself and bool(nearest_streets(street, [(chosen.id, chosen.street)]))

    def _say(self, name: str, words: str) -> None:
        self.form[name].errors = [*self.form[name].errors, words]


def _form(session: Session) -> BookingForm:
    form = BookingForm()
    form.complaint.choices = complaint_choices(session, or_not_known=True)
    form.technician_id.choices = booking_choices(session)
    return form


def _fill_in(form: BookingForm, site: Site) -> None:
    form.site_id.data = site.id
    for name in ADDRESS_FIELDS:
        form[name].data = getattr(site, name)


def matches_of(session: Session, typed: Mapping[str, str], chosen_id: str) -> list[Match]:
    """Known addresses for what the caller has said so far."""
    street, town, phone, name = (typed[field] for field in ADDRESS_TOLD_BY)
    return finding.find_matches(session, street=street, town=town, phone=phone, name=name, chosen_id=chosen_id)


def _matches(session: Session, form: BookingForm) -> list[Match]:
    typed = {name: str(form[name].data or "") for name in ADDRESS_TOLD_BY}
    return matches_of(session, typed, str(form.site_id.data or ""))
