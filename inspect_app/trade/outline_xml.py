"""Take an outline's SVG text apart: well-formed, without entities, of a bearable size; what only looks, left out.

A drawing program writes more into a file than a drawing: its own notes, styles, gradients. None of it is taken over,
and none of it is a fault; it is counted, so that a person can be told. What could move a path (a transform, a <use>)
or could run (a script) is not left out but stays, for the reader to refuse by name.
"""

from __future__ import annotations

from collections import Counter
from typing import Any

from inspect_app.trade.outline_model import OutlineError
from inspect_app.words import gettext as _

SVG = "{http://www.w3.org/2000/svg}"
LARGEST = 1_000_000  # characters; our own outline has less than a fifth of it
DEEPEST = 12  # elements in each other; an outline needs four
WRITTEN = {
    "fill",
    "stroke",
    "stroke-width",
    "stroke-linejoin",
    "stroke-linecap",
}  # by our own writer: no word about them
LOOKS = {"style", "opacity", "display", "visibility", "paint-order", "vector-effect", "enable-background", "color"}
ONLY_LOOKS = WRITTEN | LOOKS
LOOK_STARTS = ("fill-", "stroke-", "font-", "stop-", "color-", "shape-", "text-", "-")
NO_DRAWING = {SVG + name for name in ("metadata", "defs", "style")}


def parse(text: str) -> tuple[Any, Counter[str]]:
    """Return the root element, cleaned, and what was left out, counted by name; raise OutlineError if it is no XML."""
    from defusedxml import DefusedXmlException
    from defusedxml.ElementTree import ParseError, fromstring

    if len(text) > LARGEST:
        raise OutlineError(
            _("The file has %(n)s characters; an outline has at most %(most)s.", n=len(text), most=LARGEST)
        )
    try:
        root = fromstring(text, forbid_dtd=True)
    except ParseError as fault:
        raise OutlineError(
            _("The file is not well-formed XML (%(fault)s); save it again as plain SVG.", fault=fault)
        ) from None
    except (DefusedXmlException, ValueError, LookupError):
        raise OutlineError(_("The file has a DOCTYPE, entities or a foreign encoding; save it as plain SVG.")) from None
    return root, _clean(root)


def name(element: Any) -> str:
    """The element's name, without the namespace of SVG."""
    return str(element.tag).removeprefix(SVG)


def _clean(root: Any) -> Counter[str]:
    left_out: Counter[str] = Counter()
    waiting = [(root, 1)]
    while waiting:
        element, depth = waiting.pop()
        if depth > DEEPEST:
            raise OutlineError(_("The file nests elements more than %(n)s deep; ungroup what is in it.", n=DEEPEST))
        for key in [key for key in element.attrib if _only_looks(key)]:
            del element.attrib[key]
            if key not in WRITTEN:
                left_out[key.rpartition("}")[2]] += 1
        for child in list(element):
            if child.tag in NO_DRAWING or not str(child.tag).startswith(SVG):
                element.remove(child)
                left_out[f"<{str(child.tag).rpartition('}')[2]}>"] += 1
            else:
                waiting.append((child, depth + 1))
    return left_out


def _only_looks(key: str) -> bool:
    """Whether an attribute says how something looks, or is a drawing program's own, which another namespace tells."""
    return key.startswith("{") or key in ONLY_LOOKS or key.startswith(LOOK_STARTS)
