"""The benches of the half-year: each department's technicians take what waits, the oldest van first, job by job."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from inspect_app.journal import Journal
from sample_units.days import MINUTE
from sample_units.half_year.crew import Crew
from sample_units.half_year.looking import Timed, photo
from sample_units.half_year.van import Live

NEW = """
SELECT id, unit, part, chain, step, attempt, department, method, minutes_planned AS minutes, film, state FROM jobs
WHERE n > ? AND state IN ('ready', 'waiting', 'cancelled') ORDER BY n, step
"""
IN_JOB = "SELECT marker FROM job_markers WHERE job = ? AND left_out = 0"
SURE = 90  # tenths of µm: below it no class bars, however far each polish went beyond its plan
AGAIN = "The gauge leaves enough clear for it"
Job = dict[str, Any]


@dataclass
class Chain:
    """Jobs of one chain that are still to do, in their order; `free`: when the next may begin (ms UTC)."""

    live: Live
    jobs: list[Job]
    free: int = 0


@dataclass
class Benches:
    """Everything that waits for work."""

    journal: Journal
    crew: Crew
    lot: random.Random
    chains: dict[str, Chain] = field(default_factory=dict)
    seen: int = 0
    known: set[str] = field(default_factory=set)
    cut: Counter[tuple[str, str]] = field(default_factory=Counter)  # film taken of van and part, tenths of µm

    def __post_init__(self) -> None:
        self.methods = self.journal.catalogue().methods

    def read(self, vans: Mapping[str, Live]) -> None:
        """Take up what the journal has planned since, and leave what was cancelled."""
        db = self.journal.read()
        newest = self.journal.newest()
        for row in db.execute(NEW, (self.seen,)):
            if row["state"] == "cancelled":
                self.chains.pop(row["chain"], None)
            elif row["id"] not in self.known and row["unit"] in vans:
                self.known.add(row["id"])
                live = vans[row["unit"]]
                self.chains.setdefault(row["chain"], Chain(live, [])).jobs.append(dict(row))
        self.seen = newest

    def day(self, opens: int, closes: int) -> Iterator[Timed]:
        """Work through a day: every job that ends before closing time (ms UTC), taken and done."""
        free = {key: opens + self.lot.randrange(20) * MINUTE for key in self.crew.hands}
        for key, chain in sorted(self.chains.items(), key=lambda item: item[1].live.unit.number):
            while chain.jobs and (done := self._job(chain, free, opens, closes)):
                yield from done
            if not chain.jobs:
                del self.chains[key]

    def _job(self, chain: Chain, free: dict[str, int], opens: int, closes: int) -> list[Timed]:
        job = chain.jobs[0]
        who = min(self.crew.of(job["department"]), key=free.__getitem__)
        minutes = max(3, round(job["minutes"] * self.lot.uniform(0.75, 1.2)))
        start = max(free[who], chain.free, opens)
        end = start + minutes * MINUTE
        if end > closes:
            return []
        free[who] = end + self.lot.randint(1, 6) * MINUTE
        chain.free = end
        chain.jobs.pop(0)
        method = self.methods[job["method"]]
        if not chain.jobs:
            chain.live.cured = max(chain.live.cured, end + method.wait_minutes * MINUTE)
        return self._events(chain, job, who, start, end, minutes)

    def _events(self, chain: Chain, job: Job, who: str, start: int, end: int, minutes: int) -> list[Timed]:
        live, hands, method = chain.live, self.crew.hands[who], self.methods[job["method"]]
        cautions = list(method.cautions)
        events: list[Timed] = list(self._measured(live, job, who, start))
        events += [(start, hands.event(live.id, "job_taken", {"job": job["id"], "cautions": cautions}, at=start))]
        if not chain.jobs:
            events += self._pictures(live, job, who, end - 20_000)
        body: dict[str, Any] = {"job": job["id"], "minutes": minutes}
        if job["film"] and job["department"] == "polish":
            body["film"] = round(job["film"] * self.lot.uniform(0.6, 1.3))
        if "new clips" in method.materials and job["department"] == "trim":
            body["clips"] = self.lot.randint(2, 7)
        return [*events, (end, hands.event(live.id, "work_done", body, at=end))]

    def _measured(self, live: Live, job: Job, who: str, at: int) -> Iterator[Timed]:
        """Say why film is taken once more where it was before: the bench may bar it, and a gauge knows better."""
        if job["step"] > 1 or not self.methods[job["method"]].film:
            return
        where = (live.id, job["part"])
        self.cut[where] += self.methods[job["method"]].film or 0
        if self.cut[where] > SURE:
            body = {"job": job["id"], "method": job["method"], "reason": AGAIN}
            yield at - 1, self.crew.hands[who].event(live.id, "method_chosen", body, at=at - 1)

    def _pictures(self, live: Live, job: Job, who: str, at: int) -> Iterator[Timed]:
        """Photos of what is put right, of marks that are pictured before and after; not of what will be sent back."""
        pairs = {key for key, flaw in live.marks.items() if flaw.photo == "pair" and not flaw.returned}
        if not pairs - live.pictured:
            return
        rows = self.journal.read().execute(IN_JOB, (job["id"],))
        for key in sorted(pairs & {row["marker"] for row in rows} - live.pictured):
            live.pictured.add(key)
            yield at, photo(live, self.crew.hands[who], key, "after", at, job=job["id"])
