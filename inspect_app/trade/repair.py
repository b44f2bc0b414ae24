"""How a unit is put right at the least cost: which parts are refinished, in one booth visit or none, in what order.

`cheapest_plan` decides between spots and whole parts (repair_choice.py); `plan_unit` does so for a unit, twice, and
lays out the work (repair_unit.py, repair_order.py). Which methods are open for a flaw is decided before, by
selectors.py. All minutes are the catalogue's: starting guesses of common practice, each plant's own to replace.
"""

from inspect_app.trade.repair_choice import Choice, cheapest_plan
from inspect_app.trade.repair_parts import PartChoice, part_choices
from inspect_app.trade.repair_spots import Flaw, Prices
from inspect_app.trade.repair_unit import BOOTH_MINUTES, Ground, UnitPlan, Way, plan_unit, set_minutes

__all__ = ["BOOTH_MINUTES", "Choice", "Flaw", "Ground", "PartChoice", "Prices", "UnitPlan", "Way", "cheapest_plan",
           "part_choices", "plan_unit",
    "set_minutes"]  # fmt: skip
