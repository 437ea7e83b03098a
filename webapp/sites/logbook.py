"""One job's events as a visit of the logbook: what was found, what was done, did it hold."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any

from webapp.sites import who_knew
from webapp.sites.beside_work import no_room_co_since_work
from webapp.sites.brought_in import NOT_TOLD, OTHER, is_brought_in, technician_words
from webapp.sites.call_seen import call_lines, calls_alarm, otherwise_on_site, unsaid
from webapp.sites.came_back import NO_CAUSE, came_back
from webapp.sites.clock import (
    job_moment,
    noted_at,
    wall_words,
)
from webapp.sites.did_it_hold import held
from webapp.sites.event_words import PHOTO_WORDS, carried_words
from webapp.sites.found_in_service import running_notes
from webapp.sites.left_off_told import left_off_words, said_back, standing_off
from webapp.sites.looked_again import corrected_lines, looked_again_lines
from webapp.sites.never_measured import Never
from webapp.sites.not_looked import not_looked_words
from webapp.sites.photo_words import own_words
from webapp.sites.phrases import joined, quoted
from webapp.sites.procedure_words import Said, as_title, could_not
from webapp.sites.readings_seen import readings_seen
from webapp.sites.settled import settled_why
from webapp.sites.stands_unsafe import figures_beside, stands_unsafe
from webapp.sites.timeline import SOMEBODY, Arrived, timeline
from webapp.sites.visit import (
    AnswerSeen,
    Contradiction,
    FindingGroup,
    FindingSeen,
    LeftOffSeen,
    PhotoSeen,
    Visit,
)
from webapp.trade.history import history_entry
from webapp.trade.record import fold_job
from webapp.trade.said_words import unasked
from webapp.trade.standing import findings_of

if TYPE_CHECKING:
    from collections.abc import Collection

    from webapp.models import Job
    from webapp.sites.in_service import Elsewhere
    from webapp.sites.off_here import OffHere
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.sites.stands_unsafe import Found
    from webapp.trade.record_types import CheckFinding, PhotoNote, Record

NOT_OVER = ("booked", "open")
NOT_RIGHT = ("bad", "doubtful")


def _technician(record: Record, went: list[str], names: dict[str, str]) -> str:
    """Whoever went; before that, whoever is to go."""
    if went:
        return ", ".join(names.get(one, SOMEBODY) for one in went)
    return names.get(record["technician_id"] or "", "nobody" if record["state"] == "cancelled" else "nobody yet")


def _only_first_looks(checks: list[CheckFinding], words: ProcedureWords) -> bool:
    return {one["check"] for one in checks} <= set((words.body or {}).get("gate", []))


def read_visit(
    job: Job,
    arrived: list[Arrived],
    *,
    words: ProcedureWords,
    names: dict[str, str],
    stored_photos: Collection[str],
    next_job: Job | None,
    now: datetime,
    elsewhere: Elsewhere,
    put_back_here: list[OffHere],
    standing: list[OffHere],
) -> Visit:
    """The visit that a job's events tell. What cannot be read is counted, never hidden.

    `standing`: what stands off at the address, where the job says anything of that.
    """
    events = [one.event for one in arrived]
    record, entry = fold_job(events), history_entry(words.procedure, events)
    checks, from_file = _checks(record, words), is_brought_in(record)
    off = standing_off(record, elsewhere)
    clashes = [finding for finding in checks if "contradicted" in (finding["state"], finding["now_state"])]
    return Visit(
        job_id=job.id,
        site_id=job.site_id,
        state=record["state"],
        moment=job_moment(job),
        technician=technician_words(record) if from_file else _technician(record, entry["people"], names),
        unsafe=[_unsafe_words(one, words, record) for one in stands_unsafe(words.procedure, record)],
        looked_again=looked_again_lines(words.procedure, record),
        put_right_since=looked_again_lines(words.procedure, record, is_open=False),
        corrected=corrected_lines(record, words),
        not_looked=not_looked_words(words.procedure, record, words.check),
        looked_last=[words.closing_look(look) for proof in record["proofs"][-1:] for look in proof["looks_done"]],
        no_room_co_since_work=no_room_co_since_work(record),
        went=[] if from_file else entry["people"],
        complaint=complaint_of(record, words),
        complaint_words=record["booked"]["complaint_words"] if record["booked"] else "",
        found=[_noted(note["cause"], words.cause(note["cause"]), note["words"]) for note in _standing_causes(record)],
        done=_done(record, words),
        held=held(record, came_back=next_job is not None, now=now),
        came_back=came_back(job, next_job),
        left_off=[
            LeftOffSeen(
                note["what_words"],
                joined(left_off_words(note), who_knew.by_whom(note["by"], arrived, names)),
                stands=note["by"]["event_id"] in off,
            )
            for note in record["left_off"]
        ],
        codes=entry["code_words"],
        findings=_findings(checks, words, has_code=bool(record["codes"])),
        contradictions=[_contradiction(finding, arrived, words, names) for finding in clashes],
        readings=readings_seen(record, words, arrived),
        photos=[_photo(photo, words, stored_photos) for photo in record["photos"]],
        never_measured=[]
        if from_file
        else [Never(words.asking(line["id"]), line["words"]) for line in entry["never_measured"]],
        ended_at_first_looks=bool(record["left_off"]) and _only_first_looks(checks, words),
        cause=record["cause"] if record["cause"] not in NO_CAUSE else None,
        cause_words=words.cause(record["cause"]) if record["cause"] else "",
        brought_in=from_file,
        uncounted=_uncounted(record),
        alarm=calls_alarm(record["calls"]),
        unasked=[one["words"] for one in unasked(record, words.procedure)] if record["state"] in NOT_OVER else [],
        unsaid=unsaid(record["calls"]) if record["state"] in NOT_OVER else [],
        call=call_lines(record["call"]),
        call_by=who_knew.call_by(record["call"]["by"], arrived, names) if record["call"] else "",
        booked_by=who_knew.by_whom(record["booked"]["by"], arrived, names, "booked") if record["booked"] else "",
        carried=[
            joined(*carried_words(note), who_knew.by_whom(note["by"], arrived, names)) for note in record["instruments"]
        ],
        carried_unnamed=who_knew.carried_unnamed(record, from_file=from_file),
        not_alike=otherwise_on_site(record["calls"], {one["check"]: one for one in checks}, words),
        there=None if from_file else who_knew.there(record),
        due=wall_words(record["due_wall"]),
        cancelled=_cancelled(record),
        settled=settled_why(record),
        settled_by=who_knew.by_whom(record["cancelled"]["by"], arrived, names, "said") if record["cancelled"] else "",
        begun=bool(record["state"] in ("open", "closed") or record["opened"] or record["arrived"] or checks),
        below=who_knew.below(record, arrived, names, now),
        put_back_here=put_back_here,
        stands_off=bool(off),
        found_running=list(dict.fromkeys(one.found for one in standing if one.event_id in off and one.found)),
        back=elsewhere.back,
        disagreements=who_knew.disagreements(record, names),
        office_told=who_knew.office_told(record, arrived, names),
        put_back=who_knew.put_back(record, arrived, names),
        said_back=who_knew.said_back(record, arrived, names, running_notes(record, job.id, standing)),
        lines=timeline(
            arrived,
            words,
            _names_told(names) if from_file else names,
            {entry["by"]["event_id"] for f in clashes for entry in f["entries"]},
            {note["by"]["event_id"] for note in said_back(record)},
        ),
    )


def _unsafe_words(found: Found, words: ProcedureWords, record: Record) -> str:
    """`CO in the room: Leave now, 90 ppm`; once, where the answer is the title again."""
    check, outcome = found
    title, said = words.check(check), words.outcome(check, outcome).words
    figures = figures_beside(words.procedure, record, check, outcome) if words.procedure else ""
    return (title if said == title else f"{title}: {said}") + figures


def _cancelled(record: Record) -> str:
    """Why nobody goes; and, where somebody went all the same, that they did."""
    if not record["cancelled"] or settled_why(record):
        return ""
    why = record["cancelled"]["why"]
    if record["state"] == "closed":
        return f"{why}. It was cancelled; the phone had begun it all the same and closed it."
    return why


def _names_told(names: dict[str, str]) -> dict[str, str]:
    """Whoever brought a file in has not been there."""
    return {person_id: f"The old files, brought in by {name}" for person_id, name in names.items()}


def complaint_of(record: Record, words: ProcedureWords) -> str:
    """What was called about; nothing where an old file does not tell."""
    if record["booked"] is None or (is_brought_in(record) and record["booked"]["complaint"] in (NOT_TOLD, OTHER)):
        return ""
    return words.complaint(record["booked"]["complaint"])


def _noted(code: str, said: str, own_words: str | None) -> str:
    """The procedure's words and somebody's own; of what is none of the procedure's the own words alone."""
    return quoted(own_words) if own_words and code == OTHER else joined(said, quoted(own_words))


