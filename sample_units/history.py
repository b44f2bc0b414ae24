"""What happened to the ten vans of the demo, each told up to another stage. Times are working days back from now."""

from __future__ import annotations

from collections.abc import Callable

from inspect_app.journal import planned
from sample_units import gauges, rack
from sample_units.benches import cured, done, rework, take
from sample_units.days import MINUTE, Story
from sample_units.hands import new_id
from sample_units.signature import strokes
from sample_units.van import Van, must
from sample_units.walks import look_again, walk

Telling = Callable[[Van], Story]


def arrived(van: Van) -> Story:
    """Came in this hour; nobody has looked at it yet."""
    yield van.shop.days.ago(55)
    van.arrive()


def incoming(van: Van) -> Story:
    """Walked as it came, so that damage of the transport does not become ours."""
    days = van.shop.days
    yield days.day(-1, "13:20")
    van.arrive()
    yield from walk(van, "maud", "incoming", days.day(-1, "14:10"), 26)


def walking(van: Van) -> Story:
    """On its first walk now, about half-way round under the lamp."""
    days = van.shop.days
    yield days.day(-2, "10:40")
    van.arrive()
    yield from walk(van, "ines", "first", days.ago(36), 96, part=0.34)


def waiting(van: Van) -> Story:
    """Walked yesterday; all its marks wait on the departments' lists. Its side mouldings came off since and harden."""
    days = van.shop.days
    yield days.day(-4, "09:30")
    van.arrive()
    yield from walk(van, "lukasz", "first", days.day(-1, "08:20"), 104)
    yield from gauges.booth_air(van, days.ago(350))
    yield from rack.mouldings(van, days.ago(290), wrong="090551")


def in_rework(van: Van) -> Story:
    """Several benches at once: a dent at its second step, a part on order, a job sent to another department."""
    days = van.shop.days
    yield days.day(-6, "08:50")
    van.arrive()
    yield from walk(van, "ines", "first", days.day(-3, "08:40"), 92)
    held = {_job_of(van, name)["chain"] for name in ("dent", "part", "wrong")}
    yield days.day(-3, "13:30")
    part = _job_of(van, "part")
    what = "right moulding, rear corner: new part from the maker"
    van.do("owain", "waiting_for", {"job": part["id"], "what": what, "until": days.day(3, "12:00")})
    van.do("ines", "zones_absent", {"zones": ["right.moulding_rear_corner"], "why": "off"})
    polish = {*_first(van, "polish", 4, held), _job_of(van, "deep")["id"]}
    yield from rework(van, days.day(-2, "07:30"), lambda job: job["id"] in polish)
    yield from _yesterday(van, held)
    yield from rack.arch_trims(van, days.ago(240))
    yield days.ago(95)
    take(van, _job_of(van, "dent"), van.shop.of("paint", van.spec.key))
    yield days.ago(22)
    take(van, next(job for job in _ready(van, held) if job["department"] == "polish"), "per")
    yield days.ago(12)
    reason = "The ridge is still there along its lower edge."
    van.do("ines", "marker_sent_back", {"marker": van.named("deep"), "reason": reason})


def _yesterday(van: Van, held: set[str]) -> Story:
    """The body's step of the dent, a job that was another department's, one handed back at the end of the day."""
    days = van.shop.days
    yield days.day(-1, "08:00")
    dent, body = _job_of(van, "dent"), van.shop.of("body", van.spec.key)
    take(van, dent, body)
    yield days.day(-1, "09:15")
    done(van, dent, body, 70)
    yield days.day(-1, "11:15")
    wrong = _job_of(van, "wrong")
    reason = "The door is right; the strip on it sits 2 mm low. A clip."
    fitter = van.shop.of("fit", van.spec.key)
    van.do(fitter, "job_rerouted", {"job": wrong["id"], "department": "trim", "reason": reason})
    yield days.day(-1, "16:20")
    last = next(job for job in reversed(_ready(van, held)) if job["department"] == "polish")
    take(van, last, "aino")
    yield days.day(-1, "16:50")
    van.do("aino", "job_handed_back", {"job": last["id"], "reason": "End of the shift; washed, not yet cut."})


