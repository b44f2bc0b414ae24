"""The sheets of the half-year: the newest are drawn by the server when it starts, the older ones are one stand-in page.

To draw some five hundred sheets takes longer than to make the whole plant. The stand-in says what it is.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from functools import cache

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.pdfgen import canvas

from inspect_app.journal import Journal
from inspect_app.rooms.signoff.shelf import Shelf

NEWEST = 6
WORDS = (
    "Sample plant: a stand-in for a sheet",
    "The sheets of this invented half-year were not drawn when it was made, to keep that quick.",
    "The newest ones were. Reopen and sign this unit, and its next revision is drawn in full.",
)
SIGNED = "SELECT unit, revision FROM sheets WHERE state = 'making' ORDER BY signed_at DESC, n DESC"


@cache
def page(size: tuple[float, float]) -> bytes:
    """One page that says it stands in for a sheet."""
    out = io.BytesIO()
    pen = canvas.Canvas(out, pagesize=size, invariant=True)
    pen.setTitle(WORDS[0])
    for line, words in enumerate(WORDS):
        pen.setFont("Helvetica-Bold" if line == 0 else "Helvetica", 16 if line == 0 else 10.5)
        pen.drawString(56, size[1] - 90 - 22 * line, words)
    pen.showPage()
    pen.save()
    return out.getvalue()


def issue(journal: Journal, abreast: ThreadPoolExecutor, *, but: int = NEWEST) -> None:
    """Issue the stand-in for every signed revision that has no sheet yet, but the newest."""
    rows = journal.read().execute(SIGNED).fetchall()[but:]
    if not rows:
        return
    shelf = Shelf(journal.folder.sheets)
    pages = {"a4": page(A4), "letter": page(LETTER)}
    stored = {paper: shelf.put(pdf) for paper, pdf in pages.items()}
    told = {**stored, "bytes": len(pages["a4"])}
    _tell(journal, abreast, [(row["unit"], {"revision": row["revision"], **told}) for row in reversed(rows)])


def _tell(journal: Journal, abreast: ThreadPoolExecutor, bodies: Iterable[tuple[str, dict[str, object]]]) -> None:
    def one(told: tuple[str, dict[str, object]]) -> None:
        journal.record_server(f"unit:{told[0]}", "sheet_issued", told[1])

    list(abreast.map(one, bodies))
