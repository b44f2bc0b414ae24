"""Read an outline from SVG text, strictly: anything not foreseen is a fault, said in one sentence that names the id.

A file that a stranger uploads is read here, so that the rules are an allow-list: elements, attributes, ids, path
commands. The appearance attributes that the writer sets are taken but not kept.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from inspect_app.trade import outline_model as model
from inspect_app.trade.outline_model import Art, Joint, OutlineError, View, Zone
from inspect_app.trade.outline_path import PathError, parse_path

SVG = "{http://www.w3.org/2000/svg}"
LARGEST = 2_000_000  # characters
APPEARANCE = {"fill", "stroke", "stroke-width", "stroke-linejoin", "stroke-linecap"}
ALLOWED = {
    "svg": {"id", "viewBox", "width", "height", "version"} | APPEARANCE,
    "view": {"class", "id", "data-label", "data-width", "data-height", "data-nose", "transform"},
    "group": {"class"} | APPEARANCE,
    "art": {"class", "d"},
    "zone": {"id", "d", "data-part", "data-label", "data-class", "data-laps", "data-material", "data-paint",
             "data-overlay", "data-order"},
    "joint": {"id", "d", "data-parts", "data-label", "data-nominal", "data-tolerance"},
    "words": set(),
}  # fmt: skip
_ID = re.compile(r"[a-z][a-z0-9_]{0,39}")
_DOTTED = re.compile(r"[a-z]{1,20}(\.[a-z][a-z0-9_]{0,79}){1,2}")
_MOVE = re.compile(r"translate\((-?\d{1,6}) (-?\d{1,6})\)")


@dataclass(frozen=True, kw_only=True)
class Head:
    """What an outline file says: its own id and label, and its views in their order."""

    id: str
    label: str
    views: tuple[View, ...]


def read(text: str) -> Head:
    """Return what the SVG text says; raise OutlineError for the first thing that breaks a rule."""
    root = _parse(text)
    _expect(root, "svg", "svg", "the file")
    if not _ID.fullmatch(root.get("id", "")):
        raise OutlineError(f"<svg> has the id {root.get('id', '')!r}; give it one of small letters, digits and _")
    title = [child for child in root if _name(child) == "title"]
    label = (title[0].text or "").strip() if title else ""
    if not label:
        raise OutlineError(f"{root.get('id')!r} has no <title>; say there what kind of van it is")
    views = tuple(_view(child) for child in _drawing(root))
    _check_whole(views)
    return Head(id=root.get("id", ""), label=label, views=views)


def _parse(text: str) -> Any:
    from defusedxml import DefusedXmlException
    from defusedxml.ElementTree import ParseError, fromstring

    if len(text) > LARGEST:
        raise OutlineError(f"The file has {len(text)} characters; an outline has at most {LARGEST}")
    try:
        return fromstring(text, forbid_dtd=True)
    except ParseError as fault:
        raise OutlineError(f"The file is not well-formed XML ({fault}); save it again as plain SVG") from None
    except (DefusedXmlException, ValueError):
        raise OutlineError("The file has a DOCTYPE, entities or a foreign encoding; save it as plain SVG") from None


def _name(element: Any) -> str:
    return str(element.tag).removeprefix(SVG)


def _expect(element: Any, name: str, role: str, where: str) -> None:
    if element.tag != SVG + name:
        what = f"{where!r} holds a <{_name(element)}> where a <{name}> is due"
        raise OutlineError(f"{what}; only svg, g, path, title and desc are taken")
    foreign = sorted(set(element.attrib) - ALLOWED[role])
    if foreign:
        place = element.get("id") or where
        raise OutlineError(f"{place!r} has the attribute {foreign[0]!r}, which is not taken on a {role}; remove it")


def _drawing(element: Any) -> Iterable[Any]:
    for child in element:
        if _name(child) in ("title", "desc"):
            where = element.get("id", "the file")
            _expect(child, _name(child), "words", where)
            if len(child):
                raise OutlineError(f"{where!r} has elements inside its <{_name(child)}>; write text")
        else:
            yield child


def _view(element: Any) -> View:
    view = element.get("id", "") or "a view"
    _expect(element, "g", "view", view)
    listed = _choice(view, "class", element.get("class", ""), ("view", "view list")) == "view list"
    _choice("the file", "view id", view, model.LISTED if listed else model.DRAWN)
    nose = _choice(view, "data-nose", element.get("data-nose", ""), model.NOSES)
    move = _MOVE.fullmatch(element.get("transform", "translate(0 0)"))
    if move is None:
        raise OutlineError(f"{view!r} has the transform {element.get('transform')!r}; write translate(x y) in whole mm")
    width, height = (_whole(view, name, element.get(name, ""), 1, 20_000) for name in ("data-width", "data-height"))
    made = View(
        id=view, label=_words(view, element), width=width, height=height, nose=nose, listed=listed,
        x=int(move[1]), y=int(move[2]), **_groups(element, view, listed),
    )  # fmt: skip
    _check_box(made)
    return made


def _groups(element: Any, view: str, listed: bool) -> dict[str, Any]:
    found: dict[str, tuple[Any, ...]] = {"art": (), "zones": (), "joints": ()}
    for group in _drawing(element):
        _expect(group, "g", "group", view)
        kind = _choice(view, "group", group.get("class", ""), tuple(found))
        if found[kind]:
            raise OutlineError(f"{view!r} has two groups of {kind}; put all of them into one")
        make = {"art": _art, "zones": _zone, "joints": _joint}[kind]
        found[kind] = tuple(make(path, view, listed) for path in _drawing(group))
    return found


def _art(element: Any, view: str, listed: bool) -> Art:
    where = f"{view} art"
    _expect(element, "path", "art", where)
    kind = _choice(where, "class", element.get("class", ""), model.ART)
    try:
        return Art(kind=kind, path=parse_path(element.get("d", "")))
    except PathError as fault:
        raise OutlineError(f"{where!r} ({kind}) {fault}") from None


def _zone(element: Any, view: str, listed: bool) -> Zone:
    zone = _own_id(element, view, "zone")
    laps = tuple(element.get("data-laps", "").split())
    if not laps and element.get("data-overlay") != "1":
        raise OutlineError(f"{zone!r} has no data-laps; only an overlay may go without, being looked at with its panel")
    for lap in laps:
        _choice(zone, "data-laps", lap, model.LAPS)
    part = element.get("data-part", "")
    if not _ID.fullmatch(part):
        raise OutlineError(f"{zone!r} has the part {part!r}; name the part it shows in small letters, digits and _")
    made = Zone(
        id=zone, view=view, part=part, label=_words(zone, element), laps=laps,
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
            raise OutlineError(f"{zone.id!r} has a path in a list-only view; leave its d empty")
        return
    if letters.count("M") != 1 or letters.count("Z") != 1 or letters[-1] != "Z":
        raise OutlineError(f"{zone.id!r} is not one closed path; draw it once round and end it with Z")
    if len(zone.rings[0].points) < 3 or zone.rings[0].area < 1:
        raise OutlineError(f"{zone.id!r} encloses no area; draw it round the area that is looked at")


def _joint(element: Any, view: str, listed: bool) -> Joint:
    joint = _own_id(element, view, "joint")
    parts = element.get("data-parts", "").split()
    if len(parts) != 2 or parts[0] == parts[1]:
        raise OutlineError(f"{joint!r} names {len(set(parts))} parts; a joint lies between two")
    nominal, tolerance = (_whole(joint, n, element.get(n, ""), 0, 10_000) for n in ("data-nominal", "data-tolerance"))
    made = Joint(id=joint, view=view, parts=(parts[0], parts[1]), label=_words(joint, element), nominal=nominal,
                 tolerance=tolerance, path=_path(joint, element))  # fmt: skip
    if any(len(line) < 2 for line in made.lines) or not made.lines:
        raise OutlineError(f"{joint!r} has no length; draw it along the gap")
    return made


def _own_id(element: Any, view: str, role: str) -> str:
    own = str(element.get("id", ""))
    _expect(element, "path", role, own or view)
    if not _DOTTED.fullmatch(own) or not own.startswith(f"{view}."):
        raise OutlineError(f"{own!r} is no id for a {role} of {view!r}; write {view}.name in small letters and _")
    return own


def _path(own: str, element: Any) -> Any:
    try:
        return parse_path(element.get("d", ""))
    except PathError as fault:
        raise OutlineError(f"{own!r} {fault}") from None


def _words(own: str, element: Any) -> str:
    words = str(element.get("data-label", ""))
    if not words.strip() or len(words) > 80 or not words.isprintable():
        raise OutlineError(f"{own!r} has the label {words!r}; give it a name of up to 80 characters")
    return words


def _choice(own: str, what: str, value: str, choices: tuple[str, ...]) -> str:
    if value not in choices:
        raise OutlineError(f"{own!r} has the {what} {value!r}; it must be one of {', '.join(choices)}")
    return value


def _whole(own: str, what: str, value: str, low: int, high: int) -> int:
    if not re.fullmatch(r"\d{1,6}", value) or not low <= int(value) <= high:
        raise OutlineError(f"{own!r} has the {what} {value!r}; it must be a whole number from {low} to {high}")
    return int(value)


def _check_box(view: View) -> None:
    for zone in view.zones:
        for ring in zone.rings:
            if min(ring.left, ring.top) < 0 or ring.right > view.width or ring.bottom > view.height:
                raise OutlineError(f"{zone.id!r} leaves its view of {view.width} by {view.height} mm; move it inside")


def _check_whole(views: tuple[View, ...]) -> None:
    zones = [zone for view in views for zone in view.zones]
    joints = [joint for view in views for joint in view.joints]
    if not zones:
        raise OutlineError("The file has no zones; draw at least one in a view")
    _check_once("id", [(own, own) for own in (*(v.id for v in views), *(z.id for z in zones), *(j.id for j in joints))])
    _check_once("data-order", [(zone.id, str(zone.order)) for zone in zones])
    parts = {zone.part for zone in zones}
    for joint in joints:
        for part in joint.parts:
            if part not in parts:
                raise OutlineError(f"{joint.id!r} names the part {part!r}, which no zone shows; correct it or draw one")


def _check_once(what: str, items: list[tuple[str, str]]) -> None:
    seen: set[str] = set()
    for own, value in items:
        if value in seen:
            raise OutlineError(f"{own!r} has the {what} {value!r} a second time; each may occur once")
        seen.add(value)
