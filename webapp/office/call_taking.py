"""From the call's page to what is kept of the call."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from webapp.models.base import wall_time
from webapp.office.call_words import CALLS_FOR_WORDS, NOT_ASKED, QUESTIONS

if TYPE_CHECKING:
    from webapp.office.call_form import AppointmentForm, AskedForm
    from webapp.trade.record_types import CallNote

OWN_WORDS = ("home_words", "since_words", "lately_words", "lights_words")


def call_body(form: AskedForm) -> dict[str, Any]:
    """The body of `call_taken`: a question that nobody answered was not asked."""
    body: dict[str, Any] = {one.name: form[one.name].data or NOT_ASKED for one in QUESTIONS}
    body["said"] = _said(form, body)
    body["lately"] = list(form.lately.data or [])
    body |= {name: str(form[name].data) for name in OWN_WORDS if form[name].data}
    if since := form.no_hot_water_since():
        body["no_hot_water_since"] = since.isoformat()
    if form.resets_tried.data is not None:
        body["resets_tried"] = form.resets_tried.data
    return body


def asked_as_it_stands(call: CallNote) -> dict[str, Any]:
    """The form's values for a call that was taken, to be corrected."""
    answers = {one.name: call[one.name] for one in QUESTIONS if call[one.name] != NOT_ASKED}  # type: ignore[literal-required]
    words = {name: call[name] or "" for name in OWN_WORDS}  # type: ignore[literal-required]
    return {**answers, **words, "said": call["said"], "lately": call["lately"], "resets_tried": call["resets_tried"]}


def corrected_body(form: AskedForm, stood: CallNote | None) -> dict[str, Any]:
    """The call as it is heard now. Words about a day that were left alone keep the day that they meant when said.

    What was said to the caller was said, also where no answer calls for it any more.
    """
    body = call_body(form)
    if stood is not None:
        shown = _called_for(body)
        body["said"] += [one for one in stood["said"] if one not in shown and one not in body["said"]]
    if stood is not None and body.get("since_words") == stood["since_words"]:
        body.pop("no_hot_water_since", None)
        if stood["no_hot_water_since"]:
            body["no_hot_water_since"] = stood["no_hot_water_since"]
    return body


def _said(form: AskedForm, body: dict[str, Any]) -> list[str]:
    """What was ticked as said; a tick under words that no answer called for was never seen, and is left out."""
    return [name for name in form.said.data or [] if name in _called_for(body)]


def _called_for(body: dict[str, Any]) -> list[str]:
    return [one.say.id for one in QUESTIONS if body[one.name] in CALLS_FOR_WORDS]


def due_wall(form: AppointmentForm) -> str | None:
    """The appointment as it travels."""
    due = form.due()
    return wall_time(due) if due else None
