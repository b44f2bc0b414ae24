"""What follows the cover besides the register: gates, concessions, looks, questions, earlier sheets, versions."""

from collections.abc import Sequence

from inspect_app.sheet.data import Concession, Gate, Look, Question, Reading, Revision, SheetData, Unlooked
from inspect_app.sheet.flow import Band, Block
from inspect_app.sheet.table import Column, Line, columns, header, line_bands, row, text, wrap_cell
from inspect_app.sheet.text import BODY, BOLD, QUIET, SMALL, STRONG
from inspect_app.sheet.times import Clock, by
from inspect_app.words import N_, ngettext
from inspect_app.words import gettext as _

_SOFT = BODY.but(colour=QUIET)
_GATES = {"held": N_("holds"), "overridden": N_("overridden"), "blocked": N_("blocked")}
_DECIDED = {"asked": N_("asked"), "agreed": N_("agreed"), "refused": N_("refused")}


def gates(data: SheetData, wide: float, clock: Clock) -> tuple[list[Block], Band]:
    """Return the gates of release, one row each, and their heads."""
    cols = columns(wide, (_("GATE"), 150), (_("STATE"), 62), (_("BY"), 150), (_("NOTE"), 165))
    return [_gate(gate, cols, clock) for gate in data.gates], header(cols)


def _gate(gate: Gate, cols: Sequence[Column], clock: Clock) -> Block:
    words = _(_GATES.get(gate.state, gate.state))
    style = BODY if gate.state == "held" else STRONG
    return row(
        [
            text(gate.label, style=STRONG),
            text(words, style=style),
            text(by(gate.by, clock.at(gate.at))),
            text(gate.note),
        ],
        cols,
    )


def readings(data: SheetData, wide: float, clock: Clock) -> tuple[list[Block], Band]:
    """Return the readings, each with its figures, its verdict and who took it."""
    cols = columns(wide, (_("READING"), 120), (_("FIGURES"), 140), (_("VERDICT"), 160), (_("BY"), 107))
    return [_reading(one, cols, clock) for one in data.readings], header(cols)


def _reading(one: Reading, cols: Sequence[Column], clock: Clock) -> Block:
    style = STRONG if one.state == "over" else BODY
    return row(
        [
            [*text(one.what, style=STRONG), *text(one.place)],
            text(one.told),
            text(one.verdict, style=style),
            text(by(one.person, clock.at(one.at))),
        ],
        cols,
    )


def concessions(data: SheetData, wide: float, clock: Clock) -> tuple[list[Block], Band]:
    """Return the concessions with who asked, who agreed in the shop and who for the customer."""
    cols = columns(
        wide,
        (_("MARKER"), 44),
        (_("REASON"), 170),
        (_("ASKED BY"), 105),
        (_("DECIDED BY"), 115),
        (_("FOR THE CUSTOMER"), 95),
    )
    return [_concession(one, cols, clock) for one in data.concessions], header(cols)


def _concession(one: Concession, cols: Sequence[Column], clock: Clock) -> Block:
    decided = [_(_DECIDED.get(one.state, one.state)), *one.approvers, clock.at(one.decided_at)]
    return row(
        [
            text(one.tag, style=STRONG),
            text(one.reason),
            text(one.asked_by, clock.at(one.asked_at)),
            text(*decided),
            text(one.customer, one.channel),
        ],
        cols,
    )


def overrides(data: SheetData, wide: float, clock: Clock) -> tuple[list[Block], Band]:
    """Return where somebody chose otherwise than the rules say, with their reason."""
    cols = columns(wide, (_("CHOSEN OTHERWISE"), 220), (_("REASON"), 190), (_("BY"), 117))
    rows = [
        row([text(one.what), text(one.reason), text(by(one.person, clock.at(one.at)))], cols) for one in data.overrides
    ]
    return rows, header(cols)


def looks(data: SheetData, wide: float, clock: Clock) -> tuple[list[Block], Band]:
    """Return the looks: a row for each walk and lap, a column for each view, with how many zones and when."""
    views = list(dict.fromkeys([v["id"] for v in data.outline.get("views", ())] + [look.view for look in data.looks]))
    names = {view["id"]: view["label"] for view in data.outline.get("views", ())}
    cols = columns(wide, (_("WALK AND LAP"), 118), *((_(names.get(view, view)).upper(), 58) for view in views))
    groups: dict[tuple[str, str], list[Look]] = {}
    for look in data.looks:
        groups.setdefault((look.walk, look.lap), []).append(look)
    order = {walk.key: number for number, walk in enumerate(data.walks)}
    labels = {walk.key: walk.label for walk in data.walks}
    keys = sorted(groups, key=lambda key: order.get(key[0], len(order)))
    return [_lap_row(labels.get(key[0], key[0]), groups[key], views, cols, clock) for key in keys], header(cols)