def _standing_causes(record: Record) -> list[Any]:
    """Each person's last word; where they agree, once."""
    last = {note["by"]["person_id"]: note for note in record["causes"]}
    return list({note["cause"]: note for note in last.values()}.values())


def _done(record: Record, words: ProcedureWords) -> list[str]:
    repairs = [_noted(note["action"], words.repair(note["action"]), note["words"]) for note in record["repairs"]]
    parts = [f"part {note['direction']}: {note['count']} \u00d7 {note['part_words']}" for note in record["parts"]]
    return repairs + parts


def _checks(record: Record, words: ProcedureWords) -> list[CheckFinding]:
    """What stands for each check, those that an event answers by itself too."""
    return list(findings_of(words.procedure, record).values()) if words.procedure else record["checks"]


def _findings(checks: list[CheckFinding], words: ProcedureWords, *, has_code: bool) -> list[FindingGroup]:
    groups: dict[str, list[FindingSeen]] = {"Not right": [], "Right": [], "Answered": [], "Could not check": []}
    for finding in checks:
        if finding["state"] == "contradicted" or (has_code and words.reads_code(finding["check"])):
            continue  # told above: side by side, or as what the control showed
        seen = _finding(finding, words)
        groups[_group_of(finding, seen.said)].append(seen)
    return [FindingGroup(name, found) for name, found in groups.items() if found]


