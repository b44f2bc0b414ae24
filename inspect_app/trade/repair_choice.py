"""What is cheaper: to mend single spots, or to refinish the part; exactly, for all parts of a unit at once.

A part alone is easily decided. Joints tie parts together: where one of two is refinished and the other is not, the
colour has to be blended across, and that is charged once for the joint. The least sum over all parts is a smallest cut
in a graph with two ends, "refinish" and "leave" (Greig, Porteous and Seheult 1989 solve this kind of labelling so, from
memory): no sum is guessed and none is missed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import isfinite, lcm
from typing import Any

from inspect_app.trade.repair_cut import source_side

Minutes = int | float | Fraction | Decimal
_Edges = dict[str, dict[str, int]]


@dataclass(frozen=True, kw_only=True)
class Choice:
    """The cheapest choice: its minutes, the parts to refinish; for all others their spots are mended."""

    minutes: int | float | Fraction
    refinish: frozenset[str]


def cheapest_plan(
    parts: Mapping[str, tuple[Minutes | None, Minutes | None]],
    joints: Iterable[tuple[str, str, Minutes]] = (),
) -> Choice:
    """Return the cheapest choice between spot repair and refinish for every part.

    Args:
        parts: for each part the minutes for its spots and the minutes to refinish it. None bars that way.
        joints: part, part, and the minutes to blend when exactly one of the two is refinished. Two joints of a pair
            add up; a joint of a part with itself is never charged.

    Returns:
        The choice. Of equally cheap ones it is the one with the fewest refinished parts, of which there is only one.
        Its minutes are exact: whole for whole minutes, a Fraction when one came in. Floats and decimals are read as
        the digits they are written with, summed exactly, and rounded once, to a float.

    Raises:
        ValueError: minutes below zero or not finite, both ways barred, a joint of an unknown part; in one sentence.
    """
    costs = {part: _two(part, pair) for part, pair in parts.items()}
    blends = [_blend(joint, costs) for joint in joints]
    given = [*(one for pair in costs.values() for one in pair if one is not None), *(joint[2] for joint in blends)]
    kinds = set(map(type, given))
    scale = 1 if kinds <= {int} else lcm(*{one.denominator for one in map(_exact, given)})
    whole: Mapping[str, tuple[int | None, int | None]] = costs  # type: ignore[assignment]
    if not kinds <= {int}:
        whole = {part: (_scaled(spot, scale), _scaled(full, scale)) for part, (spot, full) in costs.items()}
        blends = [(one, other, _scaled(minutes, scale) or 0) for one, other, minutes in blends]
    edges: dict[str, dict[str, int]] = {part: {} for part in costs}
    for one, other, minutes in blends:
        if one != other:
            edges[one][other] = edges[other][one] = edges[one].get(other, 0) + int(minutes)
    refinish = _smallest_cut(whole, edges)
    total = sum(pair[part in refinish] or 0 for part, pair in whole.items())
    total += sum(edges[part][other] for part in refinish for other in edges[part] if other not in refinish)
    return Choice(minutes=total if kinds <= {int} else _like(Fraction(total, scale), given), refinish=refinish)


def _smallest_cut(costs: Mapping[str, tuple[int | None, int | None]], edges: _Edges) -> frozenset[str]:
    beyond = 1 + sum(one or 0 for pair in costs.values() for one in pair)
    beyond += sum(minutes for around in edges.values() for minutes in around.values())  # more than all of it together
    # What a part gains by being refinished, and what its joints could take away or add at most.
    lean = {part: _or(spot, beyond) - _or(full, beyond) for part, (spot, full) in costs.items()}
    chosen = _plain(lean, edges)
    open_parts = [part for part in costs if part not in chosen]
    place = {part: number for number, part in enumerate(open_parts, 2)}
    refinish, leave = 0, 1
    cut = [(refinish, place[part], lean[part], 0) for part in open_parts if lean[part] > 0]
    cut += [(place[part], leave, -lean[part], 0) for part in open_parts if lean[part] < 0]
    cut += [(place[a], place[b], m, m) for a in open_parts for b, m in edges[a].items() if place[a] < place.get(b, 0)]
    side = source_side(len(place) + 2, cut, refinish, leave)
    return frozenset(part for part in costs if chosen.get(part, place.get(part) in side))


def _plain(lean: dict[str, int], edges: _Edges) -> dict[str, bool]:
    """Decide the parts whose own minutes outweigh all their joints, again and again; `lean` then holds for the rest."""
    sway = {part: sum(around.values()) for part, around in edges.items()}
    chosen: dict[str, bool] = {}
    waiting = list(lean)
    while waiting:
        part = waiting.pop()
        if part in chosen or -sway[part] < lean[part] <= sway[part]:
            continue
        chosen[part] = lean[part] > sway[part]
        for other, minutes in edges[part].items():
            lean[other] += minutes if chosen[part] else -minutes
            sway[other] -= minutes
            waiting.append(other)
    return chosen


def _two(part: str, pair: Any) -> tuple[Minutes | None, Minutes | None]:
    try:
        spot, refinish = pair
    except (TypeError, ValueError):
        raise ValueError(f"'{part}' needs two figures: minutes for its spots and minutes to refinish it") from None
    for minutes, what in ((spot, "spot repair"), (refinish, "refinish")):
        if minutes is not None and not _is_plain(minutes):
            _check(minutes, f"the {what} of '{part}'")
    if spot is None and refinish is None:
        raise ValueError(f"'{part}' can neither be spot repaired nor refinished; open one of the two")
    return spot, refinish


def _blend(joint: Any, parts: Mapping[str, Any]) -> tuple[str, str, Minutes]:
    try:
        one, other, minutes = joint
    except (TypeError, ValueError):
        raise ValueError(f"a joint needs two parts and its minutes to blend (got {joint!r})") from None
    for part in (one, other):
        if part not in parts:
            raise ValueError(f"the joint of '{one}' and '{other}' names '{part}', which is not among the parts")
    if not _is_plain(minutes):
        _check(minutes, f"the blend between '{one}' and '{other}'")
    return one, other, minutes


def _is_plain(minutes: Any) -> bool:
    """Whether these are whole minutes, as by far the most are: there is nothing to say against them."""
    return type(minutes) is int and minutes >= 0


def _check(minutes: Any, what: str) -> None:
    if not isinstance(minutes, int | float | Fraction | Decimal) or isinstance(minutes, bool) or not isfinite(minutes):
        raise ValueError(f"the minutes for {what} must be a number (got {minutes!r})")
    if minutes < 0:
        raise ValueError(f"the minutes for {what} are below zero (got {minutes}); give zero or more")


def _exact(minutes: Minutes) -> int | Fraction:
    """0.1 is meant as a tenth, not as the nearest that a float can hold."""
    if isinstance(minutes, int | Fraction):
        return minutes
    return Fraction(str(float(minutes)) if isinstance(minutes, float) else minutes)


def _scaled(minutes: Minutes | None, scale: int) -> int | None:
    return None if minutes is None else int(_exact(minutes) * scale)


def _or(minutes: int | None, beyond: int) -> int:
    return beyond if minutes is None else minutes


def _like(total: Fraction, given: list[Any]) -> int | float | Fraction:
    if any(isinstance(one, float | Decimal) for one in given):
        return float(total)
    if any(isinstance(one, Fraction) for one in given):
        return total
    return int(total)
