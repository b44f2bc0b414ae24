"""Read an outline from SVG text, strictly: anything not foreseen is a fault, said in one sentence that names the id.

A file that a stranger uploads is read here, so that the rules are an allow-list: elements, attributes, ids, path
commands. All faults of a file are found in one go, so that it need not be brought ten times. What only says how a path
looks is left out before (outline_xml).
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from inspect_app.trade import outline_model as model
from inspect_app.trade import outline_xml as xml
from inspect_app.trade.outline_model import Art, Joint, OutlineError, View, Zone
from inspect_app.trade.outline_path import Command, Curve, PathError, parse_path, polylines
from inspect_app.trade.outline_ring import Ring
from inspect_app.trade.outline_short import settled
from inspect_app.words import gettext as _

ALLOWED = {
    "svg": {"id", "viewBox", "width", "height", "version"},
    "view": {"class", "id", "data-label", "data-width", "data-height", "data-nose", "transform"},
    "group": {"class", "id"},
    "art": {"class", "d", "id"},
    "zone": {"id", "d", "data-part", "data-label", "data-class", "data-laps", "data-material", "data-paint",
             "data-overlay", "data-order", "class"},
    "joint": {"id", "d", "data-parts", "data-label", "data-nominal", "data-tolerance", "class"},
    "words": {"id"},
}  # fmt: skip
MOST = {"art": 2000, "zones": 400, "joints": 800}  # in one view; our own outline has a fifth of it
MOST_NUMBERS = 100_000  # in all paths together; four times those of our own
_ID = re.compile(r"[a-z][a-z0-9_]{0,39}")
_DOTTED = re.compile(r"[a-z]{1,20}(\.[a-z][a-z0-9_]{0,79}){1,2}")
_MOVE = re.compile(r"translate\((-?\d{1,6})[ ,] ?(-?\d{1,6})\)")


@dataclass(frozen=True, kw_only=True)
class Head:
    """What an outline file says: its own id and label, its views in their order, and how much was left out by name."""

    id: str
    label: str
    views: tuple[View, ...]
    left_out: Counter[str] = field(default_factory=Counter)


class _Faults(list[str]):
    def trying(self, make: Callable[..., Any], *args: Any) -> Any:
        """Make something; what is wrong with it is noted, and None returned."""
        try:
            return make(*args)
        except OutlineError as fault:
            self.extend(fault.faults)
            return None

    def end(self) -> None:
        """Raise what was noted, once."""
        if self:
            raise OutlineError(*dict.fromkeys(self))


def read(text: str) -> Head:
    """Return what the SVG text says; raise OutlineError with a sentence for each thing that breaks a rule."""
    root, left_out = xml.parse(text)
    _expect(root, "svg", "svg", "svg")
    own = root.get("id", "")
    if not _ID.fullmatch(own):
        raise OutlineError(
            _("<svg> has the id '%(own)s'; give it one of small letters, digits and _, 40 at most.", own=_shown(own))
        )
    faults = _Faults()
    label = faults.trying(_title, root) or ""
    _check_size(root)
    views = tuple(filter(None, [faults.trying(_view, child, faults) for child in _drawing(root)]))
    faults.end()
    _check_whole(views)
    return Head(id=own, label=label, views=views, left_out=left_out)


def _shown(value: str) -> str:
    """A value out of a foreign file as it may stand in a sentence: short, and in one line."""
    return "".join(c if c.isprintable() else " " for c in value[:80])


def _title(root: Any) -> str:
    titles = [child for child in root if xml.name(child) == "title"]
    label = " ".join((titles[0].text or "").split()) if titles else ""
    if not label:
        raise OutlineError(_("'%(own)s' has no <title>; say there what kind of van it is.", own=root.get("id")))
    if len(label) > 80 or not label.isprintable():
        raise OutlineError(_("The <title> of '%(own)s' is longer than 80 characters; shorten it.", own=root.get("id")))
    return label


def _check_size(root: Any) -> None:
    paths = [element.get("d", "") for element in root.iter()]
    if sum(map(len, paths)) <= 2 * MOST_NUMBERS:
        return  # a number takes a character and what parts it from the next another
    numbers = sum(len(re.findall(r"\d+", path)) for path in paths)
    if numbers > 2 * MOST_NUMBERS:  # 12.5 counts as two
        raise OutlineError(
            _("The paths of the file hold more than %(most)s numbers; simplify them.", most=MOST_NUMBERS)
        )


def _expect(element: Any, name: str, role: str, where: str) -> None:
    if element.tag != xml.SVG + name:
        raise OutlineError(
            _(
                "'%(where)s' holds a <%(found)s> where a <%(name)s> is due; "
                "only svg, g, path, title and desc are taken.",
                where=where, found=_shown(xml.name(element)), name=name,
            )
        )  # fmt: skip
    foreign = sorted(set(element.attrib) - ALLOWED[role])
    if foreign:
        raise OutlineError(
            _(
                "'%(where)s' has the attribute '%(name)s', which is not taken here; remove it.",
                where=_shown(element.get("id") or where), name=_shown(foreign[0]),
            )
        )  # fmt: skip


def _drawing(element: Any) -> Iterable[Any]:
    for child in element:
        if xml.name(child) in ("title", "desc"):
            where = element.get("id", "svg")
            _expect(child, xml.name(child), "words", where)
            if len(child):
                raise OutlineError(
                    _("'%(where)s' has elements inside its <%(name)s>; write text.", where=where, name=xml.name(child))
                )
        else:
            yield child


def _view(element: Any, faults: _Faults) -> View:
    view = _shown(element.get("id", "") or "view")
    _expect(element, "g", "view", view)
    listed = _choice(view, "class", element.get("class", ""), ("view", "view list")) == "view list"
    _choice(view, "id", view, model.LISTED if listed else model.DRAWN)
    nose = _choice(view, "data-nose", element.get("data-nose", ""), model.NOSES)
    move = _MOVE.fullmatch(element.get("transform", "translate(0 0)"))
    if move is None:
        raise OutlineError(
            _(
                "'%(view)s' has the transform '%(found)s'; write translate(x y) in whole mm.",
                view=view, found=_shown(element.get("transform", "")),
            )
        )  # fmt: skip
    width, height = (_whole(view, name, element.get(name, ""), 1, 20_000) for name in ("data-width", "data-height"))
    made = View(
        id=view, label=_label(view, element), width=width, height=height, nose=nose, listed=listed,
        x=int(move[1]), y=int(move[2]), **_groups(element, view, listed, faults),
    )  # fmt: skip
    _check_inside(made, faults)
    return made


def _groups(element: Any, view: str, listed: bool, faults: _Faults) -> dict[str, Any]:
    found: dict[str, tuple[Any, ...]] = {"art": (), "zones": (), "joints": ()}
    for group in _drawing(element):
        _expect(group, "g", "group", view)
        kind = _choice(view, "group", group.get("class", ""), tuple(found))
        if found[kind]:
            raise OutlineError(
                _("'%(view)s' has two groups of %(kind)s; put all of them into one.", view=view, kind=kind)
            )
        paths = list(_drawing(group))
        if len(paths) > MOST[kind]:
            raise OutlineError(
                _(
                    "'%(view)s' has %(n)s paths in its %(kind)s; at most %(most)s are taken.",
                    view=view, n=len(paths), kind=kind, most=MOST[kind],
                )
            )  # fmt: skip
        make = {"art": _art, "zones": _zone, "joints": _joint}[kind]
        found[kind] = tuple(filter(None, [faults.trying(make, path, view, listed) for path in paths]))
    return found


def _art(element: Any, view: str, listed: bool) -> Art:
    where = _shown(element.get("id") or f"{view} art")
    _expect(element, "path", "art", where)
    kind = _choice(where, "class", element.get("class", ""), model.ART)
    return Art(kind=kind, path=_path(where if element.get("id") else f"{where} ({kind})", element))


def _zone(element: Any, view: str, listed: bool) -> Zone:
    zone = _own_id(element, view, "zone")
    laps = tuple(element.get("data-laps", "").split())
    if not laps and element.get("data-overlay") != "1":
        raise OutlineError(
            _("'%(zone)s' has no data-laps; only an overlay may go without, being looked at with its panel.", zone=zone)
        )
    for lap in laps:
        _choice(zone, "data-laps", lap, model.LAPS)
    part = element.get("data-part", "")
    if not _ID.fullmatch(part):
        raise OutlineError(
            _(
                "'%(zone)s' has the part '%(part)s'; name the part it shows in small letters, digits and _.",
                zone=zone, part=_shown(part),
            )
        )  # fmt: skip
    made = Zone(
        id=zone, view=view, part=part, label=_label(zone, element), laps=laps,
        surface_class=_choice(zone, "data-class", element.get("data-class", ""), model.CLASSES),
        material=_choice(zone, "data-material", element.get("data-material", ""), model.MATERIALS),
        paint=_choice(zone, "data-paint", element.get("data-paint", ""), model.PAINTS),
        overlay=_choice(zone, "data-overlay", element.get("data-overlay", "0"), ("0", "1")) == "1",
        order=_whole(zone, "data-order", element.get("data-order", ""), 1, 9999),
        path=_path(zone, element),
    )  # fmt: skip
    _check_ring(made, listed)
    return made


def _check_ring(zone: Zone, listed: bool) -> None:
    letters = [command.letter for command in zone.path]
    if listed:
        if letters:
            raise OutlineError(_("'%(zone)s' has a path in a list-only view; leave its d empty.", zone=zone.id))
        return
    if letters.count("M") != 1 or letters.count("Z") != 1 or letters[-1] != "Z":
        raise OutlineError(_("'%(zone)s' is not one closed path; draw it once round and end it with Z.", zone=zone.id))
    if len(zone.rings[0].points) < 3 or zone.rings[0].area < 1:
        raise OutlineError(_("'%(zone)s' encloses no area; draw it round the area that is looked at.", zone=zone.id))


def _joint(element: Any, view: str, listed: bool) -> Joint:
    joint = _own_id(element, view, "joint")
    parts = element.get("data-parts", "").split()
    if len(parts) != 2 or parts[0] == parts[1]:
        raise OutlineError(
            _("'%(joint)s' names %(n)s parts; a joint lies between two.", joint=joint, n=len(set(parts)))
        )
    nominal, tolerance = (_whole(joint, n, element.get(n, ""), 0, 10_000) for n in ("data-nominal", "data-tolerance"))
    made = Joint(id=joint, view=view, parts=(parts[0], parts[1]), label=_label(joint, element), nominal=nominal,
                 tolerance=tolerance, path=_path(joint, element))  # fmt: skip
    if any(len(line) < 2 for line in made.lines) or not made.lines:
        raise OutlineError(_("'%(joint)s' has no length; draw it along the gap.", joint=joint))
    return made


def _own_id(element: Any, view: str, role: str) -> str:
    own = str(element.get("id", ""))
    _expect(element, "path", role, own or view)
    if _DOTTED.fullmatch(own) and own.startswith(f"{view}."):
        return own
    told = {"own": _shown(own), "view": view}
    if role == "zone":
        raise OutlineError(
            _("'%(own)s' is no id for a zone of '%(view)s'; write %(view)s.name in small letters and _.", **told)
        )
    raise OutlineError(
        _("'%(own)s' is no id for a joint of '%(view)s'; write %(view)s.name in small letters and _.", **told)
    )


def _path(own: str, element: Any) -> tuple[Command, ...]:
    try:
        return parse_path(element.get("d", ""))
    except PathError as fault:
        raise OutlineError(fault.said(own)) from None


def _label(own: str, element: Any) -> str:
    words = str(element.get("data-label", ""))
    if not words.strip() or len(words) > 80 or not words.isprintable():
        raise OutlineError(
            _(
                "'%(own)s' has the label '%(words)s'; give it a name of up to 80 characters.",
                own=own,
                words=_shown(words),
            )
        )
    return words


def _choice(own: str, what: str, value: str, choices: tuple[str, ...]) -> str:
    if value not in choices:
        told = {"own": _shown(own), "what": what, "value": _shown(value), "choices": ", ".join(choices)}
        raise OutlineError(_("'%(own)s' has the %(what)s '%(value)s'; it must be one of %(choices)s.", **told))
    return value


def _whole(own: str, what: str, value: str, low: int, high: int) -> int:
    if not re.fullmatch(r"[0-9]{1,6}", value) or not low <= int(value) <= high:
        told = {"own": own, "what": what, "value": _shown(value), "low": low, "high": high}
        raise OutlineError(
            _("'%(own)s' has the %(what)s '%(value)s'; it must be a whole number from %(low)s to %(high)s.", **told)
        )
    return int(value)


def _check_inside(view: View, faults: _Faults) -> None:
    """Nothing of a view leaves it: on a sheet it would lie on what is printed beside."""
    drawn = [(zone.id, ring) for zone in view.zones for ring in zone.rings]
    drawn += [(joint.id, Ring(line)) for joint in view.joints for line in joint.lines]
    # A curve lies within the box of its handles: only where those leave the view has the line itself to be drawn.
    loose = [art for art in view.art if not _held(settled(art.path), view)]
    drawn += [(f"{view.id} art ({art.kind})", Ring(line)) for art in loose for line in _lines(art.path)]
    for own, ring in drawn:
        if min(ring.left, ring.top) < 0 or ring.right > view.width or ring.bottom > view.height:
            faults.append(
                _(
                    "'%(own)s' leaves its view of %(width)s by %(height)s mm; move it inside.",
                    own=own, width=view.width, height=view.height,
                )
            )  # fmt: skip


def _held(curves: list[Curve], view: View) -> bool:
    numbers = [curve[1:] for curve in curves]
    xs, ys = ([n for some in numbers for n in some[first::2]] for first in (0, 1))
    return not xs or (min(xs) >= 0 <= min(ys) and max(xs) <= view.width and max(ys) <= view.height)


def _lines(path: tuple[Command, ...]) -> list[list[tuple[float, float]]]:
    return polylines(settled(path), model.FLAT)


def _check_whole(views: tuple[View, ...]) -> None:
    zones = [zone for view in views for zone in view.zones]
    joints = [joint for view in views for joint in view.joints]
    if not any(zone.rings for zone in zones):
        raise OutlineError(_("The file has no zones; draw at least one in a view."))
    faults = _Faults()
    ids = [(own, own) for own in (*(v.id for v in views), *(z.id for z in zones), *(j.id for j in joints))]
    faults += [*_twice("id", ids), *_twice("data-order", [(zone.id, str(zone.order)) for zone in zones])]
    parts = {zone.part for zone in zones}
    for joint in joints:
        for part in joint.parts:
            if part not in parts:
                told = {"joint": joint.id, "part": part[:60]}
                faults.append(
                    _("'%(joint)s' names the part '%(part)s', which no zone shows; correct it or draw one.", **told)
                )
    faults.end()


def _twice(what: str, items: list[tuple[str, str]]) -> Iterable[str]:
    seen: set[str] = set()
    for own, value in items:
        if value in seen:
            yield _(
                "'%(own)s' has the %(what)s '%(value)s' a second time; each may occur once.",
                own=own, what=what, value=value,
            )  # fmt: skip
        seen.add(value)
