"""Whether a size can be meant: a slip of the finger or of the decimal point is caught before it is judged."""

from inspect_app.trade.catalogue import Catalogue
from inspect_app.trade.limits import size_words
from inspect_app.words import gettext as _

TIMES = 20  # so many times the largest button is still believed
SIGNED = ("gap", "step")  # measures with a sense: a step may be proud or sunk


def size_fault(catalogue: Catalogue, kind: str, size: int | None) -> str | None:
    """Return what is wrong with a size in tenths of the kind's unit, as one sentence, or None when it can be meant.

    None is "not measured" and never wrong. Raises CatalogueError for an unknown kind.
    """
    row = catalogue.kind(kind)
    if size is None:
        return None
    if not row.sizes:
        return _("“%(kind)s” is not measured; leave its size empty", kind=_(row.label))
    if size == 0 or (size < 0 and row.measure not in SIGNED):
        return _(
            "the size of “%(kind)s” must be above zero (got %(size)s); leave it empty if it was not measured",
            kind=_(row.label),
            size=size_words(row, size),
        )
    most = TIMES * row.sizes[-1]
    if abs(size) > most:
        return _(
            "%(size)s is more than “%(kind)s” can be (at most %(most)s); check the figure and its unit",
            kind=_(row.label),
            size=size_words(row, abs(size)),
            most=size_words(row, most),
        )
    return None
