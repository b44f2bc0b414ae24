"""Settings of the plant: its name, its time zone, its paper, how tablets come in, its language."""

from __future__ import annotations

from datetime import datetime

from flask import flash, redirect, render_template
from flask.typing import ResponseReturnValue

from inspect_app.journal.journal import PLANT
from inspect_app.journal.queries import setup, units
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.rooms.setup.door import room
from inspect_app.rooms.setup.forms import clip_hundredths, timezones
from inspect_app.rooms.setup.prices import PREFIX, fields_of, with_departments
from inspect_app.rooms.shown import zone
from inspect_app.words import gettext as _
from inspect_app.words.figures import figure
from inspect_app.words.languages import ENGLISH

USUAL = {"timezone": "UTC", "paper": "a4", "admitting": "sign_in", "language": ENGLISH, "formats": ""}
PRICES = ("hour_cost", "booth_cost")
ASKED = ("asked_film", "asked_colour", "asked_gaps")
NOT_PLACES = ("Etc/", "SystemV/", "posix/", "right/")


@room.route("/setup/settings", methods=["GET", "POST"])
@needs("manager")
def settings() -> ResponseReturnValue:
    """Show and change the settings of the plant."""
    known = {**USUAL, "plant": units.plant_name(reader()) or "", **setup.settings(reader())}
    price = figure(f"{setup.clip_cost(reader()) / 100:.2f}")
    of_plant = with_departments(journal().catalogue())
    prices = {name: _price(value) for name, value in known.items() if name in PRICES or name.startswith(PREFIX)}
    asked = {name: setup.readings_asked(reader(), name.removeprefix("asked_")) for name in ASKED}
    form = of_plant(data={**known, "clip_cost": price, **prices, **asked})
    form.offer(datetime.fromtimestamp(journal().clock() / 1000, zone()))
    if form.validate_on_submit():
        for name in ("plant", "timezone", "paper"):
            if form[name].data != setup.settings(reader()).get(name):
                journal().record(ticket(), PLANT, "setting_changed", {"name": name, "value": form[name].data})
        if form.admitting.data and form.admitting.data != setup.admitting(reader()):
            journal().record(ticket(), PLANT, "setting_changed", {"name": "admitting", "value": form.admitting.data})
        cost = clip_hundredths(form.clip_cost.data or "")
        if cost is not None and cost != setup.clip_cost(reader()):
            journal().record(ticket(), PLANT, "setting_changed", {"name": "clip_cost", "value": str(cost)})
        for name in (*PRICES, *(one.name for one in fields_of(form) if one.raw_data)):
            told = clip_hundredths(form[name].data or "")
            value = "" if told is None else str(told)
            if value != known.get(name, ""):
                journal().record(ticket(), PLANT, "setting_changed", {"name": name, "value": value})
        for name in ASKED:
            if form[name].data is not None and form[name].data != asked[name]:
                journal().record(ticket(), PLANT, "setting_changed", {"name": name, "value": str(form[name].data)})
        for name in ("language", "formats"):
            if form.sent(name) is not None and form.sent(name) != known[name]:
                journal().record(ticket(), PLANT, "setting_changed", {"name": name, "value": form.sent(name)})
        flash(_("The settings are kept."), "good")
        return redirect("/setup/settings")
    zones = sorted(one for one in timezones() if "/" in one and not one.startswith(NOT_PLACES))
    return render_template(
        "setup/settings.html", form=form, of_departments=fields_of(form), zones=["UTC", *zones]
    ), 422 if form.is_submitted() else 200


def _price(hundredths: str | None) -> str:
    """A price that was kept as it stands in its field; "" for none."""
    return figure(f"{int(hundredths) / 100:.2f}") if hundredths else ""
