"""Which parts of the rules are changed on a page, and by which form."""

from inspect_app.rooms.setup.rules_bars import BarsForm
from inspect_app.rooms.setup.rules_base import RulesForm
from inspect_app.rooms.setup.rules_clusters import ClustersForm
from inspect_app.rooms.setup.rules_figures import BudgetsForm, ReadingsForm
from inspect_app.rooms.setup.rules_gates import GatesForm
from inspect_app.rooms.setup.rules_offers import OffersForm
from inspect_app.rooms.setup.rules_stages import StagesForm

FORMS: dict[str, type[RulesForm]] = {
    "clusters": ClustersForm,
    "offers": OffersForm,
    "bars": BarsForm,
    "budgets": BudgetsForm,
    "readings": ReadingsForm,
    "part_stages": StagesForm,
    "gate_values": GatesForm,
}
