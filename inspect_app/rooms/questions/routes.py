"""Every open question of the plant on one page, each with room for its answer."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, flash, redirect, render_template
from flask.typing import ResponseReturnValue

from inspect_app.journal.events import Refusal
from inspect_app.journal.queries import people, questions
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader, ticket
from inspect_app.rooms.units.forms import AnswerForm
from inspect_app.words import gettext as _

room = Blueprint("questions", __name__, template_folder="templates")
MOST = 100  # a page; the rest comes up as these are answered


@room.get("/questions")
@needs("inspector", "manager")
def inbox() -> ResponseReturnValue:
    """List the open questions, the oldest first."""
    return _inbox()


def _inbox(status: int = 200, **forms: Any) -> ResponseReturnValue:
    rows = questions.open_ones(reader(), ticket().person, MOST)
    return render_template(
        "questions/inbox.html",
        rows=rows,
        total=questions.how_many(reader(), ticket().person),
        names=people.names(reader()),
        catalogue=journal().catalogue(),
        forms=forms,
        answer_form=lambda key: AnswerForm(prefix=key, formdata=None),
    ), status


@room.post("/questions/<key>")
@needs("inspector", "manager")
def answer(key: str) -> ResponseReturnValue:
    """Answer a question; a mark that could not be found goes back to its department with the answer."""
    asked = questions.question(reader(), key)
    if asked is None:
        raise Refusal("no_question", _("There is no such question; reload the page."), 404)
    form = AnswerForm(prefix=key)
    if not form.validate():
        return _inbox(422, **{key: form})
    body = {"question": key, "answer": form.answer.data}
    journal().record(ticket(), f"unit:{asked['unit']}", "question_answered", body)
    flash(_("The question is answered."), "good")
    return redirect("/questions")
