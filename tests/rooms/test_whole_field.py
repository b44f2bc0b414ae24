"""Whole numbers are one field everywhere: each form says its own sentence, once, and what was typed stays."""

from __future__ import annotations

from pathlib import Path

import pytest
from werkzeug.datastructures import MultiDict
from wtforms import Form

import inspect_app
from inspect_app.rooms.parts.forms import ClipsForm
from inspect_app.rooms.parts.timers import TimerForm
from inspect_app.rooms.setup.outlines_forms import NumbersForm
from inspect_app.rooms.whole_field import WholeField

CLIPS = "Write a whole number from 0 to 500."
MINUTES = "Minutes are a whole number from 1 to 1440."
LENGTH = "'Length' must be a whole number of mm, such as 5950."
USUAL = "'Most' must be a whole number from 2 to 99."


class Rule(Form):
    most = WholeField("Most", least=2, most=99)


SENTENCES = [
    (ClipsForm, "out", "'Came off' is missing; write how many clips held the part.", CLIPS, "501"),
    (TimerForm, "minutes", "'Minutes' is missing; your local code and the data sheet say how many.", MINUTES, "0"),
    (NumbersForm, "length_mm", LENGTH, LENGTH, "1234567"),
    (Rule, "most", None, USUAL, "100"),
]


def told(app, form, name: str, typed: str) -> tuple[object, list[str], str]:
    """What a field holds, says and shows once something was typed into it."""
    with app.test_request_context("/"):
        made = form(MultiDict({name: typed}))
        made.validate()
        field = made[name]
        return field.data, [str(one) for one in field.errors], field()


@pytest.mark.parametrize(("form", "name", "missing", "wrong", "beyond"), SENTENCES)
def test_each_form_says_its_own_sentence_once_and_keeps_what_was_typed(app, form, name, missing, wrong, beyond):
    for empty in ("", "  "):
        assert told(app, form, name, empty)[:2] == (None, [missing] if missing else [])
    for typed in ("nine", "9,5", "9.5", "-1", "1e3", "٣", "³", "9" * 400, beyond):
        data, errors, shown = told(app, form, name, typed)
        assert (data, errors) == (None, [wrong])
        assert f'value="{typed}"' in shown
    data, errors, shown = told(app, form, name, " 12 ")
    assert (data, errors) == (12, [])
    assert 'inputmode="numeric"' in shown
    assert 'type="text"' in shown  # a browser's own field for numbers drops the comma of "9,5"


def test_blanks_between_digits_are_read_only_where_data_sheets_have_them(app):
    assert told(app, NumbersForm, "length_mm", "5 950")[:2] == (5950, [])
    assert told(app, ClipsForm, "out", "1 2")[:2] == (None, [CLIPS])


def test_there_is_no_other_field_for_whole_numbers():
    sources = [
        path for path in Path(inspect_app.__file__).parent.rglob("*.py") if "IntegerField" in path.read_text("utf-8")
    ]
    assert sources == []
