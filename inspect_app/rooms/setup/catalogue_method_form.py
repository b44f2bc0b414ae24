"""The form of a method: how it is done, which departments do it one after the other, what it undoes, what can hurt."""

from __future__ import annotations

from typing import Any

from wtforms import BooleanField, Field, FieldList, Form, FormField, SelectField, ValidationError
from wtforms.fields import SelectChoice

from inspect_app.rooms.setup.catalogue_forms import RowForm
from inspect_app.rooms.setup.fields import KeysField, LinesField, TenthsField, choices, whole
from inspect_app.rooms.units.forms import line
from inspect_app.rooms.whole_field import WholeField
from inspect_app.trade.catalogue_rows import Batch, Method, Step, Voids
from inspect_app.trade.catalogue_words import SCOPES
from inspect_app.words import gettext as _
from inspect_app.words import lazy

SPARE = 2  # empty steps below those there are
MOST_STEPS = 12
TWO_WEEKS = 20_160  # minutes
BLANK = {"department": ""}


def minutes(label: str, hint: str = "") -> WholeField:
    """Minutes, or nothing."""
    return WholeField(label, most=TWO_WEEKS, description=hint)


class StepForm(Form):
    """One department's share. Without a department the step is left out."""

    department = SelectField(lazy("Department"))
    minutes_base = minutes(lazy("Minutes"))
    minutes_spot = minutes(lazy("and a spot"))
    minutes_off = minutes(lazy("on a rack"))
    text = line(lazy("What is done"), most=200)

    def validate_text(self, field: Field) -> None:
        """A step says what is done."""
        if self.department.data and not field.data:
            raise ValidationError(_("'What is done' is missing; say it in a few words."))


class MethodForm(RowForm):
    """A method with its chain of departments."""

    part = "methods"
    steps = LinesField(lazy("How it is done"), description=lazy("One step on a line, as the hands do it"))
    chain = FieldList(FormField(StepForm), min_entries=0, max_entries=MOST_STEPS)
    cautions = KeysField(lazy("Cautions"), description=lazy("Read before the work is taken"))
    scope = SelectField(lazy("Whose looks it undoes"))
    laps = KeysField(lazy("In which laps"))
    wait_minutes = minutes(lazy("Wait before the second look"), lazy("Cure or drying"))
    waits_for = KeysField(
        lazy("Comes after"), description=lazy("On one part, these methods are done before this one is begun")
    )
    film = TenthsField(lazy("Film it takes off"))
    renews_film = BooleanField(lazy("New clear lies on top afterwards"))
    booth = BooleanField(lazy("Needs the booth"))
    minutes_set = minutes(lazy("As a set: once"), lazy("When a whole set of parts is done together"))
    minutes_piece = minutes(lazy("As a set: a piece"))
    materials = LinesField(lazy("Materials"), description=lazy("One on a line"))

    def shown(self, row: Any) -> dict[str, Any]:
        """The steps with some empty ones below, what lies deeper beside them."""
        steps = [vars(step) for step in row.chain]
        batch = {"minutes_set": row.batch.minutes_set, "minutes_piece": row.batch.minutes_piece} if row.batch else {}
        spare: list[dict[str, Any]] = [BLANK] * max(0, min(SPARE, MOST_STEPS - len(steps)))
        return {**vars(row), "chain": [*steps, *spare], "scope": row.voids.scope, "laps": row.voids.laps, **batch}

    def empty(self) -> dict[str, Any]:
        """A new method has room for three steps."""
        return {"chain": [BLANK] * 3, "scope": "zone", "laps": ("lamp",)}

    def settle(self, row: Any) -> None:
        """Lists of the catalogue at hand."""
        known = self.catalogue
        takers = {key: one for key, one in known.departments.items() if one.takes_jobs}
        for step in self.chain:
            named = choices(takers, step.form.department.data)
            step.form.department.choices = [SelectChoice("", _("no step here")), *named]
        self.cautions.choices = choices(known.cautions, *(row.cautions if row else ()))
        self.scope.choices = [SelectChoice(key, _(label)) for key, label in SCOPES.items()]
        self.laps.choices = choices(known.laps)
        others = {key: one for key, one in known.methods.items() if row is None or key != row.key}
        self.waits_for.choices = choices(others, *(row.waits_for if row else ()))

    def _steps(self) -> list[int]:
        """Which of the steps on the page are meant."""
        return [number for number, step in enumerate(self.chain) if step.form.department.data]

    def row(self) -> Method:
        """The method as it was typed."""
        steps = [self.chain[number].form for number in self._steps()]
        pieces = whole(self.minutes_set), whole(self.minutes_piece)
        made: Method = self.made(
            Method,
            steps=self.steps.data or (),
            chain=tuple(
                Step(
                    department=step.department.data,
                    minutes_base=whole(step.minutes_base),
                    minutes_spot=whole(step.minutes_spot),
                    minutes_off=step.minutes_off.data,
                    text=step.text.data or "",
                )
                for step in steps
            ),
            cautions=self.cautions.data or (),
            voids=Voids(scope=self.scope.data, laps=self.laps.data or ()),
            wait_minutes=whole(self.wait_minutes),
            waits_for=self.waits_for.data or (),
            film=self.film.data or 0,
            renews_film=bool(self.renews_film.data),
            booth=bool(self.booth.data),
            batch=Batch(minutes_set=pieces[0], minutes_piece=pieces[1]) if any(pieces) else None,
            materials=self.materials.data or (),
        )
        return made

    def of(self, place: tuple[str | int, ...]) -> Field | None:
        """Faults of a step stand beside its own fields, those of the looks beside the laps."""
        if place[0] == "methods" and place[2:3] == ("waits_for",):  # a loop runs through this method, wherever it ends
            looped: Field = self.waits_for
            return looped
        if place[:2] != ("methods", self.key()):
            return None
        if place[2:3] == ("chain",):
            return self._of_step(place[3:])
        found: Field | None = self.laps if place[2:3] == ("voids",) else super().of(place)
        return found

    def _of_step(self, place: tuple[str | int, ...]) -> Field | None:
        there = self._steps()
        number = there[place[0]] if place and isinstance(place[0], int) and place[0] < len(there) else 0
        step = self.chain[number].form if len(self.chain) else None
        name = str(place[1]) if len(place) > 1 else "department"
        return None if step is None else step[name]
