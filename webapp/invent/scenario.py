"""The demo's story: eighteen months of a small company, and a few addresses that are worth a look today."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from itertools import accumulate
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from webapp.extensions import Database
from webapp.invent.chance import stream, uuid7
from webapp.invent.company import Company, Member, Role
from webapp.invent.drawings import SUBJECT_OF_CHECK, draw, draw_terminal
from webapp.invent.model_sheets import TIME_ZONE, keep_company_data
from webapp.invent.order import WalkOrder
from webapp.invent.scene_acts import DUE_OUT_IN, PHOTO, Act
from webapp.invent.scenes import SCENES, Scene, SceneVisit
from webapp.invent.scribe import Batch, Scribe, wall
from webapp.invent.service import keep_pictures, move_in, shipped_procedures, store_batches, tell
from webapp.invent.stage import Picture, make_picture
from webapp.invent.story import Story
from webapp.models import Person

DEMO_SEED = 20
BACKGROUND_JOBS = 36
PROCEDURE = "power_vent"
MINUTES_OF_AN_ACT, MINUTES_OF_A_REPAIR = 2, 15
TOWN = ZoneInfo(TIME_ZONE)
WORKING_HOURS = range(8, 18)
EARLIER_TOMORROW = 6
"""Hours: what today's afternoon was too short for begins tomorrow morning."""


@dataclass(frozen=True, slots=True)
class DemoPerson:
    """Somebody of the demo. The password is printed at every start, so it must be nobody's real one."""

    name: str
    login: str
    role: Role
    password: str


DEMO_PEOPLE = (
    DemoPerson("Ottilie Quickbramble-Nightjar", "ottilie", "owner", "which-repairs-held"),
    DemoPerson("Bo Ox", "bo", "dispatcher", "three-calls-waiting"),
    DemoPerson("Teo Fernwhistle", "teo", "technician", "lamp-in-the-cellar"),
    DemoPerson("Maximiliane Untergrundwasser", "maximiliane", "technician", "wet-floor-no-signal"),
)


def play_scenario(database: Database, data: Path, now: datetime) -> None:
    """Fill an empty store with the demo."""
    order = WalkOrder()
    procedures = shipped_procedures()
    story = Story(
        seed=DEMO_SEED,
        jobs=BACKGROUND_JOBS,
        until=now,
        procedures={PROCEDURE: procedures[PROCEDURE]},
        order=order.next_check,
        first=order.first_cause,
        zone=TOWN,
    )
    for member, who in zip(story.company.members, DEMO_PEOPLE, strict=True):
        member.name, member.login = who.name, who.login
        member.clock_error_ms = 0
    with database.session() as session:
        passwords = {who.login: who.password for who in DEMO_PEOPLE}
        move_in(session, story.company.members, story.founded, passwords)
    tell(database, story, None)
    pictures = list(story.stage.pictures)
    with database.session() as session:
        for batches, picture in played(story.company, now):
            store_batches(session, batches)
            pictures += picture
        keep_pictures(session, data, pictures, now)
    with database.session() as session:
        _keep_company_data(session, story.company, now)


def _keep_company_data(session: Session, company: Company, now: datetime) -> None:
    people = {member.login: session.get_one(Person, member.person_id) for member in company.members}
    keep_company_data(
        session,
        owner=people["ottilie"],
        desk=people["bo"],
        technicians=[people["teo"], people["maximiliane"]],
        models=company.models[PROCEDURE],
        now=now,
    )


def played(company: Company, now: datetime) -> list[tuple[list[Batch], list[Picture]]]:
    """The scenes' visits as batches, oldest first, as they reached the server."""
    visits = [(scene, visit) for scene in SCENES for visit in scene.visits]
    visits.sort(key=lambda pair: (-pair[1].days_ago, pair[1].hour))
    return [_play(company, scene, visit, now) for scene, visit in visits]


def _play(company: Company, scene: Scene, visit: SceneVisit, now: datetime) -> tuple[list[Batch], list[Picture]]:
    rng = stream(DEMO_SEED, "scene", scene.key, visit.days_ago, visit.hour)
    begins, books = due_of(visit, now), booked_at(visit, now)
    scribe = Scribe(rng, site_id_of_scene(scene, now), uuid7(rng, books))
    people = {member.login: member for member in company.members}
    scribe.begin(people["bo"], books)
    if visit is scene.visits[0]:
        scribe.write(books, "address_given", dict(scene.address), of_job=False)
        for other in SCENES:
            if other.key == scene.same_as:
                scribe.write(books, "same_address", {"other_site_id": site_id_of_scene(other, now)}, of_job=False)
    if visit.call:
        scribe.write(books, "call_taken", _call(visit, books))
    scribe.write(books, "job_booked", _booking(scene, visit, people[visit.technician], begins))
    pictures: list[Picture] = []
    if visit.cancelled:
        scribe.write(books + timedelta(minutes=10), "job_cancelled", {"why": visit.cancelled})
    if visit.acts:
        _walk(scribe, company, people[visit.technician], visit, (begins, now), pictures)
    return scribe.batches, pictures


