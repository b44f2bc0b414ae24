"""What the clear-coat budget makes of a film reading, in the words that the bench has for it (rooms/rework/ways.js)."""

from __future__ import annotations

from inspect_app.journal.film import Budgeted, Counted
from inspect_app.rooms.shown import opening
from inspect_app.words import N_, ngettext
from inspect_app.words import gettext as _
from inspect_app.words.figures import tenths

WHY = {
    "no_spot": N_("There is no budget of clear there."),
    "later": N_("A later reading counts there."),
    "renewed": N_("A new film lies there since; it counts no more."),
}


def lines(found: Budgeted | None) -> list[str]:
    """Return what the budget makes of a reading, a line for each spot; nothing for what is no film of a body."""
    if found is None:
        return []
    if found.part is not None:
        return [_said(_("No film was taken off this part."), found.part)]
    return [spot_words(one) for one in found.spots] or [_(WHY[found.why])]


def spot_words(one: Counted) -> str:
    """Say of a spot how often film was taken off, how much of how much, and how many more polishes are within it."""
    if one.left.attempts:
        before = ngettext(
            "%(tag)s: film was taken off here once.",
            "%(tag)s: film was taken off here %(n)s times.",
            one.left.attempts, tag=one.tag,
        )  # fmt: skip
    else:
        before = _("%(tag)s: no film was taken off here.", tag=one.tag)
    return _said(before, one)


def _said(before: str, one: Counted) -> str:
    told = [before, f"{opening(one.left.text)}."]
    if not one.left.bars:
        told.append(more_words(one.left.more(one.takes), one.takes))
    return " ".join(told)


def more_words(more: int, takes: int) -> str:
    """Say how many more attempts that take off so much each (tenths of µm) are within the budget."""
    film = _("%(n)s µm", n=tenths(takes))
    if more == 0:
        return _("One more of about %(film)s would be over the budget.", film=film)
    return ngettext(
        "One more of about %(film)s is within the budget.",
        "%(n)s more of about %(film)s each are within the budget.",
        more, film=film,
    )  # fmt: skip
