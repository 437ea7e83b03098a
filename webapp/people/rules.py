"""Who may call what: the one place. An endpoint without a row here is closed to everybody."""

from __future__ import annotations

from enum import StrEnum

from webapp.models import Role


class Rule(StrEnum):
    """The rules there are."""

    ANYONE = "anyone"
    SIGNED_IN = "signed_in"
    STAFF = "staff"
    OWNER = "owner"
    PHONE = "phone"
    PHONE_EVEN_CLOSED = "phone_even_closed"


ROLES: dict[Rule, frozenset[str]] = {
    Rule.SIGNED_IN: frozenset({Role.TECHNICIAN, Role.DISPATCHER, Role.OWNER}),
    Rule.STAFF: frozenset({Role.DISPATCHER, Role.OWNER}),
    Rule.OWNER: frozenset({Role.OWNER}),
}

RULES: dict[str, Rule] = {
    # Whole features.
    "audit": Rule.OWNER,
    "importing": Rule.STAFF,
    "jobsheet": Rule.STAFF,
    "look": Rule.ANYONE,
    "office": Rule.STAFF,
    "people": Rule.STAFF,
    "sheets": Rule.STAFF,
    "staff": Rule.OWNER,
    "shell": Rule.ANYONE,
    "sync": Rule.PHONE,
    # Single endpoints: they win over their feature's row.
    "healthz": Rule.ANYONE,
    "people.show_sign_in": Rule.ANYONE,
    "people.sign_in": Rule.ANYONE,
    "people.sign_out": Rule.ANYONE,
    "sheets.save_company": Rule.OWNER,
    "sync.enrol": Rule.ANYONE,
    "sync.openapi": Rule.ANYONE,
    # A closed phone may still hand in what it holds; it is kept apart.
    "sync.push_events": Rule.PHONE_EVEN_CLOSED,
}


def rule_of(endpoint: str) -> Rule | None:
    """The endpoint's own rule, else its feature's."""
    return RULES.get(endpoint) or RULES.get(endpoint.rpartition(".")[0])
