"""The register: every marker with what it is, where, by which limit it was judged, and who did what about it."""

from collections.abc import Iterator
from typing import Any

from inspect_app.sheet.data import Marker, SheetData, Work
from inspect_app.sheet.flow import Band, Block
from inspect_app.sheet.pictures import Album, photo_bands
from inspect_app.sheet.rings import STATES, draw_ring
from inspect_app.sheet.table import Column, Line, columns, header, row, text, wrap_cell
from inspect_app.sheet.text import BODY, BOLD, QUIET, SMALL, STRONG, Style, put, width
from inspect_app.sheet.times import Clock, by
from inspect_app.words import N_, ngettext
from inspect_app.words import gettext as _
from inspect_app.words.spans import minutes_words

VERDICTS = {
    "within": N_("within limit"),
    "over": N_("over limit"),
    "unmeasured": N_("not measured"),
    "no_limit": N_("no limit set"),
}
ORIGINS = {
    "assumed": N_("from %(origin)s (assumed)"),
    "judged": N_("from %(origin)s (judged)"),
}
_TAG = Style(font=BOLD, size=9)
_SOFT = BODY.but(colour=QUIET)
_STATE = SMALL.but(leading=BODY.leading)


def register_columns(wide: float) -> tuple[Column, ...]:
    """Return the columns of the register; the fourth only names the step told in the fifth."""
    return columns(
        wide, (_("MARKER"), 52), (_("WHAT AND WHERE"), 180), (_("LIMIT"), 98), ("", 29), (_("WHO AND WHEN"), 160)
    )


def register_header(wide: float) -> Band:
    """Return the heads, repeated on every page the register runs over."""
    return header(register_columns(wide))


def register_rows(data: SheetData, wide: float, album: Album, clock: Clock) -> list[Block]:
    """Return one row for each marker, in the order given."""
    cols = register_columns(wide)
    return [_marker_row(number, marker, cols, album, clock) for number, marker in enumerate(data.markers)]


def _marker_row(number: int, marker: Marker, cols: tuple[Column, ...], album: Album, clock: Clock) -> Block:
    def mark(canvas: Any, x: float, top: float) -> None:
        draw_ring(canvas, x + 7, top - 8.2, marker.state, marker.severity, radius=4.0, seed=number)
        put(canvas, x + 18, top - 11.4, marker.tag, tag)

    fitting = _TAG.size * (cols[0].wide - 19) / max(width(marker.tag, _TAG), 1)
    tag = _TAG.but(size=min(_TAG.size, fitting))
    names, told = _history(marker, clock, cols[4].wide)
    cells = [_state_cell(marker), _what(marker), _limit(marker), names, told]
    below = photo_bands(marker.photos, bool(marker.worked), album, cols[1].x, cols[4].x + cols[4].wide - cols[1].x)
    return row(cells, cols, mark=mark, below=below, again=_again(marker))


def _again(marker: Marker) -> Band:
    words = _("%(tag)s, continued", tag=marker.tag)
    return Band(height=13, draw=lambda canvas, x, top: put(canvas, x, top - 9, words, STRONG.but(colour=QUIET)))


def _state_cell(marker: Marker) -> list[Line]:
    """Return the words below ring and tag, which take the place of the first two lines."""
    blank = ("", BODY)
    words = _(STATES.get(marker.state, marker.state))
    extra = [_("found after signing")] if marker.escape else []
    return [blank, *text(words, *extra, style=_STATE)]


def _what(marker: Marker) -> list[Line]:
    place = marker.zone
    if marker.surface_class:
        place = _("%(zone)s · class %(surface_class)s", zone=marker.zone, surface_class=marker.surface_class)
    origin = _(ORIGINS.get(marker.basis, N_("from %(origin)s")), origin=marker.origin) if marker.origin else ""
    return [
        *text(f"{marker.kind} · {marker.severity}", style=STRONG),
        *text(marker.words),
        *text(place if marker.words != marker.zone or marker.surface_class else "", origin, style=_SOFT),
        *text(_("found at %(station)s", station=marker.found_at) if marker.found_at else "", style=_SOFT),
        *text(_("“%(note)s”", note=marker.note) if marker.note else ""),
    ]


def _limit(marker: Marker) -> list[Line]:
    verdict = _(VERDICTS.get(marker.verdict, marker.verdict))
    style = STRONG if marker.verdict == "over" else BODY
    return [*text(marker.size), *text(verdict, style=style), *text(marker.limit, style=_SOFT)]


def _history(marker: Marker, clock: Clock, wide: float) -> tuple[list[Line], list[Line]]:
    """Return the steps' names and what they tell, line beside line."""
    names: list[Line] = []
    told: list[Line] = []
    for name, words in _steps(marker, clock):
        lines = wrap_cell(text(words), wide)
        told += lines
        names += [(name, _SOFT), *[("", _SOFT)] * (len(lines) - 1)] if lines else []
    return names, told


def _steps(marker: Marker, clock: Clock) -> Iterator[tuple[str, str]]:
    yield _("found"), by(marker.made_by, clock.at(marker.made_at))
    for work in marker.worked:
        yield _("work"), _work(work, clock)
    if marker.returns:
        yield _("back"), ngettext("sent back once", "sent back %(n)s times", marker.returns)
    yield _("cleared"), by(marker.cleared_by, clock.at(marker.cleared_at))
    yield _("closed"), marker.closing


def _work(work: Work, clock: Clock) -> str:
    minutes = minutes_words(work.minutes) if work.minutes is not None else ""
    what = " · ".join(part for part in (work.department, work.method, minutes) if part)
    return by(work.who, clock.at(work.at)) + (f"\n{what}" if what else "")