def due_of(visit: SceneVisit, now: datetime) -> datetime:
    """When the visit begins; what is still to come lies ahead at whatever hour the demo is made."""
    planned = _by_the_towns_clock(visit.days_ago, visit.hour, now)
    if visit.acts or visit.cancelled:
        return min(planned, now - timedelta(minutes=50))
    earliest = now.replace(minute=0, second=0, microsecond=0) + timedelta(hours=2)
    if planned >= earliest:
        return planned
    soon = earliest.astimezone(TOWN).hour in WORKING_HOURS
    return earliest if soon else _by_the_towns_clock(-1, visit.hour - EARLIER_TOMORROW, now)


def _by_the_towns_clock(days_ago: int, hour: float, now: datetime) -> datetime:
    midnight = datetime.combine(now.astimezone(TOWN).date() - timedelta(days=days_ago), time())
    return (midnight + timedelta(hours=hour)).replace(tzinfo=TOWN).astimezone(UTC)


def booked_at(visit: SceneVisit, now: datetime) -> datetime:
    """When the customer rang: never later than now."""
    return min(due_of(visit, now) - timedelta(hours=visit.booked_hours_before), now - timedelta(minutes=30))


def site_id_of_scene(scene: Scene, now: datetime) -> str:
    """The site id of a scene's address, made when it was called from for the first time."""
    return uuid7(stream(DEMO_SEED, "scene", scene.key), booked_at(scene.visits[0], now))


def _booking(scene: Scene, visit: SceneVisit, technician: Member, begins: datetime) -> dict[str, Any]:
    return {
        "complaint": "no_hot_water",
        "complaint_words": visit.words,
        "technician_id": technician.person_id,
        "procedure_name": PROCEDURE,
        "phone": scene.address["phone"],
        "due_wall": wall(begins),
    }


def _call(visit: SceneVisit, books: datetime) -> dict[str, Any]:
    asked = dict.fromkeys(("smell_of_gas", "co_alarm", "unwell", "water_leak"), "not_asked")
    said = {name: value for name, value in visit.call.items() if name != "cold_days"}
    if "cold_days" in visit.call:
        said["no_hot_water_since"] = (
            books.astimezone(TOWN).date() - timedelta(days=visit.call["cold_days"])
        ).isoformat()
    return {**asked, "lately": [], "said": [], **said}


def _minutes_of(act: Act) -> float:
    """Until it is noted: a hot run takes as long as it says."""
    kind, body = act
    if kind == "proof_run":
        return float(body["minutes"])
    return MINUTES_OF_A_REPAIR if kind == "repair_made" else MINUTES_OF_AN_ACT


def _walk(
    scribe: Scribe,
    company: Company,
    member: Member,
    visit: SceneVisit,
    times: tuple[datetime, datetime],
    pictures: list[Picture],
) -> None:
    """`times`: when it begins, and when the demo is made."""
    begins, now = times
    rng = stream(DEMO_SEED, "walk", visit.days_ago, visit.hour)
    opened: Act = ("job_opened", {"procedure_hash": company.procedures[PROCEDURE]["hash"]})
    acts = [opened, *visit.acts]
    noted = [begins + timedelta(minutes=minutes) for minutes in accumulate(map(_minutes_of, visit.acts), initial=0.0)]
    scribe.begin(member, noted[-1] + timedelta(minutes=9), site_lamport=1)
    for at, (kind, body) in zip(noted, acts, strict=True):
        if kind == PHOTO:
            subject = SUBJECT_OF_CHECK.get(body["check"], "label")
            drawn = draw_terminal(rng, blocked=0.8) if subject == "terminal" else draw(rng, subject)
            picture = make_picture(drawn, subject)
            pictures.append(picture)
            shape = {"sha256": picture.sha256, "length_bytes": len(picture.data), "media_type": "image/jpeg"}
            size = {"width_px": picture.width_px, "height_px": picture.height_px}
            taken = scribe.write(at, "photo_taken", {**shape, **size, **body})
            taken["schema"] = 2 if "about" in body else 1
        elif kind == DUE_OUT_IN:
            agreed = {name: value for name, value in body.items() if name != "minutes"}
            clock_error = timedelta(milliseconds=scribe.batches[-1].member.clock_error_ms)
            due = wall(now + timedelta(minutes=body["minutes"]) + clock_error)
            scribe.write(at, "due_out", {"due_out_wall": due, **agreed})
        elif kind == "office_told":
            scribe.write(at, kind, {"told_wall": wall(at), **body})
        else:
            scribe.write(at, kind, dict(body), of_job=kind != "appliance_described")