def _group_of(finding: CheckFinding, said: Said) -> str:
    if finding["state"] == "could_not":
        return "Could not check"
    if said.verdict in NOT_RIGHT:
        return "Not right"
    return "Right" if said.verdict == "good" else "Answered"


def _finding(finding: CheckFinding, words: ProcedureWords) -> FindingSeen:
    own = " · ".join(entry["words"] for entry in finding["entries"] if entry["current"] and entry["words"])
    name = words.check(finding["check"])
    if finding["state"] == "could_not":
        return FindingSeen(name, could_not(finding["could_not"]), own)
    said = words.outcome(finding["check"], finding["outcome"])
    if finding["now_outcome"] not in (None, finding["outcome"]):
        after = words.outcome(finding["check"], finding["now_outcome"]).words
        said = Said(f"{said.words} (after the repair: {after})", said.verdict)
    return FindingSeen(name, said, own)


def _contradiction(
    finding: CheckFinding, arrived: list[Arrived], words: ProcedureWords, names: dict[str, str]
) -> Contradiction:
    by_id = {one.event["id"]: one for one in arrived}
    answers = []
    for entry in finding["entries"]:
        one = by_id.get(entry["by"]["event_id"])
        if not entry["current"] or one is None:
            continue
        said = (
            could_not(entry["could_not"]) if entry["could_not"] else words.outcome(finding["check"], entry["outcome"])
        )
        who = names.get(entry["by"]["person_id"], SOMEBODY)
        answers.append(AnswerSeen(who, noted_at(one.event, one.received_at), said))
    return Contradiction(words.check(finding["check"]), answers)


def _photo(photo: PhotoNote, words: ProcedureWords, stored: Collection[str]) -> PhotoSeen:
    of = words.check(photo["check"]) if photo["check"] else as_title(PHOTO_WORDS.get(photo["about"] or "", ""))
    about = joined(of, quoted(own_words(photo["words"], photo["check"], words)))
    return PhotoSeen(photo["sha256"], about or "no words with it", photo["sha256"] in stored)


def _uncounted(record: Record) -> str:
    newer = sum(unknown["count"] for unknown in record["unknown"])
    unreadable = len(record["unreadable"])
    told = []
    if newer:
        told.append(f"{newer} {'entry is' if newer == 1 else 'entries are'} newer than this office can read")
    if unreadable:
        told.append(f"{unreadable} could not be read")
    return f"{'; '.join(told)}. Kept as received, and counted here." if told else ""
