"""Fields that catalogues need: figures kept in tenths, sizes in a row, one thing on a line."""

from __future__ import annotations

import re
from typing import Any

from wtforms import Field, SelectMultipleField, StringField, TextAreaField
from wtforms.fields import SelectChoice

from inspect_app.words import gettext as _
from inspect_app.words.figures import tenths

FIGURE = re.compile(r"\d{1,5}(?:[.,]\d)?")
MOST = 99_999  # tenths: ten metres


def read_tenths(text: str) -> int:
    """Return a figure as people write it, "0.8" or "0,8", in tenths; ValueError when it is none."""
    found = text.strip()
    if not FIGURE.fullmatch(found):
        raise ValueError(found)
    whole, _point, tenth = found.replace(",", ".").partition(".")
    return int(whole) * 10 + int(tenth or 0)


class TenthsField(StringField):
    """A figure with one place after the point, kept in tenths; empty is None."""

    data: Any

    def _value(self) -> str:
        if self.raw_data:
            return str(self.raw_data[0])
        return "" if self.data is None else tenths(self.data)

    def process_formdata(self, valuelist: list[Any]) -> None:
        """Read what was typed."""
        self.data = None
        text = str(valuelist[0]).strip() if valuelist else ""
        if not text:
            return
        try:
            self.data = read_tenths(text)
        except ValueError:
            raise ValueError(
                _(
                    "'%(label)s' must be a figure such as 0.8 or 12 (got '%(got)s').",
                    label=self.label.text,
                    got=text[:20],
                )
            ) from None


class SizesField(StringField):
    """Sizes in a row, kept in tenths: "0.3 0.5 0.8", with blanks or semicolons between."""

    data: Any

    def _value(self) -> str:
        return str(self.raw_data[0]) if self.raw_data else " ".join(tenths(one) for one in self.data or ())

    def process_formdata(self, valuelist: list[Any]) -> None:
        """Read what was typed."""
        self.data = ()
        words = re.split(r"[;\s]+|,\s+", str(valuelist[0]).strip() if valuelist else "")
        try:
            self.data = tuple(read_tenths(word) for word in words if word)
        except ValueError as fault:
            raise ValueError(
                _(
                    "'%(label)s' must be figures with blanks between, such as 0.3 0.5 0.8 (got '%(got)s').",
                    label=self.label.text,
                    got=str(fault)[:20],
                )
            ) from None


class LinesField(TextAreaField):
    """Several texts, one on a line."""

    data: Any

    def _value(self) -> str:
        return str(self.raw_data[0]) if self.raw_data else "\n".join(self.data or ())

    def process_formdata(self, valuelist: list[Any]) -> None:
        """Read the lines, without empty ones and doubled blanks."""
        text = str(valuelist[0]) if valuelist else ""
        self.data = tuple(" ".join(line.split()) for line in text.splitlines() if line.strip())


class KeysField(SelectMultipleField):
    """Several of a list, as a tuple in the order of the page; nothing ticked is nothing chosen."""

    data: Any

    def __init__(self, *args: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.type = "SelectMultipleField"  # drawn as one: a row of ticks

    def process_formdata(self, valuelist: list[Any]) -> None:
        """Read what was ticked."""
        self.data = tuple(dict.fromkeys(str(one) for one in valuelist))


def choices(rows: Any, *chosen: str | None) -> list[SelectChoice]:
    """Choices of a list of rows: all that are in use, and those already chosen even when retired."""
    return [
        SelectChoice(one.key, _("%(label)s (retired)", label=_(one.label)) if away else _(one.label))
        for one in rows.values()
        if not (away := getattr(one, "retired", False)) or one.key in chosen
    ]


def whole(field: Field) -> int:
    """A whole number from 0 on from a field that may be empty."""
    return int(field.data or 0)
