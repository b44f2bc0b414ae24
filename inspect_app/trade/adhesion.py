"""Adhesion by tape over a cross-cut: two scales that count in opposite ways, on one ground.

ISO 2409 counts from 0, the best, to 5; ASTM D3359 (method B) from 5B, the best, to 0B. Both go by the share of the
surface that comes off. It cuts the film: a witness piece or a hidden flange, never the customer's part.
"""

from __future__ import annotations

from typing import Literal

from inspect_app.trade.catalogue import CatalogueError
from inspect_app.trade.readings import Judged, builtin
from inspect_app.trade.rule_rows import Readings
from inspect_app.words import gettext as _
from inspect_app.words.figures import tenths

Scale = Literal["ISO 2409", "ASTM D3359"]
SHARES = (0, 5, 15, 35, 65)
"""Percent of the surface: nothing is class 0, up to 5 is 1, up to 15 is 2, up to 35 is 3, up to 65 is 4, more is 5."""


def tape_class(share: float) -> int:
    """Return the class of ISO 2409 for a share of the surface in percent that came off; ValueError outside 0 to 100."""
    if not 0 <= share <= 100:
        raise ValueError(f"the share that came off lies between 0 and 100 % (got {share:g})")
    return sum(share > most for most in SHARES)


def to_iso(scale: Scale, grade: int) -> int:
    """Return a grade as a class of ISO 2409: 0 is the best. 5B of ASTM D3359 is 0, 0B is 5."""
    if scale not in ("ISO 2409", "ASTM D3359"):
        raise ValueError(f"adhesion is graded by ISO 2409 or ASTM D3359 (got {scale!r})")
    if grade not in range(6):
        raise ValueError(f"{scale} has the grades 0 to 5 (got {grade!r})")
    return grade if scale == "ISO 2409" else 5 - grade


def adhesion(
    scale: Scale, grade: int, surface_class: str, *, film: int | None = None, rules: Readings | None = None
) -> Judged:
    """Judge a cross-cut: any worse than the class of its surface lets through goes back to what holds.

    Args:
        scale: which way the grade counts.
        grade: 0 to 5; of "4B" the 4.
        surface_class: "A" to "D".
        film: the whole film in tenths of µm; above 250 µm the method does not hold.

    Raises:
        CatalogueError: no limit for that class. ValueError: no such scale or grade. One sentence each.
    """
    bounds = (builtin() if rules is None else rules).adhesion
    if surface_class not in bounds.worst:
        raise CatalogueError(f"there is no adhesion limit for class '{surface_class}'; add one to readings.toml")
    found, worst = to_iso(scale, grade), bounds.worst[surface_class]
    if film is not None and film > bounds.thickest:
        text = _("a cross-cut says nothing above %(most)s µm of film", most=tenths(bounds.thickest))
        return Judged(what="adhesion", outcome="unmeasured", figure=None, text=text)
    name = str(grade) if scale == "ISO 2409" else f"{grade}B"
    told = {"scale": scale, "grade": name, "class": surface_class,
            "worst": worst if scale == "ISO 2409" else f"{5 - worst}B"}  # fmt: skip
    if found > worst:
        text = _("%(scale)s %(grade)s on class %(class)s: worse than %(worst)s; it goes back to what holds", **told)
        return Judged(what="adhesion", outcome="over", figure=found, text=text)
    text = _("%(scale)s %(grade)s on class %(class)s: within %(worst)s", **told)
    return Judged(what="adhesion", outcome="within", figure=found, text=text)
