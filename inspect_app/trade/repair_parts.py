"""What each choice of a plan costs: for every part its spots and its refinish, and what the other way would add."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.repair_spots import WHOLE, Flaw, Prices
from inspect_app.trade.repair_unit import Ground, UnitPlan, plan_unit


@dataclass(frozen=True, kw_only=True)
class PartChoice:
    """One part of a plan: whether it is refinished, its flaws, and what the other choice would cost.

    `other` is the cost of the whole plan with this part done the other way, `more` what that is above the plan at
    hand; both None where there is no other way, and `why_not` says why. Costs are in the plan's unit.
    """

    part: str
    refinish: bool
    tags: tuple[str, ...]
    other: Fraction | None
    more: Fraction | None
    why_not: str


def part_choices(
    catalogue: Catalogue,
    flaws: Iterable[Flaw],
    parts: Mapping[str, Ground],
    joints: Sequence[tuple[str, str]],
    plan: UnitPlan,
    *,
    effect: bool = False,
    prices: Prices | None = None,
) -> tuple[PartChoice, ...]:
    """Return the choice for every part with a flaw, each with the whole plan solved anew for the other choice.

    The arguments are those the plan was made with. What one choice saves is told against the rest of the plan: the
    booth and the blends that come or go with it are in it.
    """
    open_flaws = [flaw for flaw in flaws if flaw.methods]
    by_part: dict[str, list[str]] = {}
    for flaw in open_flaws:
        by_part.setdefault(flaw.part, []).append(flaw.id)
    wholes = {part for part in by_part if _renewed_in(plan, part)}
    found = []
    for part, tags in by_part.items():
        ground, other, why_not = parts[part], None, ""
        if part in wholes and ground.no_spots:
            why_not = ground.no_spots
        else:
            flipped = {**parts, part: replace(ground, chosen="spots" if part in wholes else "refinish")}
            try:
                other = plan_unit(catalogue, open_flaws, flipped, joints, effect=effect, prices=prices).proposed.cost
            except ValueError as fault:
                why_not = str(fault)
        more = None if other is None or plan.proposed.cost is None else other - plan.proposed.cost
        found.append(
            PartChoice(part=part, refinish=part in wholes, tags=tuple(tags), other=other, more=more, why_not=why_not)
        )
    return tuple(found)


def _renewed_in(plan: UnitPlan, part: str) -> bool:
    laid = plan.proposed.laid
    return laid is not None and any(part in task.parts and task.method in WHOLE for task in laid.tasks)
