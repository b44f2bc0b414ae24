"""Rates, a first page: marks a van for a period, with how sure one can be of them."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any
from urllib.parse import urlencode

from flask import Blueprint, Response, render_template, request
from flask.typing import ResponseReturnValue
from markupsafe import Markup
from werkzeug.datastructures import MultiDict

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import parts, setup
from inspect_app.journal.queries import rates as query
from inspect_app.rates.words import figure
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.rates.blocks import HEADS, Block, Told, label_tables, tell
from inspect_app.rooms.rates.forms import PeriodForm, usual
from inspect_app.rooms.rates.places import MOST, Place, places, too_few
from inspect_app.rooms.rates.vans import of_vans
from inspect_app.rooms.rates.widths import Widths, widths
from inspect_app.rooms.shown import opening, zone
from inspect_app.trade.outline import Outline
from inspect_app.words import N_, midway
from inspect_app.words import gettext as _

room = Blueprint("rates", __name__, template_folder="templates")
room.app_template_filter("rate")(figure)
MOST_MIXUPS = 50  # told one by one; the sum counts all
QUICK = ((1, N_("Week")), (4, N_("4 weeks")), (13, N_("Quarter")), (52, N_("Year")))


@room.get("/rates")
@needs("manager")
def rates() -> ResponseReturnValue:
    """Show the rates of a period, or what is wrong with the period asked for."""
    form, only = _form(), _only()
    if not form.validate():
        return render_template("rates/rates.html", form=form, told=None, quick=_quick(form, only), only=[]), 422
    told = _told(form, only)
    asked = {"from": form.first.data.isoformat(), "to": form.last.data.isoformat()}
    return render_template(
        "rates/rates.html",
        form=form,
        told=told,
        places=_places(form, only),
        too_few=too_few(),
        plots={block.by: plot(block) for block in told.blocks},
        quick=_quick(form, only),
        only=_narrowed(asked, only),
        narrow=lambda by, key: _address({**asked, **only, by: key}),
        widths=_widths(form, only),
        mixed=_mixed(form),
        csv=f"/rates.csv?{urlencode({**asked, **only})}",
        gaps_csv=f"/rates/gaps.csv?{urlencode({**asked, **only})}",
    )


@room.get("/rates.csv")
@needs("manager")
def rates_csv() -> ResponseReturnValue:
    """Hand the same lines out as CSV."""
    from inspect_app.rooms.rates import sheet

    form, only = _asked_for()
    blocks: list[Block | Place] = [*_told(form, only).blocks, *_places(form, only, most=None)]
    return _file("rates", sheet.rates_csv(blocks, form.first.data, form.last.data), form)


@room.get("/rates/gaps.csv")
@needs("manager")
def gaps_csv() -> ResponseReturnValue:
    """Hand the lines of the gaps over the weeks out as CSV; only the header where no make and joint has gaps enough."""
    from inspect_app.rooms.rates import sheet

    form, only = _asked_for()
    found = _widths(form, only)
    return _file("gaps", sheet.gaps_csv(found.lines if found else (), form.first.data, form.last.data), form)


def _asked_for() -> tuple[PeriodForm, dict[str, str]]:
    """The period and what it is narrowed to, for a file. Raises Refusal."""
    form, only = _form(), _only()
    if not form.validate():
        raise Refusal("period", " ".join(str(fault) for fault in (*form.first.errors, *form.last.errors)), 422)
    return form, only


def _file(what: str, text: str, form: PeriodForm) -> Response:
    name = f"{what}_{form.first.data}_{form.last.data}.csv"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(text.encode("utf-8-sig"), mimetype="text/csv", headers=headers)


def _widths(form: PeriodForm, only: dict[str, str]) -> Widths | None:
    return widths(reader(), form.period(zone()), only, _outline(), zone())


def _today() -> date:
    return datetime.fromtimestamp(journal().clock() / 1000, zone()).date()


def _form() -> PeriodForm:
    """The period asked for; what is not given comes from the last four weeks."""
    four_weeks = usual(_today())
    given = {"from": four_weeks["first"].isoformat(), "to": four_weeks["last"].isoformat()}
    asked = {name: request.args.get(name) or day for name, day in given.items()}
    return PeriodForm(MultiDict(asked))


def _only() -> dict[str, str]:
    """What the page is narrowed to, by keys of the catalogue."""
    labels = label_tables(journal().catalogue())
    only = {by: request.args[by] for by in HEADS if request.args.get(by)}
    for by, key in only.items():
        if key not in labels[by]:
            raise Refusal(
                "no_key",
                _("'%(key)s' is not in the catalogue; go back to the rates and choose again.", key=key[:40]),
                404,
            )
    return only


def _places(form: PeriodForm, only: dict[str, str], most: int | None = MOST) -> list[Place]:
    """The tables of where marks are; parts as the outline for new units names them."""
    named = {part.id: _(part.label) for part in _outline().parts}
    found = places(reader(), form.period(zone()), only, journal().catalogue(), named, most)
    return [*found, *of_vans(reader(), form.period(zone()), only, zone())]


def _outline() -> Outline:
    return journal().outline(setup.current_outline(reader()))


def _told(form: PeriodForm, only: dict[str, str]) -> Told:
    start, end = form.period(zone())
    db = reader()
    return tell(query.flaws(db, start, end), query.units(db, start, end), journal().catalogue(), only)


def _mixed(form: PeriodForm) -> dict[str, Any]:
    """The mix-ups of parts in the period, and how many labels were read and right."""
    start, end = form.period(zone())
    book = journal().catalogue().rule_book.part_stages.stages
    rows = [
        {
            "six": row["last_six"],
            "read": row["read"],
            "piece": opening(_(row["label"])),
            "stage": _(book[row["stage"]].label) if row["stage"] in book else row["stage"],
            "at": row["at"],
        }
        for row in parts.mixups(reader(), start, end)
    ]
    return {"rows": rows[:MOST_MIXUPS], "n": len(rows), "read": parts.labels_read(reader(), start, end)}


def plot(block: Block) -> Markup:
    """Draw a block's lines; the module escapes every text."""
    from inspect_app.rates.plot import Words, interval_plot

    words = Words(title=block.question, labels=block.labels)
    return Markup(interval_plot(block.lines, words, ident=f"plot-{block.by}", width=440))  # noqa: S704


def _quick(form: PeriodForm, only: dict[str, str]) -> list[dict[str, Any]]:
    found = []
    for weeks, label in QUICK:
        days = usual(_today(), weeks)
        here = days == {"first": form.first.data, "last": form.last.data}
        asked = {"from": days["first"].isoformat(), "to": days["last"].isoformat(), **only}
        found.append({"label": _(label), "href": _address(asked), "here": here})
    return found


def _narrowed(asked: dict[str, str], only: dict[str, str]) -> list[dict[str, str]]:
    labels = label_tables(journal().catalogue())
    return [
        {
            "label": f"{midway(_(HEADS[by]))}: {labels[by][key]}",
            "href": _address({**asked, **{name: one for name, one in only.items() if name != by}}),
        }
        for by, key in only.items()
    ]


def _address(asked: dict[str, str]) -> str:
    return f"/rates?{urlencode(asked)}"
