"""The tables, one a file."""

from webapp.models.base import Base, canonical_json
from webapp.models.company_setting import CompanySetting
from webapp.models.device import Device
from webapp.models.enrol_code import EnrolCode
from webapp.models.event import EventRow
from webapp.models.finding import Finding
from webapp.models.held_event import HeldEvent
from webapp.models.job import Job
from webapp.models.job_outcome import JobOutcome
from webapp.models.left_off import PutBackOf, StandingOff
from webapp.models.meta import Meta
from webapp.models.model_sheet import ModelSheetVersion
from webapp.models.person import Person, Role
from webapp.models.person_change import PersonChange
from webapp.models.photo import Photo, PhotoUse
from webapp.models.procedure_version import ProcedureVersion
from webapp.models.reading import Reading
from webapp.models.site import Site
from webapp.models.throttle import Throttle

__all__ = [
    "Base",
    "CompanySetting",
    "Device",
    "EnrolCode",
    "EventRow",
    "Finding",
    "HeldEvent",
    "Job",
    "JobOutcome",
    "Meta",
    "ModelSheetVersion",
    "Person",
    "PersonChange",
    "Photo",
    "PhotoUse",
    "ProcedureVersion",
    "PutBackOf",
    "Reading",
    "Role",
    "Site",
    "StandingOff",
    "Throttle",
    "canonical_json",
]
