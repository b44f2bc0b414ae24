"""The stages of a part that leaves the van: what comes next by its material, what keeps it, what belongs together.

Times are milliseconds UTC and are handed in; nothing here knows the hour.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from pydantic import TypeAdapter

from inspect_app.trade.catalogue import CatalogueError
from inspect_app.trade.rule_rows import Span, Stages
from inspect_app.words import gettext as _

FIRST, PAINTED, LAST = "off", "painted", "refitted"
MINUTE = 60_000
OUTSIDE = {"plastic": "plastic", "metal": "metal"}
"""What a part of the outline is taken to be made of, by the material of its zones; else a person says it."""


@dataclass(frozen=True, kw_only=True)
class Kept:
    """Why a part must wait, and until when (ms UTC)."""

    text: str
    until: int


def load(raw: Mapping[str, Any]) -> Stages:
    """Check the stages as they stand in the file.

    Raises CatalogueError for a stage nobody has named, an order that does not begin with `off` and end with `painted`
    and `refitted`, and for a stretch of no length.
    """
    found = TypeAdapter(Stages).validate_python(raw)
    faults = [sentence for _place, sentence in located(found)]
    if faults:
        raise CatalogueError(*faults)
    return found


def located(book: Stages) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Yield what is wrong with stages, materials, waits and windows among themselves, each with its place."""
    for key, material in book.materials.items():
        place = ("materials", key, "stages")
        for one in sorted(set(material.stages) - set(book.stages)):
            yield place, _("material '%(key)s' names the stage '%(one)s', which does not exist", key=key, one=one)
        if material.stages[:1] != (FIRST,) or material.stages[-2:] != (PAINTED, LAST):
            yield place, _(
                "material '%(key)s' has to begin with '%(first)s' and to end with '%(painted)s' and '%(last)s'",
                key=key, first=FIRST, painted=PAINTED, last=LAST,
            )  # fmt: skip
        if len(set(material.stages)) < len(material.stages):
            yield place, _("material '%(key)s' names a stage twice", key=key)
    for name, spans in (("waits", book.waits), ("windows", book.windows)):
        for number, span in enumerate(spans):
            yield from (((name, number, field), said) for field, said in _span_faults(book, span))
    for number, window in enumerate(book.windows):
        same = [one.minutes for one in book.waits if (one.since, one.before) == (window.since, window.before)]
        if same and max(same) >= window.minutes:
            yield ("windows", number, "minutes"), _(
                "from '%(since)s' to '%(before)s' the time is over (%(window)s min) before the wait is (%(wait)s min)",
                since=window.since, before=window.before, window=window.minutes, wait=max(same),
            )  # fmt: skip


def _span_faults(book: Stages, span: Span) -> Iterator[tuple[str, str]]:
    for field in ("since", "before"):
        if getattr(span, field) not in book.stages:
            yield field, _("'%(one)s' of a wait or window is not a stage", one=getattr(span, field))
    if span.minutes < 1:
        yield "minutes", _(
            "from '%(since)s' to '%(before)s' there have to be minutes (got %(n)s)",
            since=span.since, before=span.before, n=span.minutes,
        )  # fmt: skip
    for key, material in book.materials.items():
        line = material.stages
        if span.since in line and span.before in line and line.index(span.since) >= line.index(span.before):
            yield "before", _(
                "a %(key)s part is '%(before)s' before it is '%(since)s', so it would wait for ever; turn them round",
                key=key, before=span.before, since=span.since,
            )  # fmt: skip
            return


@cache
def builtin() -> Stages:
    """The stages that come with Lampwalk."""
    text = files("inspect_app.trade").joinpath("catalogue", "part_stages.toml").read_text("utf-8")
    return load(tomllib.loads(text))


def after(book: Stages, material: str, stage: str) -> str | None:
    """Return the stage that follows one, None after the last."""
    line = book.materials[material].stages
    return next(iter(line[line.index(stage) + 1 :]), None)


def fault(book: Stages, material: str, stage: str, wanted: str) -> str | None:
    """Say why a part of this material cannot go from a stage to the wanted one; None when it can.

    It can go to the next stage, or to one it has been through already, to do that again.
    """
    line = book.materials[material].stages
    if wanted not in line:
        return _(
            "A %(material)s is not %(stage)s; choose its next stage.",
            material=_(book.materials[material].label),
            stage=_(book.stages[wanted].label) if wanted in book.stages else wanted,
        )
    if line.index(wanted) <= line.index(stage) or after(book, material, stage) == wanted:
        return None
    missing = after(book, material, stage)
    return _(
        "The part is %(stage)s; it has to be %(missing)s before it is %(wanted)s.",
        stage=_(book.stages[stage].label),
        missing=_(book.stages[str(missing)].label),
        wanted=_(book.stages[wanted].label),
    )


def done_after(book: Stages, material: str, done: Mapping[str, int], stage: str, at: int) -> dict[str, int]:
    """Return when each stage was done once `stage` is done at a time; what came after it counts no longer."""
    line = book.materials[material].stages
    kept = line[: line.index(stage)]
    return {**{key: ms for key, ms in done.items() if key in kept}, stage: at}


def keeps(book: Stages, done: Mapping[str, int], wanted: str | None, now: int) -> Kept | None:
    """Return what keeps a part from its next stage, of the waits that still run the one that ends first; or None."""
    running = [
        Kept(text=span.text, until=done[span.since] + span.minutes * MINUTE)
        for span in book.waits
        if span.before == wanted and span.since in done and done[span.since] + span.minutes * MINUTE > now
    ]
    return min(running, key=lambda one: one.until, default=None)


def free_at(book: Stages, done: Mapping[str, int], wanted: str | None) -> int | None:
    """Return when the last wait before a stage is over, None when there is none."""
    ends = [done[one.since] + one.minutes * MINUTE for one in book.waits if one.before == wanted and one.since in done]
    return max(ends, default=None)


def fades(book: Stages, material: str, done: Mapping[str, int], stage: str) -> tuple[Span, int] | None:
    """Return the window a part in a stage is in, with when it closes (ms UTC); None when it is in none."""
    line = book.materials[material].stages
    for span in book.windows:
        if span.since in done and span.before in line and line.index(stage) < line.index(span.before):
            return span, done[span.since] + span.minutes * MINUTE
    return None


def counterpart(part: str) -> str | None:
    """Return the same part on the other side of the van, None for a part that has no side."""
    for here, there in (("_left", "_right"), ("_right", "_left")):
        if part.endswith(here):
            return part.removesuffix(here) + there
    return None


def side(part: str) -> str:
    """Return `left`, `right`, or nothing for a part that has no side."""
    return next((one for one in ("left", "right") if part.endswith(f"_{one}")), "")


def belong_together(part: str, neighbours: Iterable[str], others: Iterable[str]) -> list[str]:
    """Return which of some other parts have to be of the same paint batch as this one.

    That is its counterpart on the other side, and those it meets, from front to rear.
    """
    own = {*neighbours, counterpart(part)}
    return [other for other in others if other in own and other != part]
