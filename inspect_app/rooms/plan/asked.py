"""What somebody asks of a plan: how it is counted, which parts go otherwise than the sums say, and why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from inspect_app.trade.repair_unit import Chosen
from inspect_app.words import gettext as _

WAYS: tuple[Chosen, ...] = ("spots", "refinish")
MOST = 500


@dataclass(kw_only=True)
class Asked:
    """The choices of a form. `changed`: they are not those the plan that was shown had been made with.

    `sent_in`: somebody sent them; else the page is only opened.
    """

    counted: str = ""
    chosen: dict[str, Chosen] = field(default_factory=dict)
    reasons: dict[str, str] = field(default_factory=dict)
    accepts: bool = False
    changed: bool = False
    sent_in: bool = False
    faults: dict[str, str] = field(default_factory=dict)
    basis: str = ""

    def __post_init__(self) -> None:
        self.counted = "money" if self.counted == "money" else "minutes"

    @classmethod
    def sent(cls, form: Mapping[str, Any]) -> Asked:
        """Read a form: `was-PART` was shown, `own-PART` tells a person's choice, `way-PART` is what is chosen."""
        asked = cls(counted=str(form.get("count", "")), accepts=form.get("do") == "accept", sent_in=True)
        for name in form:
            part = name.removeprefix("was-")
            if part == name:
                continue
            was, way, own = form.get(name), form.get(f"way-{part}") or form.get(name), bool(form.get(f"own-{part}"))
            if way == was and not own:
                continue
            asked.changed = asked.changed or way != was
            if way != was and own:
                continue  # the person's choice is taken back: the sums decide again
            for one in WAYS:
                if way == one:
                    asked.chosen[part] = one
                    asked.reasons[part] = str(form.get(f"why-{part}") or "").strip()[:MOST]
        if asked.accepts and not asked.changed:
            asked.faults = {
                part: _("A reason is missing; say in a few words why.")
                for part in asked.chosen
                if not asked.reasons[part]
            }
        return asked

    @property
    def otherwise(self) -> list[dict[str, str]]:
        """The choices as an event says them."""
        return [{"part": part, "chosen": way, "reason": self.reasons[part]} for part, way in self.chosen.items()]
