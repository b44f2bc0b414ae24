"""Makes the half-year plant in an empty folder: plan, people and photos beside each other, then the story."""

from __future__ import annotations

import gc
import random
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

from inspect_app.journal import Journal
from inspect_app.journal.journal import PLANT
from sample_units import people
from sample_units.days import SetClock
from sample_units.demo import here
from sample_units.half_year.bench import Benches
from sample_units.half_year.calendar import Calendar
from sample_units.half_year.crew import Crew
from sample_units.half_year.desk import Desk
from sample_units.half_year.photos import Gallery
from sample_units.half_year.plan import SEED, UNITS, Unit, plan
from sample_units.half_year.tell import FIRST_DAY, Tale


@dataclass
class Made:
    """How long each phase took, in seconds."""

    seconds: dict[str, float] = field(default_factory=dict)

    @contextmanager
    def phase(self, name: str) -> Iterator[None]:
        """Time one phase."""
        begun = time.perf_counter()
        yield
        self.seconds[name] = time.perf_counter() - begun


def build(
    folder: Path, now: int, *, seed: int = SEED, units: int = UNITS, photos: bool = True,
    said: Callable[[int], None] = lambda day: None,
) -> Made:  # fmt: skip
    """Tell the half-year into the journal of a folder as if it were lived through until `now` (ms UTC)."""
    made, zone, settings = Made(), here(), people.settings()
    calendar = Calendar(now=now, zone=zone)
    with made.phase("plan and people"), ThreadPoolExecutor(2) as pool:  # hashing lets other threads run
        hashes = {pin: pool.submit(_hash, pin) for pin in {person.pin for person in people.everyone()}}
        vans = plan(seed, units) if photos else tuple(map(without_photos, plan(seed, units)))
        pin_hashes = {pin: made_of.result() for pin, made_of in hashes.items()}
    clock = SetClock(calendar.at(FIRST_DAY, "06:30"))
    with (
        _no_rubbish(),
        Journal(folder, clock=clock, lasting=False) as journal,
        Gallery(journal.folder.photos, vans) as gallery,
        Crew(journal, pin_hashes) as crew,
    ):
        for name, value in {**settings, "timezone": zone.key}.items():
            journal.record_server(PLANT, "setting_changed", {"name": name, "value": value})
        desk = Desk(journal, clock, calendar, crew, settings["plant"])
        benches = Benches(journal, crew, random.Random(f"benches {seed}"))
        tale = Tale(journal, clock, calendar, vans, crew, desk, benches, gallery, seed)
        with made.phase("story"):
            tale.tell(said)
        with made.phase("last photos"):
            gallery.hand_in(journal, all_of_them=True)
        desk.close()
    return made


def without_photos(unit: Unit) -> Unit:
    """The same van with nothing pictured."""
    escape = unit.escape and replace(unit.escape, flaw=replace(unit.escape.flaw, photo=""))
    return replace(unit, flaws=tuple(replace(flaw, photo="") for flaw in unit.flaws), escape=escape)


def _hash(pin: str) -> str:
    from inspect_app.rooms.people import pins

    return pins.hash_pin(pin)


@contextmanager
def _no_rubbish() -> Iterator[None]:
    """Leave the collector off: the story makes some million objects, and no circles worth looking for."""
    gc.collect()
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
