"""The shape of a job's record: what `record.fold_job` makes from the events. All lists are in fold order."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Literal, TypedDict

    from .events import CloseState, CouldNotReason

    class Mark(TypedDict):
        """Who wrote it, on which phone, when by that phone's clock (for display only)."""

        event_id: str
        person_id: str
        device_id: str
        lamport: int
        at_wall: str
        clock_offset: int | None

    class Booked(TypedDict):
        complaint: str
        complaint_words: str
        technician_id: str
        procedure_name: str
        phone: str | None
        due_wall: str | None
        by: Mark

    class Moved(TypedDict):
        technician_id: str | None
        due_wall: str | None
        why: str | None
        by: Mark

    class Opened(TypedDict):
        procedure_hash: str
        by: Mark

    class ArrivedAt(TypedDict):
        words: str | None
        by: Mark

    class Code(TypedDict):
        shown: Literal["flashes", "text", "dark", "steady"]
        flashes: int | None
        text: str | None
        meaning_words: str | None
        by: Mark

    class Answer(TypedDict):
        """One answer as it was given. `current`: the last word of that person, before or after the repair."""

        outcome: str | None
        could_not: CouldNotReason | None
        words: str | None
        minutes_since_fired: float | None
        after_repair: bool
        current: bool
        by: Mark

    class CheckFinding(TypedDict):
        """A check as it was found (before the first repair, where there is such an answer) and as it is now."""

        check: str
        state: Literal["answered", "could_not", "contradicted"]
        outcome: str | None
        could_not: CouldNotReason | None
        now_state: Literal["answered", "could_not", "contradicted"]
        now_outcome: str | None
        entries: list[Answer]

    class Reading(TypedDict):
        check: str | None
        quantity: str
        value: float
        place: str | None
        state: Literal["cold", "hot", "dead", "live"] | None
        instrument_words: str | None
        by: Mark

    class PhotoNote(TypedDict):
        sha256: str
        length_bytes: int
        media_type: str
        width_px: int
        height_px: int
        check: str | None
        words: str | None
        by: Mark

    class VentSurvey(TypedDict):
        nominal_in: float
        straight_ft: float
        elbows_90: int
        elbows_45: int
        limit_equivalent_ft: float | None
        limit_elbows: int | None
        words: str | None
        by: Mark

    class CauseNote(TypedDict):
        cause: str
        words: str | None
        by: Mark

    class RepairNote(TypedDict):
        action: str
        words: str | None
        by: Mark

    class PartNote(TypedDict):
        part_words: str
        count: int
        direction: Literal["fitted", "removed"]
        by: Mark

    class ProofNote(TypedDict):
        """`cause` is the cause that stood named when the proof was run."""

        passed: bool
        minutes: float
        restarts: int
        suction_before_in_wc: float | None
        suction_hot_in_wc: float | None
        co_room_ppm: float | None
        looks_done: list[str]
        words: str | None
        cause: str | None
        by: Mark

    class LeftOffNote(TypedDict):
        what_words: str
        why_words: str
        told_words: str
        by: Mark

    class NoteLine(TypedDict):
        words: str
        by: Mark

    class Closed(TypedDict):
        state: CloseState
        words: str | None
        by: Mark

    class ApplianceNote(TypedDict):
        appliance_id: str
        kind: str
        fuel: Literal["natural_gas", "propane"] | None
        maker_words: str | None
        model_words: str | None
        serial_words: str | None
        input_btu_h: float | None
        by: Mark

    class SheetNote(TypedDict):
        quantity: str
        value: float
        where: Literal["plate", "sheet", "part_label"]
        by: Mark

    class UnknownKind(TypedDict):
        kind: str
        schema: int
        count: int

    class Unreadable(TypedDict):
        """An event that could not be read. `why` is a field's name, "envelope", "id_reused" or "other_job"."""

        event_id: str
        kind: str
        why: str

    class Record(TypedDict):
        fold_version: int
        site_id: str | None
        job_id: str | None
        state: Literal["booked", "open", "closed"]
        booked: Booked | None
        moves: list[Moved]
        technician_id: str | None
        due_wall: str | None
        opened: Opened | None
        arrived: ArrivedAt | None
        arrivals: list[ArrivedAt]
        codes: list[Code]
        checks: list[CheckFinding]
        readings: list[Reading]
        photos: list[PhotoNote]
        vent_surveys: list[VentSurvey]
        hunches: list[CauseNote]
        causes: list[CauseNote]
        cause: str | None
        causes_disagree: bool
        repairs: list[RepairNote]
        parts: list[PartNote]
        proofs: list[ProofNote]
        proven: bool
        left_off: list[LeftOffNote]
        notes: list[NoteLine]
        closed: Closed | None
        appliances: list[ApplianceNote]
        sheet: list[SheetNote]
        people: list[str]
        unknown: list[UnknownKind]
        unreadable: list[Unreadable]
        lamport: int
        event_count: int
