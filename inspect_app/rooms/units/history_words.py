"""The sentences of a unit's history: one table, a row for each event and for each way it reads."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inspect_app.trade import gate_values
from inspect_app.words import N_

# The kinds of things the page can be narrowed to, each with its events.
SUBJECTS: dict[str, tuple[str, ...]] = {
    "marks": (
        *("marker_made", "marker_amended", "marker_withdrawn", "marker_joined", "marker_accepted"),
        *("no_flaw_proposed", "no_flaw_decided", "part_judged", "marker_cleared", "marker_sent_back", "origin_revised"),
        "spot_examined",
    ),
    "looks": ("walk_started", "walk_finished", "marks_released", "zone_looked", "look_undone"),
    "work": (
        *(
            "put_right_here",
            "plan_accepted",
            "job_planned",
            "job_taken",
            "job_handed_back",
            "job_rerouted",
            "step_inserted",
        ),
        *("spot_not_found", "waiting_for", "work_done", "timer_started", "timer_ended", "method_chosen", "job_pinned"),
    ),
    "parts": ("part_off", "part_stage", "part_refitted", "part_put_back", "mixup_stopped", "clips_counted"),
    "readings": ("reading_taken",),
    "photos": ("photo_added", "photo_stored", "photo_refused", "photo_marked", "photo_removed"),
    "signing": (
        *("concession_asked", "concession_agreed", "concession_refused", "gate_confirmed", "question_answered"),
        *("unit_signed", "sheet_issued", "unit_reopened"),
    ),
    "unit": (
        *("unit_arrived", "unit_corrected", "station_passed", "part_painted"),
        *("outline_set", "zones_absent"),
    ),
}
LABELS = {
    "all": N_("Everything"),
    "marks": N_("Marks"),
    "looks": N_("Walks and looks"),
    "work": N_("Work"),
    "parts": N_("Parts"),
    "readings": N_("Readings"),
    "photos": N_("Photos"),
    "signing": N_("Signing"),
    "unit": N_("The unit itself"),
    "asked": N_("Refused or asked about"),
}

# An event's name, and after a dot the way it reads; `way` chooses.
SENTENCES = {
    "unit_arrived": N_("%(who)s took the unit in: %(make)s %(model)s, %(colour)s."),
    "unit_corrected": N_("%(who)s corrected the unit: %(changed)s."),
    "station_passed": N_("%(who)s noted that the van has passed %(station)s."),
    "station_passed.walked": N_(
        "%(who)s noted that the van has passed %(station)s, with the walk “%(walk)s” done there."
    ),
    "part_painted": N_("%(who)s noted that %(part)s was painted in %(booth)s, %(painted)s: %(details)s."),
    "part_off": N_("%(who)s took a part off the van: %(piece)s."),
    "part_stage": N_("%(who)s noted a part as %(stage)s: %(piece)s."),
    "part_stage.painted": N_("%(who)s noted a part as %(stage)s in %(booth)s, mix %(mix)s: %(piece)s."),
    "part_refitted": N_("%(who)s refitted a part: %(piece)s."),
    "part_refitted.otherwise": N_("%(who)s refitted a part of another mix than its pair: %(piece)s. %(reason)s"),
    "part_put_back": N_("%(who)s put a part back untouched: %(piece)s. %(reason)s"),
    "mixup_stopped": N_("%(who)s was stopped: the part in hand wore %(read)s, this van's is the %(piece)s."),
    "clips_counted": N_("%(who)s counted clips, %(piece)s: %(out)s came off, %(broken)s broke, %(replaced)s new."),
    "reading_taken": N_("%(who)s read %(what)s, %(label)s: %(verdict)s."),
    "reading_taken.nowhere": N_("%(who)s read %(what)s: %(verdict)s."),
    "outline_set": N_("%(who)s had the unit drawn on another outline."),
    "zones_absent.not_fitted": N_("%(who)s noted as not fitted: %(zones)s."),
    "zones_absent.off": N_("%(who)s noted as off the van: %(zones)s."),
    "zones_absent.present": N_("%(who)s noted as on the van again: %(zones)s."),
    "walk_started": N_("%(who)s began the walk “%(walk)s”."),
    "walk_finished": N_("%(who)s finished the walk “%(walk)s”."),
    "marks_released": N_("%(who)s released the marks of the walk “%(walk)s” to rework before its end."),
    "zone_looked": N_("%(who)s looked at %(zone)s, %(lap)s: nothing found."),
    "zone_looked.found": N_("%(who)s looked at %(zone)s, %(lap)s: %(found)s."),
    "look_undone": N_("%(who)s took back the look at %(zone)s, %(lap)s."),
    "marker_made": N_("%(who)s marked %(tag)s: %(kind)s, %(severity)s, %(where)s."),
    "marker_made.read": N_("%(who)s marked %(tag)s after a reading: %(kind)s, %(severity)s, %(where)s."),
    "marker_amended": N_("%(who)s changed %(tag)s: %(kind)s, %(severity)s, %(where)s."),
    "marker_withdrawn": N_("%(who)s withdrew %(tag)s: %(reason)s"),
    "marker_withdrawn.read": N_("%(who)s withdrew %(tag)s after a reading: %(reason)s"),
    "marker_joined": N_("%(who)s joined %(tag)s to %(into)s, which is the same flaw."),
    "marker_accepted": N_("%(who)s accepted %(tag)s as it is, within its limit."),
    "no_flaw_proposed": N_("%(who)s proposed %(tag)s as no flaw: %(reason)s"),
    "no_flaw_decided": N_("%(who)s decided that %(tag)s is a flaw; it went back to the work."),
    "no_flaw_decided.agreed": N_("%(who)s decided that %(tag)s is no flaw."),
    "put_right_here.wipe": N_("%(who)s put %(tag)s right on the spot with a wipe, %(minutes)s."),
    "put_right_here.hand_polish": N_("%(who)s put %(tag)s right on the spot by hand polish, %(minutes)s."),
    "marker_cleared": N_("%(who)s looked at %(tag)s again and cleared it."),
    "marker_cleared.read": N_("%(who)s cleared %(tag)s after a reading."),
    "marker_sent_back": N_("%(who)s sent %(tag)s back to the work: %(reason)s"),
    "origin_revised": N_("%(who)s judged that %(tag)s was made by %(department)s."),
    "photo_added.found": N_("%(who)s took a photo of %(about)s."),
    "photo_added.after": N_("%(who)s took a photo after the work on %(about)s."),
    "photo_added.concession": N_("%(who)s took a photo for the concession of %(about)s."),
    "photo_added.context": N_("%(who)s took a photo that shows where %(about)s is."),
    "photo_stored": N_("The picture of %(about)s arrived and was stored."),
    "photo_refused": N_("The picture of %(about)s could not be kept: %(reason)s"),
    "photo_marked": N_("%(who)s drew on the photo of %(about)s."),
    "photo_removed": N_("%(who)s took the photo of %(about)s out of the record: %(reason)s"),
    "part_judged": N_("Marks on %(part)s were judged together: %(findings)s."),
    "plan_accepted": N_("%(who)s accepted the plan of the work. %(plan)s"),
    "plan_accepted.otherwise": N_(
        "%(who)s accepted the plan of the work. %(plan)s Otherwise than it was proposed: %(otherwise)s."
    ),
    "job_planned": N_("The work was planned: %(chains)s."),
    "job_taken": N_("%(who)s took the job %(job)s."),
    "job_handed_back": N_("%(who)s handed the job %(job)s back: %(reason)s"),
    "job_rerouted": N_("%(who)s sent the job %(job)s to %(department)s: %(reason)s"),
    "step_inserted": N_("%(who)s put a step of %(department)s before the job %(job)s: %(reason)s"),
    "spot_examined": N_("%(who)s looked at %(tag)s closely: %(seen)s."),
    "method_chosen": N_("%(who)s chose another way for a job: %(job)s."),
    "method_chosen.why": N_("%(who)s chose a way that was barred, for the job %(job)s: %(reason)s"),
    "job_pinned": N_("%(who)s put the job %(job)s first."),
    "job_pinned.over": N_("%(who)s put the job %(job)s back into its turn."),
    "spot_not_found": N_("%(who)s could not find %(tag)s: %(reason)s"),
    "waiting_for": N_("%(who)s set the job %(job)s aside until this comes: %(what)s"),
    "waiting_for.over": N_("%(who)s noted that the job %(job)s need not wait any longer."),
    "timer_started": N_("%(who)s started the safety timer “%(timer)s” for %(minutes)s: %(place)s."),
    "timer_ended": N_("%(who)s looked and ended the safety timer “%(timer)s”: %(place)s."),
    "timer_ended.early": N_("%(who)s ended the safety timer “%(timer)s” before its time was over: %(reason)s"),
    "work_done": N_("%(who)s did the job %(job)s in %(minutes)s."),
    "concession_asked": N_("%(who)s asked for a concession of %(tag)s."),
    "concession_agreed": N_("%(who)s agreed to the concession of %(tag)s."),
    "concession_refused": N_("%(who)s refused the concession of %(tag)s: %(reason)s"),
    "gate_confirmed": N_("%(who)s confirmed the gate “%(gate)s”."),
    "gate_confirmed.checked": N_("%(who)s confirmed the gate “%(gate)s”: %(words)s."),
    "gate_confirmed.failed": N_("%(who)s found that the gate “%(gate)s” does not hold: %(words)s."),
    "gate_confirmed.withdrawn": N_("%(who)s took back the confirmation of the gate “%(gate)s”."),
    "gate_confirmed.silent": N_(
        "%(who)s passed over tablet %(silent)s, which had not said that nothing is unsent on it."
    ),
    "question_answered": N_("%(who)s answered the question “%(question)s”: %(answer)s"),
    "unit_signed": N_("%(who)s signed the unit off, revision %(revision)s."),
    "sheet_issued": N_("The sheet of revision %(revision)s was made and stored."),
    "unit_reopened": N_("%(who)s opened the unit again: %(reason)s"),
}
UNREADABLE = N_("%(who)s sent something that cannot be read.")

# What is told of another event's sentence by a key of its body.
WAYS: dict[str, str] = {"zones_absent": "why", "put_right_here": "how", "photo_added": "role"}


def way(event: str, body: Mapping[str, Any], resolved: Mapping[str, Any]) -> str:
    """Name the sentence of an event by its body: a key of SENTENCES; "" when there is none for it."""
    named = (
        f"{event}.{body.get(WAYS[event])}" if event in WAYS else f"{event}.{_manner(event, body, resolved)}".rstrip(".")
    )
    return named if named in SENTENCES else ""


def _manner(event: str, body: Mapping[str, Any], resolved: Mapping[str, Any]) -> str:
    if event == "zone_looked":
        return "found" if body.get("found") else ""
    if event == "station_passed":
        return "walked" if body.get("walk") else ""
    if event == "part_stage":
        return "painted" if body.get("stage") == "painted" else ""
    if event == "plan_accepted":
        return "otherwise" if body.get("otherwise") else ""
    if event == "part_refitted":
        return "otherwise" if body.get("reason") else ""
    if event == "reading_taken":
        return "" if body.get("part") or body.get("joint") else "nowhere"
    if event in ("marker_made", "marker_cleared", "marker_withdrawn"):
        return "read" if body.get("reading") else ""
    if event == "no_flaw_decided":
        return "agreed" if body.get("agreed") else ""
    if event == "timer_ended":
        return "early" if body.get("reason") else ""
    if event == "method_chosen":
        return "why" if body.get("reason") else ""
    if event == "job_pinned":
        return "over" if body.get("pinned") is False else ""
    if event == "waiting_for":
        return "" if body.get("what") else "over"
    if event == "gate_confirmed":
        way = "silent" if body.get("tablet") else "withdrawn" if body.get("withdrawn") else ""
        return way or (_checked(body, resolved) if body.get("values") else "")
    return ""


def _checked(body: Mapping[str, Any], resolved: Mapping[str, Any]) -> str:
    """How a gate with values reads; what was refused may hold anything."""
    if "words" in resolved:
        return "failed" if resolved.get("failed") else "checked"
    gate, values = body.get("gate"), body["values"]
    if not isinstance(gate, str) or not isinstance(values, Mapping) or gate_values.asked(gate) is None:
        return ""
    return "failed" if gate_values.wrong(gate, values) is None and gate_values.failed(gate, values) else "checked"
