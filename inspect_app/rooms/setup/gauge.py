"""The gauge card, to print: anyone signed in may take it, since everyone judges sizes by eye."""

from __future__ import annotations

from io import BytesIO

from flask import abort, request, send_file
from flask.typing import ResponseReturnValue

from inspect_app.journal.queries import setup
from inspect_app.rooms.house import reader
from inspect_app.rooms.setup.door import room
from inspect_app.rooms.tongue import spoken_here
from inspect_app.sheet.data import SheetError


@room.get("/gauge-card.pdf")
def gauge_card() -> ResponseReturnValue:
    """Make the card true to size, in the plant's paper or in `?paper=` a4 or letter."""
    from inspect_app.sheet.gauge import make_gauge_card  # late: it brings ReportLab with it

    paper = request.args.get("paper") or setup.paper(reader())
    language = spoken_here().key.replace("_", "-")
    try:
        pdf = make_gauge_card(paper=paper, plant=setup.settings(reader()).get("plant", ""), language=language)
    except SheetError:
        abort(404)
    return send_file(BytesIO(pdf), mimetype="application/pdf", download_name=f"gauge-card-{paper}.pdf")
