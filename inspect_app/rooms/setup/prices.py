"""What an hour of work costs in each department, where it differs from the price of all others."""

from __future__ import annotations

from wtforms import Field, ValidationError

from inspect_app.rooms.setup.forms import PlantForm, clip_hundredths
from inspect_app.rooms.units.forms import line
from inspect_app.trade.catalogue import Catalogue
from inspect_app.words import gettext as _

PREFIX = "hour_cost_"


def with_departments(catalogue: Catalogue) -> type[PlantForm]:
    """Return the form of the plant with one more field, `hour_cost_<key>`, for each department that takes jobs."""
    taking = [one for one in catalogue.departments.values() if one.takes_jobs and not one.retired]
    fields = {f"{PREFIX}{one.key}": _field(_(one.label)) for one in taking}
    return type("PlantDepartmentsForm", (PlantForm,), fields)


def fields_of(form: PlantForm) -> list[Field]:
    """Return the departments' fields of a form, in the order of the catalogue."""
    return [field for field in form if field.name.startswith(PREFIX)]


def _field(label: str) -> Field:
    field = line(label[:1].upper() + label[1:], most=10)
    field.kwargs["validators"] = [*field.kwargs["validators"], _is_price]
    return field


def _is_price(form: PlantForm, field: Field) -> None:
    """A price, or nothing; and one of all others beside it, which the plan needs for the departments that have none."""
    if not field.data:
        return
    if clip_hundredths(field.data) is None:
        raise ValidationError(
            _(
                "The price of an hour in '%(department)s' is not a price (got '%(data)s'); "
                "write it as 60.00, or leave it empty.",
                department=field.label.text, data=field.data,
            )
        )  # fmt: skip
    if not form.hour_cost.data:
        raise ValidationError(
            _("Fill in 'An hour of work costs', too; departments without a price of their own go by it.")
        )