def curing(van: Van) -> Story:
    """All put right and still curing; one flaw conceded by two, one concession asked."""
    days = van.shop.days
    yield days.day(-7, "10:10")
    van.arrive()
    yield from walk(van, "lukasz", "first", days.day(-4, "09:10"), 88)
    yield days.day(-4, "14:05")
    asked = _ask(van, "lukasz", "strip", "Eight of nine clips hold; the ninth would need a new door skin behind it.")
    yield days.day(-3, "07:50")
    must(van.shop.hands("maud").online(van.id, "concession_agreed", {"concession": asked}))
    yield days.day(-3, "08:25")
    must(van.shop.hands("ines").online(van.id, "concession_agreed", {"concession": asked}))
    yield from rework(van, days.day(-3, "08:40"), lambda job: job["method"] != "touch_in")
    yield from rework(van, days.ago(270), lambda job: job["method"] == "touch_in", today=True)
    yield days.ago(35)
    reason = "Polished as far as the clear allows: 2 cm of it still catch the light from below."
    asked = _ask(van, "lukasz", "leave", reason)
    number = van.number_of(van.named("leave"))
    van.photo(number, "lukasz", after=True, role="concession", concession=asked)


def again(van: Van) -> Story:
    """Waits for a second look, after a first one that sent a mark back; two marks wait for an inspector's word."""
    days = van.shop.days
    yield days.day(-8, "11:00")
    van.arrive()
    yield from walk(van, "ines", "first", days.day(-6, "08:15"), 94)
    apart = {_job_of(van, name)["id"] for name in ("proposed", "lost")}
    some = {_job_of(van, "back")["id"], *(key for key in _first(van, "polish", 6, set()) if key not in apart)}
    yield from rework(van, days.day(-5, "07:30"), lambda job: job["id"] in some)
    back = {"back": "Still a hollow under the line lamp, seen from the rear"}
    yield from look_again(van, "lukasz", cured(van, days.day(-3, "08:10")), back)
    yield from gauges.colour_off(van, "lukasz", days.day(-2, "07:15"))
    yield days.day(-2, "07:40")
    _word(van, "proposed", "no_flaw_proposed", "The maker's side beside it has the same peel; ours is no rougher.")
    _word(van, "lost", "spot_not_found", "Looked twice with the lamp from both sides. Where from the handle?")
    yield from rework(van, days.day(-2, "08:00"))


def reopened(van: Van) -> Story:
    """Signed, then a scratch came to light in the yard: kept as an escape, answered, and the van opened again."""
    days = van.shop.days
    yield from _to_sign(van, -11, "ines", "lukasz")
    yield from _sign(van, "lukasz")
    yield days.day(-2, "15:10")
    number = next(number for number, mark in enumerate(van.spec.marks) if mark.late)
    mark = van.spec.marks[number]
    hands = van.shop.hands("ines")
    hands.do(van.id, "marker_made", van.marker_body(number, mark, None, "lamp"), {"note": mark.note})
    yield days.day(-1, "08:35")
    question = van.rows("questions", "state = 'open'")[0]["id"]
    answer = {"question": question, "answer": "Seen it: real, and ours. It goes back in."}
    van.do("maud", "question_answered", answer)
    must(van.shop.hands("maud").online(van.id, "unit_reopened", {"reason": "Scratch on the left sliding door."}))
    yield days.day(-1, "08:50")
    van.photo(number, "ines")
    van.do("ines", "origin_revised", {"marker": van.ids[number], "origin": mark.origin})
    yield days.day(-1, "09:20")
    _accept_plan(van, van.shop.of("polish", van.spec.key))


