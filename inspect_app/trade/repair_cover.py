"""Which work a refinish of its part makes needless: what is polished first is painted over an hour later.

A new film over the whole part takes with it what the plan takes with it: flaws that a refinish is offered for. What is
offered after it (bare metal against rust) comes first and is never spared. What is known of one flaw may still bar
every method that renews, as bare metal does: then it is not covered (`journal/covered.py`).
"""

from __future__ import annotations

from inspect_app.trade.repair_spots import FILL, WHOLE
from inspect_app.trade.repair_unit import BLEND
from inspect_app.trade.rule_rows import Selectors

RENEWING = (*WHOLE, BLEND, FILL)  # a blend is a refinish that goes on into the neighbour
PAINTS = "paint"  # the department whose step lays the new film


def spared(selectors: Selectors) -> dict[str, list[str]]:
    """Return, by kind, the methods milder than a refinish of the whole part, where the kind is offered one."""
    found: dict[str, list[str]] = {}
    for kind in sorted({kind for offer in selectors.offers for kind in offer.kinds}):
        methods = [method for offer in selectors.offers if kind in offer.kinds for method in offer.methods]
        first = next((place for place, method in enumerate(methods) if method in (*WHOLE, BLEND)), 0)
        if first:
            found[kind] = methods[:first]
    return found
