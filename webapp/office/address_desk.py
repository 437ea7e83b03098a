"""The page on which an address is corrected: it is said anew, whole, and the last word counts."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from webapp.errors import NotFound
from webapp.models.base import canonical_json
from webapp.office import queries
from webapp.office.booking_desk import ADDRESS_FIELDS
from webapp.office.forms import AddressForm
from webapp.people.service import Draft, record_office_events

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import Person, Site


@dataclass
class AddressDesk:
    """One state of the page."""

    site: Site
    form: AddressForm

    @classmethod
    def opened(cls, session: Session, site_id: str, *, sent: bool = False) -> AddressDesk:
        """The page, filled in with the address as it stands."""
        site = queries.get_site(session, site_id)
        if site is None:
            raise NotFound("There is no such address here.")
        form = AddressForm() if sent else AddressForm(None, data=_as_it_stands(site))
        return cls(site, form)

    @property
    def stands(self) -> str:
        """The address as it stands now, as a mark that changes with it."""
        return sha256(canonical_json(_as_it_stands(self.site)).encode()).hexdigest()

    def body(self) -> dict[str, Any] | None:
        """What is to be kept; nothing where something is unclear, or nothing was changed."""
        if not self.form.validate_on_submit():
            return None
        if self.form.stood.data and self.form.stood.data != self.stands:
            there = ", ".join(words for words in _as_it_stands(self.site).values() if words)
            self.form.street.errors = [
                f"Somebody corrected it meanwhile. It stands now: {there}. Look, and send again."
            ]
            return None
        said = {name: str(self.form[name].data or "") for name in ADDRESS_FIELDS}
        if said == _as_it_stands(self.site):
            self.form.street.errors = ["Nothing is changed yet."]
            return None
        return {name: words for name, words in said.items() if words}


def correct_address(session: Session, person: Person, site_id: str, body: dict[str, Any]) -> None:
    """Record how the address is; its visits stay its visits, and how it was said before stays in the events."""
    draft: Draft = {"site_id": site_id, "kind": "address_given", "body": body}
    record_office_events(session, person, [draft])


def _as_it_stands(site: Site) -> dict[str, str]:
    return {name: getattr(site, name) or "" for name in ADDRESS_FIELDS}
