"""The shape of a job's record: what `record.fold_job` makes from the events. All lists are in fold order."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Literal, NotRequired, TypedDict

    from .events import CallAnswer, CloseState, CouldNotReason2, InstrumentKind, PhotoAbout

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
        technician_id: str | None  # as it was booked; null: nobody yet
        procedure_name: str
        phone: str | None
        due_wall: str | None
        by: Mark

    class Moved(TypedDict):
        """What schema 1 does not know is null."""

        technician_id: str | None
        due_wall: str | None
        why: str | None
        complaint: str | None
        complaint_words: str | None
        procedure_name: str | None
        phone: str | None
        due_cleared: bool | None
        by: Mark

    class CallNote(TypedDict):
        smell_of_gas: CallAnswer
        co_alarm: CallAnswer
        unwell: CallAnswer
        water_leak: CallAnswer
        home_words: str | None
        since_words: str | None
        no_hot_water_since: str | None
        lately: list[str]
        lately_words: str | None
        lights_words: str | None
        resets_tried: int | None
        said: list[str]
        by: Mark

    class Cancelled(TypedDict):
        why: str
        by: Mark

    class DueOutNote(TypedDict):
        due_out_wall: str
        ring_phone: str | None
        words: str | None
        by: Mark

    class CameOutNote(TypedDict):
        person_id: str | None  # who is out, where it is not whoever says it
        words: str | None
        by: Mark

    class InstrumentNote(TypedDict):
        instrument_id: str
        instrument_kind: InstrumentKind
        serial_words: str | None
        calibrated_on: str | None
        bump_tested: bool | None
        zeroed: bool | None
        words: str | None
        by: Mark

    class AgreementNote(TypedDict):
        told_words: str
        scope_words: str
        price_words: str | None
        decision: Literal["authorised", "declined"]
        name_words: str | None
        signature_path: str | None
        by: Mark

    class OfficeToldNote(TypedDict):
        told_wall: str
        who_words: str
        words: str | None
        by: Mark

    class PutBackNote(TypedDict):
        words: str
        left_off_ids: list[str] | None  # the entries that it ends, of this job or another; null: all before it
        who_words: str | None  # from here on: heard from somebody, as the office notes it
        when_words: str | None
        work_words: str | None
        co_room_ppm: float | None  # in the room, as they read it after it ran
        counts: bool  # false: said, without what shows it safe, or against one's own unsafe word; it ends nothing
        by: Mark

    class SheetConfirmedNote(TypedDict):
        sheet_event_id: str
        quantity: str
        agrees: bool
        read_value: float | None
        words: str | None
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
        flash_groups: str | None
        text: str | None
        meaning_words: str | None
        model_sheet_id: str | None
        by: Mark

    class Answer(TypedDict):
        """One answer as it was given. `current`: the last word of that person, before or after the repair."""

        outcome: str | None
        could_not: CouldNotReason2 | None
        words: str | None
        minutes_since_fired: float | None
        after_repair: bool
        current: bool
        tapped: NotRequired[str]  # never in the record: what was answered, where its figures make it count as another
        by: Mark

    class CheckFinding(TypedDict):
        """A check as it was found (before the first repair, where there is such an answer) and as it is now."""

        check: str
        state: Literal["answered", "could_not", "contradicted"]
        outcome: str | None
        could_not: CouldNotReason2 | None
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

    class Corrected(TypedDict):
        """What was noted unsafe (of CO in the room: raised), and its writer called wrong: it counts for nothing."""

        check: str | None
        outcome: str | None
        quantity: str | None
        value: float | None
        by: Mark
        to_outcome: str | None
        to_value: float | None
        to_by: Mark

    class PhotoNote(TypedDict):
        sha256: str
        length_bytes: int
        media_type: str
        width_px: int
        height_px: int
        check: str | None
        about: PhotoAbout | None
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

    class TooSoon(TypedDict):
        """What the run was noted so soon after that its minutes cannot lie between."""

        since: Literal["repair", "run", "arrival", "left_off", "unsafe"]
        minutes: float

    class ProofNote(TypedDict):
        """`cause` is the cause that stood named when the proof was run.

        `before_value` and `after_value` are of one `quantity`; in schema 1 that was the suction, whose two names are
        kept beside them.
        """

        passed: bool
        minutes: float
        restarts: int
        quantity: str | None
        before_value: float | None
        after_value: float | None
        suction_before_in_wc: float | None
        suction_hot_in_wc: float | None
        co_room_ppm: float | None
        co_air_free_ppm: float | None
        fans_on: bool | None
        looks_done: list[str]
        words: str | None
        cause: str | None
        too_soon: TooSoon | None  # by the clocks; it is said, and decides nothing
        by: Mark

    class LeftOffNote(TypedDict):
        what_words: str
        why_words: str
        told_words: str
        by: Mark

    class NoteLine(TypedDict):
        words: str
        by: Mark

    class Withdrawal(TypedDict):
        event_id: str
        by: Mark

    class AnswerTakenBack(TypedDict):
        check: str
        outcome: str | None
        could_not: CouldNotReason2 | None
        words: str | None
        minutes_since_fired: float | None
        by: Mark

    class TakenBack(TypedDict):
        """What was noted and taken back by the same person: it counts for nothing, and is shown as such."""

        answers: list[AnswerTakenBack]
        readings: list[Reading]
        repairs: list[RepairNote]
        parts: list[PartNote]
        proofs: list[ProofNote]
        notes: list[NoteLine]
        withdrawals: list[Withdrawal]

    class Heard(TypedDict):
        """Another person's entry that whoever wrote this one had before them."""

        event_id: str
        by: Mark

    class Closed(TypedDict):
        state: CloseState
        words: str | None
        out: bool | None  # whether whoever closed it was out of the basement; null: said before that was asked
        by: Mark

    class ApplianceNote(TypedDict):
        appliance_id: str
        kind: str
        fuel: Literal["natural_gas", "propane"] | None
        maker_words: str | None
        model_words: str | None
        serial_words: str | None
        input_btu_h: float | None
        location_words: str | None
        installed_year: int | None
        model_sheet_id: str | None
        by: Mark

    class SheetNote(TypedDict):
        quantity: str
        value: float
        where: Literal["plate", "sheet", "part_label"]
        model_sheet_id: str | None
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
        state: Literal["booked", "open", "closed", "cancelled"]
        call: CallNote | None  # the last of them
        calls: list[CallNote]
        booked: Booked | None
        moves: list[Moved]
        technician_id: str | None
        due_wall: str | None
        opened: Opened | None
        arrived: ArrivedAt | None
        arrivals: list[ArrivedAt]
        due_outs: list[DueOutNote]
        came_out: list[CameOutNote]
        below: DueOutNote | None  # the last of those who are below
        below_now: list[DueOutNote]  # of each person the last that was agreed, and not heard from since
        instruments: list[InstrumentNote]
        codes: list[Code]
        checks: list[CheckFinding]
        readings: list[Reading]
        corrected: list[Corrected]
        photos: list[PhotoNote]
        vent_surveys: list[VentSurvey]
        hunches: list[CauseNote]
        causes: list[CauseNote]
        cause: str | None
        causes_disagree: bool
        agreements: list[AgreementNote]
        repairs: list[RepairNote]
        parts: list[PartNote]
        proofs: list[ProofNote]
        proven: bool
        left_off: list[LeftOffNote]
        office_told: list[OfficeToldNote]
        put_back: list[PutBackNote]
        standing_off: list[str]  # event ids: what was left off here, and not put back by an event of this job
        heater_off: bool  # whether there is any
        office_not_told: bool  # a heater was left off and no voice call since stands recorded
        notes: list[NoteLine]
        taken_back: TakenBack
        cancelled: Cancelled | None
        closed: Closed | None  # the last word
        closings: list[Closed]  # every word; two people's may differ
        appliances: list[ApplianceNote]
        sheet: list[SheetNote]
        sheet_confirmed: list[SheetConfirmedNote]
        heard: list[Heard]
        people: list[str]
        unknown: list[UnknownKind]
        unreadable: list[Unreadable]
        lamport: int
        event_count: int
