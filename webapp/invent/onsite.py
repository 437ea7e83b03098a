"""The technician's part of one visit, event by event."""

from __future__ import annotations

import random
from datetime import timedelta
from typing import Any

from webapp.invent.chance import between, pick, stream, uuid7, whole
from webapp.invent.closing import action_of, close_visit, name_and_repair
from webapp.invent.company import Member
from webapp.invent.convicting import read_before_changing
from webapp.invent.drawings import SUBJECT_OF_CHECK
from webapp.invent.hot_run import run_takes_minutes
from webapp.invent.looked_again import look_again
from webapp.invent.makers import meaning_words
from webapp.invent.phases import phase_of
from webapp.invent.plan import Visit
from webapp.invent.readings import reading_value, vent_survey
from webapp.invent.safe import safe_outcomes
from webapp.invent.scribe import Scribe
from webapp.invent.stage import Stage, Written, model_at
from webapp.invent.walking import Step, walk
from webapp.invent.words import ARRIVED, HUNCH, SECOND_LOOK

SECOND_PERSON_SHARE = 0.05
REPAIR_NOTED_S = 90
PHOTO_SHARE = 0.35
LOOKED_MINUTES = 15  # the least that anybody looks for before a repair


class OnSite:
    """The technician's part of one visit."""

    def __init__(self, stage: Stage, scribe: Scribe, rng: random.Random, visit: Visit, written: Written) -> None:
        self._stage, self._scribe, self._rng, self._visit, self._written = stage, scribe, rng, visit, written
        self._procedure = stage.company.procedures[visit.procedure]
        self._model = model_at(stage.company, visit)
        self._technician: Member = stage.company.of_role("technician")[visit.technician]
        self._now = stage.at(visit.opened_day)
        self._closes = stage.at(visit.closed_day)
        self._pressure_tap = False
        self._before: dict[str, float] = {}
        """What was read before the repair, by quantity."""

    def run(self, *, describe: bool) -> None:
        """All that the technician writes, up to the end of the story; `describe`: nobody has noted the heater yet."""
        rng, visit = self._rng, self._visit
        repairs = action_of(self._procedure, visit) is not None
        run_minutes = run_takes_minutes(self._procedure, visit.named) if repairs else 0.0
        self._closes = max(self._closes, self._now + timedelta(minutes=run_minutes + LOOKED_MINUTES))
        signal_back = self._closes + timedelta(minutes=between(rng, 1, 90))
        # what a phone knows of the address: its address_given
        self._scribe.begin(self._technician, min(signal_back, self._stage.until), site_lamport=1)
        self._open(describe=describe)
        steps = walk(
            rng,
            self._procedure,
            visit.cause,
            self._stage.order,
            unsafe=visit.ending == "left_off",
            only_safe=not repairs,
        )
        steps += read_before_changing(rng, self._procedure, visit.cause, action_of(self._procedure, visit), steps)
        minutes = (self._closes - self._now).total_seconds() / 60 - run_minutes
        tick = timedelta(minutes=minutes / (len(steps) + 4))
        for step in steps:
            if self._now + tick > self._stage.until:
                self._written.state = "open"
                return
            self._now += tick
            self._step(step)
        lines = [(step.check["id"], step.outcome) for step in steps]
        first = self._stage.first_of_ranking(self._procedure, lines) if visit.ending != "left_off" else None
        name_and_repair(self._scribe, rng, self._procedure, visit, at=self._now, first=first)
        self._now += timedelta(seconds=REPAIR_NOTED_S)
        for step in look_again(self._procedure, steps) if repairs or visit.ending == "not_seen_today" else ():
            self._step(step)
        if self._closes > self._stage.until:
            self._written.state = "open"
            return
        close_visit(
            self._scribe,
            rng,
            self._procedure,
            visit,
            at=self._closes,
            model=self._model,
            before=self._before,
        )
        self._written.state = "closed"
        if rng.random() < SECOND_PERSON_SHARE:
            self._second_person(steps)

    def _write(self, kind: str, body: dict[str, Any], *, replaces: tuple[str, ...] = (), of_job: bool = True) -> str:
        self._now += timedelta(seconds=1)
        return self._scribe.write(self._now, kind, body, replaces=replaces, of_job=of_job)["id"]

    def _open(self, *, describe: bool) -> None:
        rng = self._rng
        self._write("job_opened", {"procedure_hash": self._procedure["hash"]})
        self._write("arrived", {"words": pick(rng, ARRIVED)} if rng.random() < 0.5 else {})
        if describe:
            self._write("appliance_described", self._appliance(), of_job=False)
        if rng.random() < 0.2:
            cause = pick(rng, self._procedure["causes"][:-1])["id"]
            self._write("hunch", {"cause": cause, "words": pick(rng, HUNCH)})

    def _appliance(self) -> dict[str, Any]:
        model = self._model
        rng = stream(self._stage.company.seed, "appliance", self._visit.address)
        body: dict[str, Any] = {
            "appliance_id": uuid7(rng, self._stage.founded),
            "kind": model.kind,
            "maker_words": model.maker,
            "model_words": model.name,
            "serial_words": f"{pick(rng, 'QUVXZ')}{whole(rng, 10_000_000, 99_999_999)}",
        }
        if model.fuel and model.input_btu_h:
            body |= {"fuel": model.fuel, "input_btu_h": model.input_btu_h}
        return body

    def _step(self, step: Step) -> None:
        check, rng = step.check, self._rng
        if step.outcome and check.get("from_event") == "code_read":
            self._write("code_read", self._code(step.outcome))
            return
        if step.outcome is None:
            self._write("check_answered", {"check": check["id"], "outcome": None, "could_not": step.could_not})
            return
        self._figures(check, step.outcome)
        replaces: tuple[str, ...] = ()
        if step.slipped_to:
            replaces = (self._answer(check["id"], step.slipped_to),)
        self._answer(check["id"], step.outcome, replaces)
        self._pressure_tap = self._pressure_tap or (check["id"], step.outcome) == ("tap_type", "pressure")
        if check.get("photo_words") and rng.random() < PHOTO_SHARE:
            self._photo(check["id"])

    def _figures(self, check: dict[str, Any], outcome: str) -> None:
        """The numbers of one check: measured ones as readings, the maker's as figures of the sheet."""
        if check["id"] == "run_length":
            self._survey(over=outcome == "over")
            return
        for spec in check.get("readings", ()):
            if spec.get("optional") and self._rng.random() < 0.5:
                continue
            if spec.get("from_sheet") and spec["quantity"] == "make_point_in_wc":
                self._sheet(spec["quantity"], self._model.make_point_in_wc, "part_label")
                continue
            at = (check["id"], outcome)
            value = reading_value(self._rng, spec, at, self._model, pressure_tap=self._pressure_tap)
            if value is not None:
                self._before[spec["quantity"]] = value
                body = {"check": check["id"], "quantity": spec["quantity"], "value": value}
                self._write("reading_taken", body | {key: spec[key] for key in ("place", "state") if spec.get(key)})

    def _survey(self, *, over: bool) -> None:
        survey = vent_survey(self._rng, self._model, over=over)
        for quantity in ("feet_per_90", "feet_per_45"):
            self._sheet(quantity, survey.pop(quantity), "sheet")
        survey["limit_equivalent_ft"] = survey.pop("limit_ft")
        self._write("vent_surveyed", dict(survey))

    def _sheet(self, quantity: str, value: float, where: str) -> None:
        self._write("sheet_number", {"quantity": quantity, "value": value, "where": where})

    def _code(self, shown: str) -> dict[str, Any]:
        """What the lamp showed; the label's words for it are this model's own."""
        phase = phase_of(self._rng, self._procedure, self._visit.cause)
        if shown == "flashes":
            return {"shown": shown, "flashes": self._model.flashes_for(phase), "meaning_words": meaning_words(phase)}
        return {"shown": shown} | ({"text": f"E{self._model.flashes_for(phase)}"} if shown == "text" else {})

    def _answer(self, check: str, outcome: str, replaces: tuple[str, ...] = ()) -> str:
        body = {"check": check, "outcome": outcome, "could_not": None}
        return self._write("check_answered", body, replaces=replaces)

    def _photo(self, check: str) -> None:
        subject = SUBJECT_OF_CHECK.get(check, "label")
        picture = pick(self._rng, [one for one in self._stage.pictures if one.subject == subject])
        self._write("photo_taken", {
            "sha256": picture.sha256, "length_bytes": len(picture.data), "media_type": "image/jpeg",
            "width_px": picture.width_px, "height_px": picture.height_px, "check": check,
        })  # fmt: skip

    def _second_person(self, steps: list[Step]) -> None:
        """A colleague came along and saw one thing otherwise: both stand."""
        others = [m for m in self._stage.company.of_role("technician") if m is not self._technician]
        seen = [step for step in steps if step.outcome and len(step.check["outcomes"]) > 1]
        if not others or not seen:
            return
        rng, step = self._rng, pick(self._rng, seen)
        otherwise = [outcome for outcome in safe_outcomes(self._procedure, step.check) if outcome != step.outcome]
        if not otherwise:
            return
        self._scribe.begin(
            pick(rng, others), self._scribe.batches[-1].received_at + timedelta(minutes=3), site_lamport=2
        )
        self._write("arrived", {})
        body = {"check": step.check["id"], "outcome": pick(rng, otherwise), "could_not": None, "words": SECOND_LOOK}
        self._write("check_answered", body)
