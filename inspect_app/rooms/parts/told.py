"""A part in words: its stage, what keeps it, what comes next; and the sums of a unit."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from inspect_app.journal.queries import parts as query
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.shown import near, when
from inspect_app.trade import part_stages as stages
from inspect_app.trade.catalogue_rows import Caution
from inspect_app.trade.repair import set_minutes
from inspect_app.trade.rule_rows import Stage, Stages
from inspect_app.words import gettext as _
from inspect_app.words.figures import figure
from inspect_app.words.spans import minutes_words

OVER = ("refitted", "put_back")


def book() -> Stages:
    """The stages of the catalogue in force."""
    return journal().catalogue().rule_book.part_stages


@dataclass(frozen=True, kw_only=True)
class Standing:
    """Where a part stands: its `stage`, what `keeps` it or is next; `held` while it waits or has to go back."""

    stage: str
    keeps: str
    held: bool
    faded: bool = False


def standing(row: Any, now: int) -> Standing:
    """Say where a part stands at a time (ms UTC)."""
    rules, done = book(), json.loads(row["done"])
    stage = _(rules.stages[row["stage"]].label)
    if row["state"] in OVER:
        said = _("put back untouched") if row["state"] == "put_back" else stage
        return Standing(stage=said, keeps=_("since %(when)s", when=when(row["back_at"])), held=False)
    wanted = str(stages.after(rules, row["material"], row["stage"]))
    kept, free = stages.keeps(rules, done, wanted, now), stages.free_at(rules, done, wanted)
    if kept is not None:
        said = _("%(why)s; free %(when)s", why=_(kept.text), when=near(free))
        return Standing(stage=stage, keeps=said, held=True)
    window = stages.fades(rules, row["material"], done, row["stage"])
    coming = _(rules.stages[wanted].label)
    if window is not None:
        span, until = window
        target = _(rules.stages[span.before].label)
        if until < now:
            said = _("%(why)s: it has to be %(again)s again", why=_(span.text), again=_(rules.stages[span.since].label))
            return Standing(stage=stage, keeps=said, held=True, faded=True)
        return Standing(
            stage=stage,
            keeps=_("next: %(next)s; to be %(target)s by %(when)s", next=coming, target=target, when=near(until)),
            held=False,
        )
    return Standing(stage=stage, keeps=_("next: %(next)s", next=coming), held=False)


def coming(row: Any, now: int) -> str | None:
    """The stage a part goes to now: the next, or one to be done again that has faded; None when the part is back."""
    if row["state"] in OVER:
        return None
    rules, done = book(), json.loads(row["done"])
    window = stages.fades(rules, row["material"], done, row["stage"])
    return (
        window[0].since
        if window is not None and window[1] < now
        else stages.after(rules, row["material"], row["stage"])
    )


def waits(row: Any, now: int) -> bool:
    """Whether a wait keeps a part from what comes."""
    wanted = coming(row, now)
    return stages.keeps(book(), json.loads(row["done"]), wanted, now) is not None


def line(row: Any, now: int) -> dict[str, Any]:
    """One part as a line of the rack."""
    return {
        "id": row["id"],
        "piece": _(row["label"]),
        "place": row["place"] or "",
        "standing": standing(row, now),
        "over": row["state"] in OVER,
    }


def track(row: Any, now: int) -> list[dict[str, Any]]:
    """The stages of a part in their order, each with when it was done; the one it goes to now is `here`."""
    rules, done = book(), json.loads(row["done"])
    order = book().materials[row["material"]].stages
    upcoming = coming(row, now)
    if row["state"] == "refitted":
        done = {**done, stages.LAST: row["back_at"]}
    return [{"label": _(rules.stages[key].label), "at": done.get(key), "here": key == upcoming} for key in order]


def clips(rows: Sequence[Any]) -> dict[str, Any]:
    """The clips of some parts together: out, broken, replaced, and what the new ones cost."""
    told = {name: sum(row[f"clips_{name}"] for row in rows) for name in ("out", "broken", "replaced")}
    return {**told, "cost": money(sum(row["clips_cost"] for row in rows))}


def as_set(rows: Sequence[Any]) -> dict[str, Any] | None:
    """The plastic parts that are off: how many, and their hours as one set from off to refitted; None for none."""
    pieces = sum(row["state"] not in OVER and row["material"] == "plastic" for row in rows)
    minutes = set_minutes(journal().catalogue(), pieces)
    return None if minutes is None else {"pieces": pieces, "time": minutes_words(minutes)}


def cautions(stage: Stage) -> list[Caution]:
    """The cautions of a stage that the plant's catalogue has."""
    book = journal().catalogue()
    return [book.cautions[key] for key in stage.cautions if key in book.cautions]


def department(stage: Stage) -> str:
    """The department whose stage it is, by the plant's own name; "" where it has none such."""
    found = journal().catalogue().departments.get(stage.department)
    return "" if found is None else _(found.label)


def money(hundredths: int) -> str:
    """A sum as it is written here: 1200 is "12.00"."""
    return figure(f"{hundredths / 100:.2f}")


def groups(now: int) -> list[dict[str, Any]]:
    """The rack: each van with its parts that are off."""
    found: dict[str, dict[str, Any]] = {}
    for row in query.rack(reader()):
        found.setdefault(row["unit"], {"unit": row, "lines": []})["lines"].append(line(row, now))
    return list(found.values())


def now() -> int:
    """The server's clock, ms UTC."""
    return journal().clock()
