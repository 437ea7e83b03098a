"""What can happen: the kinds of event, and the shape of each body, schema by schema.

The envelope is fixed (docs/sync.md). Bodies grow: a new shape is a new schema number, and every number ever shipped
stays here. Quantities carry their unit in their name. Source: this project's own format; no outside standard fixes it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Any, Literal, NotRequired, TypedDict

    CouldNotReason = Literal["no_access", "no_tool", "unsafe", "refused", "cannot_tell", "not_fitted"]
    CloseState = Literal[
        "proven", "not_proven", "not_seen_today", "waiting_part", "declined", "handed_over", "replaced", "left_off"
    ]

    class Event(TypedDict):
        """The envelope, as it travels and as it is stored."""

        id: str
        site_id: str
        job_id: str | None
        person_id: str
        device_id: str
        dev_seq: int
        lamport: int
        at_wall: str
        clock_offset: int | None
        kind: str
        schema: int
        replaces: list[str]
        body: dict[str, Any]

    class AddressGiven(TypedDict):
        """Where it is and whom to ring. `job_id` is null."""

        street: str
        town: str
        postcode: NotRequired[str]
        customer_name: NotRequired[str]
        phone: NotRequired[str]
        access_words: NotRequired[str]

    class JobBooked(TypedDict):
        """A call was taken and a technician is sent."""

        complaint: str  # a complaint id of the procedure, e.g. "no_hot_water"
        complaint_words: str  # in the caller's own words
        technician_id: str
        procedure_name: str
        phone: NotRequired[str]
        due_wall: NotRequired[str]

    class JobMoved(TypedDict):
        technician_id: NotRequired[str]
        due_wall: NotRequired[str]
        why: NotRequired[str]

    class JobOpened(TypedDict):
        """The technician began; the walk keeps this version of the procedure for good."""

        procedure_hash: str

    class Arrived(TypedDict):
        words: NotRequired[str]

    class CodeRead(TypedDict):
        """What the control showed, as read, before anything was unplugged."""

        shown: Literal["flashes", "text", "dark", "steady"]
        flashes: NotRequired[int]
        text: NotRequired[str]
        meaning_words: NotRequired[str]  # from the label in front of the technician, typed by them

    class CheckAnswered(TypedDict):
        """One check: an outcome, or the reason why it could not be checked; never both."""

        check: str
        outcome: str | None
        could_not: CouldNotReason | None
        words: NotRequired[str]
        minutes_since_fired: NotRequired[float]

    class ReadingTaken(TypedDict):
        """A number, with the unit in `quantity` (`suction_in_wc`, `limit_ohm`, …)."""

        check: str | None
        quantity: str
        value: float
        place: NotRequired[str]  # "switch", "tap", …
        state: NotRequired[Literal["cold", "hot", "dead", "live"]]
        instrument_words: NotRequired[str]

    class PhotoTaken(TypedDict):
        sha256: str
        length_bytes: int
        media_type: str
        width_px: int
        height_px: int
        check: str | None
        words: NotRequired[str]

    class VentSurveyed(TypedDict):
        nominal_in: float
        straight_ft: float
        elbows_90: int
        elbows_45: int
        limit_equivalent_ft: NotRequired[float]  # typed from the sheet
        limit_elbows: NotRequired[int]  # typed from the sheet
        words: NotRequired[str]

    class Hunch(TypedDict):
        cause: str
        words: NotRequired[str]

    class CauseNamed(TypedDict):
        cause: str  # a cause id of the procedure, or "other"
        words: NotRequired[str]  # why; asked for when it is not the ranking's first

    class RepairMade(TypedDict):
        action: str  # a repair id of the procedure, or "other"
        words: NotRequired[str]

    class PartUsed(TypedDict):
        part_words: str
        count: int
        direction: Literal["fitted", "removed"]

    class ProofRun(TypedDict):
        """The hot run after the repair."""

        passed: bool
        minutes: float
        restarts: int
        suction_before_in_wc: NotRequired[float]
        suction_hot_in_wc: NotRequired[float]
        co_room_ppm: NotRequired[float]
        looks_done: list[str]  # closing looks of the procedure that were done
        words: NotRequired[str]

    class LeftOff(TypedDict):
        """Unsafe equipment, off and tagged."""

        what_words: str
        why_words: str
        told_words: str

    class Note(TypedDict):
        words: str

    class Withdrawn(TypedDict):
        """Pure undo of what `replaces` names."""

        why: NotRequired[str]

    class JobClosed(TypedDict):
        state: CloseState
        words: NotRequired[str]

    class ApplianceDescribed(TypedDict):
        appliance_id: str
        kind: str  # a procedure name, e.g. "power_vent"
        fuel: NotRequired[Literal["natural_gas", "propane"]]
        maker_words: NotRequired[str]
        model_words: NotRequired[str]
        serial_words: NotRequired[str]
        input_btu_h: NotRequired[float]

    class SheetNumber(TypedDict):
        """A maker's figure, typed on site, to be confirmed against the photo."""

        quantity: str  # e.g. "make_point_in_wc"
        value: float
        where: Literal["plate", "sheet", "part_label"]

    class SameAddress(TypedDict):
        other_site_id: str

    class NotSameAddress(TypedDict):
        other_site_id: str
