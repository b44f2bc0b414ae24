"""The one field for whole numbers: clips, minutes, millimetres, figures of the catalogue."""

from __future__ import annotations

from typing import Any

from wtforms import Field, StringField
from wtforms.widgets import TextInput

from inspect_app.words import gettext as _

LONGEST = 6  # digits; no figure of a van or of a rule is longer


class WholeInput(TextInput):
    """A field of text for a whole number: a browser's own field for numbers swallows a comma and makes 95 of "9,5"."""

    def __call__(self, field: Field, **kwargs: Any) -> Any:
        """Show it, with the keys for digits where a screen has them."""
        return super().__call__(field, **{"inputmode": "numeric", **kwargs})


class WholeField(StringField):
    """A whole number from `least` to `most`; what is none stays in the field, with a sentence.

    `wrong` is that sentence, where it is not the usual one; `asked` the one for an empty field, which is None else.
    With `blanks` those between the digits do no harm, as data sheets have them.
    """

    widget = WholeInput()
    data: Any

    def __init__(
        self,
        *args: Any,
        most: int,
        least: int = 0,
        wrong: str = "",
        asked: str = "",
        blanks: bool = False,
        **kwargs: Any,
    ):
        self.least, self.most, self.wrong, self.asked, self.blanks = least, most, wrong, asked, blanks
        super().__init__(*args, **kwargs)

    def _value(self) -> str:
        return str(self.raw_data[0]) if self.raw_data else "" if self.data is None else str(self.data)

    def process_formdata(self, valuelist: list[Any]) -> None:
        """Read what was typed."""
        self.data = None
        text = str(valuelist[0]).strip() if valuelist else ""
        if not text and not self.asked:
            return
        if not text:
            raise ValueError(str(self.asked))
        digits = "".join(text.split()) if self.blanks else text
        plain = digits.isascii() and digits.isdecimal() and len(digits) <= LONGEST
        if not plain or not self.least <= int(digits) <= self.most:
            raise ValueError(str(self.wrong) or self._usual())
        self.data = int(digits)

    def _usual(self) -> str:
        return _(
            "'%(label)s' must be a whole number from %(least)s to %(most)s.",
            label=self.label.text, least=self.least, most=self.most,
        )  # fmt: skip
