"""Units brought as far as the bench needs them, through the journal."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sample_units.hands import Hands, new_id
from tests.bench import marks
from tests.bench.plant import Site
from tests.conftest import CAST

DAY_MS = 24 * 3_600_000


@contextmanager
def days_ago(here: Site, days: int) -> Iterator[None]:
    """Let the whole cast work some days ago, so that what they put right has cured by now."""
    cast: list[Hands] = [getattr(here.plant, key) for key in CAST]
    for hands in cast:
        hands.at = here.journal.clock() - days * DAY_MS
        hands.sign_in()
    yield
    for hands in cast:
        hands.at = None
        hands.sign_in()


def walked(here: Site, count: int, *, unit: str | None = None, finish: bool = True, seed: int = 0) -> str:
    """A unit with so many markers of a first walk, which is over or under way."""
    unit = unit or here.plant.unit()
    ines = here.plant.ines
    walk = ines.start_walk(unit)
    _good(ines.send(*marks.markers(ines, unit, walk, count, seed=seed)))
    if finish:
        _good([ines.finish_walk(unit, walk)])
    return unit


def put_right(here: Site, unit: str) -> None:
    """Do every job there is, step after step."""
    cast = (here.plant.per, here.plant.zaneta, here.plant.dmytro)
    while todo := [(hands, job) for hands in cast for job in hands.jobs(unit)]:
        for hands, job in todo:
            if hands.take(unit, job).code == "barred":  # many spots lie close together here: the film is spent
                why = {"job": job["id"], "method": job["method"], "reason": "for the bench"}
                _good([hands.do(unit, "method_chosen", why), hands.take(unit, job)])
        _good(
            [hands.do(unit, "work_done", {"job": job["id"], "minutes": job["minutes_planned"]}) for hands, job in todo]
        )


def looked_again(here: Site, unit: str) -> None:
    """Clear what was reworked, withdraw what no department of the cast takes, look at what work has undone."""
    lukasz = here.plant.lukasz
    walk = lukasz.start_walk(unit, "again")
    for row in here.plant.rows("markers", unit):
        if row["state"] == "reworked":
            _good([lukasz.do(unit, "marker_cleared", {"marker": row["id"], "walk": walk})])
        elif row["state"] in ("open", "in_rework"):
            _good([lukasz.do(unit, "marker_withdrawn", {"marker": row["id"], "reason": "a reflection"})])
    _good([lukasz.finish_walk(unit, walk)])


def signed(here: Site, count: int, *, photos: int = 0) -> str:
    """A unit of so many markers with so many pictures, worked on, looked at again and signed."""
    with days_ago(here, 10):
        unit = walked(here, count, seed=7)
        put_right(here, unit)
    if photos:
        picture_markers(here, unit, photos)
    looked_again(here, unit)
    _good([here.plant.lukasz.sign(unit)])
    return unit


def picture_markers(here: Site, unit: str, count: int) -> None:
    """Give markers a picture before and one after."""
    from tests.bench.pictures import stored

    ines = here.plant.ines
    markers = [row["id"] for row in here.plant.rows("markers", unit)]
    for number in range(count):
        photo = new_id()
        role = "after" if number % 2 else "found"
        body = {"photo": photo, "marker": markers[number // 2 * 2], "role": role}
        _good([ines.do(unit, "photo_added", body)])
        kept = stored(here, number)
        told = {"sha": kept.sha, "bytes": kept.bytes, "width": kept.width, "height": kept.height}
        here.journal.record_server(f"unit:{unit}", "photo_stored", {"photo": photo, **told})


def _good(answers: list[Any]) -> None:
    wrong = [answer.reason for answer in answers if answer.outcome != "applied"]
    if wrong:
        raise RuntimeError(f"{len(wrong)} were not applied: {wrong[0]}")
