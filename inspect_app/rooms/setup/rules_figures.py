"""Forms for rules that are nothing but figures: clear-coat budgets, and what readings are held against."""

from __future__ import annotations

from collections.abc import Iterator

from inspect_app.rooms.setup.rules_base import Block, Figure, Place, RulesForm
from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.catalogue_words import PAINTS
from inspect_app.trade.reading_taken import PLACES
from inspect_app.words import gettext as _


class BudgetsForm(RulesForm):
    """The clear-coat budgets."""

    part = "budgets"

    @classmethod
    def told(cls, catalogue: Catalogue) -> Iterator[Block]:
        """All spots together, then a row for each paint and its classes."""
        yield Block(
            label=_("All spots"),
            at=("budgets",),
            figures=(
                Figure(place=("budgets", "reach"), label=_("The same clear within"), unit="mm"),
                Figure(place=("budgets", "thin_film"), label=_("A whole film is thin under"), unit="µm"),
                Figure(place=("budgets", "no_cut_film"), label=_("Nothing is cut under"), unit="µm"),
            ),
        )
        for number, one in enumerate(catalogue.rule_book.budgets.budgets):
            at: Place = ("budgets", "budgets", number)
            classes = ", ".join(one.surface_classes)
            yield Block(
                label=_("%(paint)s, class %(classes)s", paint=_(PAINTS.get(one.paint, one.paint)), classes=classes),
                at=at,
                figures=(
                    Figure(place=(*at, "most"), label=_("May come off"), unit="µm"),
                    Figure(place=(*at, "stay"), label=_("Must stay"), unit="µm"),
                    Figure(place=(*at, "clear"), label=_("Assumed to be there"), unit="µm"),
                ),
            )


class ReadingsForm(RulesForm):
    """What readings are held against."""

    part = "readings"

    @classmethod
    def told(cls, catalogue: Catalogue) -> Iterator[Block]:
        """A row for each reading."""
        found = catalogue.rule_book.readings
        for place in found.film:
            at: Place = ("readings", "film", place)
            yield Block(
                label=_("film, %(place)s", place=_(PLACES.get(place, place))),
                at=at,
                figures=(
                    Figure(place=(*at, "least"), label=_("Thin under"), unit="µm", optional=True),
                    Figure(place=(*at, "strip"), label=_("Too thick over"), unit="µm"),
                ),
            )
        yield cls._row("colour", _("colour"), ("warn", _("Look again above"), "ΔE00"),
                       ("metallic_trim", _("A trim of metallic or pearl, at most"), "ΔE00"))  # fmt: skip
        yield cls._row("fit", _("gap and step"), ("taper", _("Runs out by at most"), "mm"),
                       ("symmetry", _("Left and right differ by at most"), "mm"),
                       ("proud", _("Proud of the part before it by at most"), "mm"))  # fmt: skip
        yield cls._row("dew", _("dew point"), ("margin", _("Above the dew point at least"), "°C"))
        worst = tuple(
            Figure(place=("readings", "adhesion", "worst", name), most=5,
                   label=_("Worst grade that passes, class %(class_)s", class_=name))
            for name in found.adhesion.worst
        )  # fmt: skip
        thickest = Figure(place=("readings", "adhesion", "thickest"), label=_("No cross-cut above"), unit="µm")
        yield Block(label=_("adhesion"), at=("readings", "adhesion"), figures=(*worst, thickest))

    @staticmethod
    def _row(name: str, label: str, *figures: tuple[str, str, str]) -> Block:
        at: Place = ("readings", name)
        told = tuple(Figure(place=(*at, field), label=said, unit=unit) for field, said, unit in figures)
        return Block(label=label, at=at, figures=told)
