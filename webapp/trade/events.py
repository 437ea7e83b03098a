"""What can happen: the kinds of event, and the shape of each body, schema by schema.

The envelope is fixed (docs/sync.md). Bodies grow: a new shape is a new schema number, and every number ever shipped
stays here. Quantities carry their unit in their name. Source: this project's own format; no outside standard fixes it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Any, Literal, NotRequired, TypedDict

    CouldNotReason = Literal["no_access", "no_tool", "unsafe", "refused", "cannot_tell", "not_fitted"]
    CouldNotReason2 = Literal["no_access", "no_tool", "unsafe", "refused", "cannot_tell", "not_fitted", "not_allowed"]
    CloseState = Literal[
        "proven", "not_proven", "not_seen_today", "waiting_part", "declined", "handed_over", "replaced", "left_off"
    ]
    CallAnswer = Literal["yes", "no", "unsure", "not_asked"]
    InstrumentKind = Literal[
        "co_meter", "gas_detector", "multimeter", "manometer", "combustion_analyser", "thermometer", "other"
    ]
    PhotoAbout = Literal["check", "plate", "sheet", "part_label", "damage_before", "proof", "other"]

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

    class CallTaken(TypedDict):
        """What the caller said before anything was booked, and which words of caution were said to them."""

        smell_of_gas: CallAnswer
        co_alarm: CallAnswer
        unwell: CallAnswer
        water_leak: CallAnswer
        home_words: NotRequired[str]  # who is home, and until when
        since_words: NotRequired[str]
        no_hot_water_since: NotRequired[str]  # a date, "2026-11-24"
        lately: list[str]  # "moved", "serviced", "renovated", "new_heater", "new_fan_or_dryer"
        lately_words: NotRequired[str]
        lights_words: NotRequired[str]
        resets_tried: NotRequired[int]  # asked, never coached
        said: list[str]  # ids of the words that were said to the caller

    class JobBooked(TypedDict):
        """A call was taken and a technician is sent."""

        complaint: str  # a complaint id of the procedure, e.g. "no_hot_water"
        complaint_words: str  # in the caller's own words
        technician_id: str
        procedure_name: str
        phone: NotRequired[str]
        due_wall: NotRequired[str]

    class JobBooked2(TypedDict):
        """Schema 2 may be for nobody yet: a `job_moved` then says who goes."""

        complaint: str
        complaint_words: str
        technician_id: NotRequired[str]
        procedure_name: str
        phone: NotRequired[str]
        due_wall: NotRequired[str]

    class JobMoved(TypedDict):
        technician_id: NotRequired[str]
        due_wall: NotRequired[str]
        why: NotRequired[str]

    class JobMoved2(TypedDict):
        """Schema 2 corrects the booking as well: what is given takes the place of what was booked."""

        technician_id: NotRequired[str]
        due_wall: NotRequired[str]
        why: NotRequired[str]
        complaint: NotRequired[str]
        complaint_words: NotRequired[str]
        procedure_name: NotRequired[str]
        phone: NotRequired[str]

    class JobMoved3(TypedDict):
        """Schema 3 can also take an appointment back: `due_cleared`, and then no time is promised."""

        technician_id: NotRequired[str]
        due_wall: NotRequired[str]
        why: NotRequired[str]
        complaint: NotRequired[str]
        complaint_words: NotRequired[str]
        procedure_name: NotRequired[str]
        phone: NotRequired[str]
        due_cleared: NotRequired[bool]

    class JobCancelled(TypedDict):
        """Nobody goes. What was recorded stays; a job that was closed stays closed."""

        why: str

    class DueOut(TypedDict):
        """Agreed while there is signal: when the technician will be out of the basement, and whom to ring."""

        due_out_wall: str
        ring_phone: NotRequired[str]
        words: NotRequired[str]

    class CameOut(TypedDict):
        """Out again: whoever says it is out, nobody else."""

        words: NotRequired[str]

    class CameOut2(TypedDict):
        """Schema 2 says who is out, where somebody else says it: the office that rang, and heard them."""

        person_id: NotRequired[str]
        words: NotRequired[str]

    class InstrumentCarried(TypedDict):
        """An instrument of this visit. `instrument_id` is the same on each visit."""

        instrument_id: str
        instrument_kind: InstrumentKind
        serial_words: NotRequired[str]
        calibrated_on: NotRequired[str]  # a date
        bump_tested: NotRequired[bool]
        zeroed: NotRequired[bool]  # CO meter: outdoors; manometer: both ports open
        words: NotRequired[str]

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

    class CodeRead2(TypedDict):
        """Schema 2 takes codes in groups of flashes and names the model sheet that gave the meaning."""

        shown: Literal["flashes", "text", "dark", "steady"]
        flashes: NotRequired[int]
        flash_groups: NotRequired[str]  # "2-4": two flashes, a pause, four flashes
        text: NotRequired[str]
        meaning_words: NotRequired[str]
        model_sheet_id: NotRequired[str]

    class CheckAnswered(TypedDict):
        """One check: an outcome, or the reason why it could not be checked; never both."""

        check: str
        outcome: str | None
        could_not: CouldNotReason | None
        words: NotRequired[str]
        minutes_since_fired: NotRequired[float]

    class CheckAnswered2(TypedDict):
        """Schema 2 has one reason more: not trained for it, or not allowed to.

        Written where that is the reason and nowhere else: an older version reads every other answer as before.
        """

        check: str
        outcome: str | None
        could_not: CouldNotReason2 | None
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

    class CheckAnswered3(TypedDict):
        """Schema 3 says whether it corrects a wrong tap: what was noted unsafe was never so.

        Written for that alone. Whoever looked again writes 1 or 2, and names nothing in `replaces`.
        """

        check: str
        outcome: str | None
        could_not: CouldNotReason2 | None
        words: NotRequired[str]
        minutes_since_fired: NotRequired[float]
        corrects: NotRequired[bool]

    class ReadingTaken2(TypedDict):
        """Schema 2 says whether it corrects a wrong number, as `CheckAnswered3`."""

        check: str | None
        quantity: str
        value: float
        place: NotRequired[str]
        state: NotRequired[Literal["cold", "hot", "dead", "live"]]
        instrument_words: NotRequired[str]
        corrects: NotRequired[bool]

    class PhotoTaken(TypedDict):
        sha256: str
        length_bytes: int
        media_type: str
        width_px: int
        height_px: int
        check: str | None
        words: NotRequired[str]

    class PhotoTaken2(TypedDict):
        """Schema 2 says what the photo is of. `words`: own words; earlier phones wrote their button's."""

        sha256: str
        length_bytes: int
        media_type: str
        width_px: int
        height_px: int
        check: str | None
        about: PhotoAbout
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

    class WorkAgreed(TypedDict):
        """What the customer was told and answered before anything was taken apart."""

        told_words: str
        scope_words: str
        price_words: NotRequired[str]
        decision: Literal["authorised", "declined"]
        name_words: NotRequired[str]
        signature_path: NotRequired[str]  # an SVG path of M and L in a box of 600 by 200

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

    class ProofRun2(TypedDict):
        """Schema 2: before and after are of one quantity, the one that convicted."""

        passed: bool
        minutes: float
        restarts: int
        quantity: NotRequired[str]  # "suction_in_wc", "closed_mv", …
        before_value: NotRequired[float]
        after_value: NotRequired[float]
        co_room_ppm: NotRequired[float]
        co_air_free_ppm: NotRequired[float]
        fans_on: NotRequired[bool]  # everything that exhausts was running
        looks_done: list[str]
        words: NotRequired[str]

    class LeftOff(TypedDict):
        """Unsafe equipment, off and tagged."""

        what_words: str
        why_words: str
        told_words: str

    class OfficeTold(TypedDict):
        """A voice call to the office about a heater left off. Until it stands recorded: "office not told"."""

        told_wall: str
        who_words: str
        words: NotRequired[str]

    class PutBack(TypedDict):
        """A heater that was left off is in service again."""

        words: str  # what was put right, and by whom

    class PutBack2(TypedDict):
        """Schema 2 names what is back: the events by which it was left off, in this job or another at the address."""

        words: str
        left_off_ids: NotRequired[list[str]]  # left out: all that were noted before, as in schema 1

    class Note(TypedDict):
        words: str

    class Withdrawn(TypedDict):
        """Pure undo of what `replaces` names."""

        why: NotRequired[str]

    class JobClosed(TypedDict):
        """Schema 1 is also a word that whoever wrote it is out of the basement: it knew no better."""

        state: CloseState
        words: NotRequired[str]

    class JobClosed2(TypedDict):
        """Closed at the heater or on the stairs: whoever closes says whether they are out."""

        state: CloseState
        words: NotRequired[str]
        out: bool

    class ApplianceDescribed(TypedDict):
        appliance_id: str
        kind: str  # a procedure name, e.g. "power_vent"
        fuel: NotRequired[Literal["natural_gas", "propane"]]
        maker_words: NotRequired[str]
        model_words: NotRequired[str]
        serial_words: NotRequired[str]
        input_btu_h: NotRequired[float]

    class ApplianceDescribed2(TypedDict):
        """Schema 2 says where it stands, from which year it is, and which model sheet is its own."""

        appliance_id: str
        kind: str
        fuel: NotRequired[Literal["natural_gas", "propane"]]
        maker_words: NotRequired[str]
        model_words: NotRequired[str]
        serial_words: NotRequired[str]
        input_btu_h: NotRequired[float]
        location_words: NotRequired[str]
        installed_year: NotRequired[int]
        model_sheet_id: NotRequired[str]

    class SheetNumber(TypedDict):
        """A maker's figure, typed on site, to be confirmed against the photo."""

        quantity: str  # e.g. "make_point_in_wc"
        value: float
        where: Literal["plate", "sheet", "part_label"]

    class SheetNumber2(TypedDict):
        """Schema 2 names the company's sheet where the figure was taken from it: then nobody read it on this heater."""

        quantity: str
        value: float
        where: Literal["plate", "sheet", "part_label"]  # where the company's sheet has it from, or where it was read
        model_sheet_id: NotRequired[str]

    class SheetConfirmed(TypedDict):
        """The office read the photo: the figure typed on site is right, or reads otherwise."""

        sheet_event_id: str
        quantity: str
        agrees: bool
        read_value: NotRequired[float]
        words: NotRequired[str]

    class SameAddress(TypedDict):
        other_site_id: str

    class NotSameAddress(TypedDict):
        other_site_id: str

    class MayBeSameAddress(TypedDict):
        """Whoever took the call put it off which address it is: it joins nothing, and waits for a decision."""

        other_site_id: str