def ready(van: Van) -> Story:
    """Everything looked at and decided; it wants a signature."""
    yield from _to_sign(van, -9, "lukasz", "ines", {"mistake": "Two lamps met here; no dent under one."})


def signed(van: Van) -> Story:
    """Signed; the server makes its sheet when it starts."""
    yield from _to_sign(van, -11, "ines", "maud")
    yield from gauges.water_came_in(van, "maud", van.shop.clock.now + 20 * MINUTE)
    yield from _sign(van, "maud")


TOLD: dict[str, Telling] = {
    "arrived": arrived,
    "incoming": incoming,
    "walking": walking,
    "waiting": waiting,
    "rework": in_rework,
    "curing": curing,
    "again": again,
    "reopened": reopened,
    "ready": ready,
    "signed": signed,
}
"""The story of each van, by its key in units.toml."""


def _to_sign(van: Van, day: int, first: str, second: str, withdrawn: dict[str, str] | None = None) -> Story:
    """From arriving to the last mark decided: walked, reworked, looked at again by somebody else."""
    days = van.shop.days
    yield days.day(day, "09:20")
    van.arrive()
    yield from walk(van, first, "first", days.day(day + 1, "08:05"), 90)
    yield days.day(day + 1, "10:20")
    for name, reason in (withdrawn or {}).items():
        van.do(first, "marker_withdrawn", {"marker": van.named(name), "reason": reason})
    yield from rework(van, days.day(day + 2, "07:30"))
    yield from look_again(van, second, days.next_day(cured(van, van.shop.clock.now), "08:30"), {})
    yield from gauges.films(van, second, van.shop.clock.now + 10 * MINUTE)


def _sign(van: Van, who: str) -> Story:
    """Confirm what wants a name, and sign against the chain as it stands."""
    yield van.shop.clock.now + 25 * MINUTE
    hands = van.shop.hands(who)
    for answer in hands.confirm(van.id):
        must(answer)
    yield van.shop.clock.now + 2 * MINUTE
    db = van.shop.journal.read()
    head = db.execute("SELECT head FROM streams WHERE stream = ?", (f"unit:{van.id}",)).fetchone()["head"]
    must(hands.online(van.id, "unit_signed", {"expected_head": head}, {"strokes": strokes(who)}, pin=True))


def _ask(van: Van, who: str, name: str, reason: str) -> str:
    concession = new_id()
    private = {"reason": reason, "customer": "Ms Amsel, fleet office", "channel": "by telephone"}
    van.do(who, "concession_asked", {"concession": concession, "marker": van.named(name)}, private)
    return concession


def _accept_plan(van: Van, who: str) -> None:
    """Accept the plan of a van as it stands."""
    journal, unit = van.shop.journal, van.rows_of_unit()
    held = planned.task(journal.read(), unit, journal.catalogue(), journal.outline(unit["outline"]))
    must(van.shop.hands(who).online(van.id, "plan_accepted", {"basis": held.basis}))


def _word(van: Van, name: str, event: str, reason: str) -> None:
    """A technician leaves a mark to an inspector."""
    job = _job_of(van, name)
    who = van.shop.of(job["department"], van.spec.key)
    van.do(who, event, {"job": job["id"], "marker": van.named(name), "reason": reason})


def _job_of(van: Van, name: str) -> dict[str, object]:
    """The job that is ready for a mark."""
    inside = f"id IN (SELECT job FROM job_markers WHERE marker = '{van.named(name)}' AND left_out = 0)"
    return van.rows("jobs", f"state = 'ready' AND {inside}")[0]


def _ready(van: Van, but: set[str]) -> list[dict[str, object]]:
    return [job for job in van.rows("jobs", "state = 'ready' AND waiting_what IS NULL") if job["chain"] not in but]


def _first(van: Van, department: str, many: int, but: set[str]) -> set[object]:
    return {job["id"] for job in [one for one in _ready(van, but) if one["department"] == department][:many]}