def _lap_row(walk: str, group: Sequence[Look], views: Sequence[str], cols: Sequence[Column], clock: Clock) -> Block:
    people = ", ".join(dict.fromkeys(look.person for look in group))
    days = clock.days(min(look.at for look in group), max(look.at for look in group))
    first = [*text(f"{walk} · {group[0].lap}", style=STRONG), *text(people), *text(days, style=_SOFT)]
    cells = [_view_cell([look for look in group if look.view == view], clock) for view in views]
    return row([first, *cells], cols)


def _view_cell(group: Sequence[Look], clock: Clock) -> list[Line]:
    if not group:
        return text("–", style=_SOFT)
    counted = {look.zone for look in group if not look.voided}
    stale = {look.zone for look in group if look.voided} - counted
    span = clock.hours(min(look.at for look in group), max(look.at for look in group))
    zones = ngettext("%(n)s zone", "%(n)s zones", len(counted))
    undone = ngettext("%(n)s undone by work", "%(n)s undone by work", len(stale)) if stale else ""
    return [*text(zones), *text(span, style=SMALL.but(leading=BODY.leading)), *text(undone, style=_SOFT)]


def walks(data: SheetData, wide: float, clock: Clock) -> tuple[list[Block], Band]:
    """Return the walks with who made them and when."""
    cols = columns(wide, (_("WALK"), 170), (_("BY"), 170), (_("STARTED"), 95), (_("FINISHED"), 95))
    return [
        row(
            [
                text(walk.label, style=STRONG),
                text(walk.person),
                text(clock.at(walk.started)),
                text(clock.at(walk.finished) or _("not finished")),
            ],
            cols,
        )
        for walk in data.walks
    ], header(cols)


def unlooked(data: SheetData, wide: float) -> list[Block]:
    """Return the zones no look counts for, gathered by the reason and the lap."""
    cols = columns(wide, ("", 120), ("", 400))
    groups: dict[str, list[Unlooked]] = {}
    for zone in data.unlooked:
        groups.setdefault(f"{zone.why}, {zone.lap}" if zone.lap else zone.why, []).append(zone)
    return [
        row([text(f"{why} · {len(zones)}", style=STRONG), text(", ".join(zone.zone for zone in zones))], cols)
        for why, zones in groups.items()
    ]


def questions(data: SheetData, wide: float, clock: Clock) -> tuple[list[Block], Band]:
    """Return what had to be asked before release, with the answers."""
    cols = columns(wide, (_("MARKER"), 44), (_("QUESTION"), 190), (_("ANSWER"), 145), (_("BY"), 148))
    return [_question(one, cols, clock) for one in data.questions], header(cols)


def _question(one: Question, cols: Sequence[Column], clock: Clock) -> Block:
    answer = text(one.answer) or text(_("not answered"), style=STRONG)
    return row([text(one.tag, style=STRONG), text(one.text), answer, text(by(one.answered_by, clock.at(one.at)))], cols)


def earlier(data: SheetData, wide: float, clock: Clock) -> tuple[list[Block], Band]:
    """Return the sheets of this unit that came before."""
    cols = columns(
        wide,
        (_("REVISION"), 44),
        (_("ISSUED"), 90),
        (_("SIGNED BY"), 120),
        (_("REOPENED BECAUSE"), 175),
        (_("SHA-256 OF THE FILE"), 98),
    )
    return [_revision(one, cols, clock) for one in data.earlier], header(cols)


def _revision(one: Revision, cols: Sequence[Column], clock: Clock) -> Block:
    return row(
        [
            text(one.letter, style=STRONG),
            text(clock.at(one.issued)),
            text(one.signed_by),
            text(one.reopened_because),
            text(one.sha, style=_SOFT),
        ],
        cols,
    )


def record(data: SheetData, wide: float) -> list[Block]:
    """Return what this sheet was made from, so that it can be held against the shop's own record."""
    times = data.timezone
    if not data.speech.formats:
        times = _("%(timezone)s, year-month-day and hours to 24", timezone=data.timezone)
    told = [
        (_("Head of the chain"), data.head),
        (_("Catalogue"), data.catalogue_version),
        (
            _("Outline"),
            " · ".join(part for part in (_(str(data.outline.get("label", ""))), data.outline_version) if part),
        ),
        (_("Times"), times),
        (_("Limits"), _("Built-in limits are the shop's own starting values.") if data.builtin_limits else ""),
    ]
    cols = columns(wide, ("", 90), ("", 430))
    cells = [[text(name, style=SMALL.but(font=BOLD)), text(words, style=SMALL)] for name, words in told if words]
    lines = [[wrap_cell(cell, col.wide) for cell, col in zip(pair, cols, strict=True)] for pair in cells]
    return [Block(bands=tuple(band for pair in lines for band in line_bands(pair, cols)))]
