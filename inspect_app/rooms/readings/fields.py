"""Fields for figures that a gauge showed: read with a point or a comma, kept whole in tenths or hundredths."""

from __future__ import annotations

import re
from typing import Any

from wtforms import StringField

from inspect_app.words import gettext as _
from inspect_app.words.figures import figure


class FigureField(StringField):
    """A figure, kept as a whole number of tenths (or hundredths, `places` 2); empty is None.

    `least` and `most` are in the figure's own unit; what lies outside cannot be meant and is told with the unit.
    """

    data: Any

    def __init__(
        self, *args: Any, least: float, most: float, unit: str = "", places: int = 1, asked: str = "", **kwargs: Any
    ):
        self.least, self.most, self.unit, self.places, self.asked = least, most, unit, places, asked
        super().__init__(*args, **kwargs)

    def _value(self) -> str:
        if self.raw_data:
            return str(self.raw_data[0])
        return "" if self.data is None else figure(f"{self.data / 10**self.places:g}")

    def process_formdata(self, valuelist: list[Any]) -> None:
        """Read what was typed."""
        self.data = None
        text = str(valuelist[0]).strip() if valuelist else ""
        if not text:
            if self.asked:
                raise ValueError(str(self.asked))
            return
        self.data = self._read(text)

    def _read(self, text: str) -> int:
        plain = text.replace(",", ".").replace("−", "-")
        if not re.fullmatch(rf"[-+]?\d{{1,5}}(\.\d{{1,{self.places}}})?", plain, re.ASCII):
            raise ValueError(
                _(
                    "'%(label)s' must be a figure such as %(such)s (got '%(got)s').",
                    label=self.label.text,
                    such=figure("12.5"),
                    got=text[:20],
                )
            )
        if not self.least <= float(plain) <= self.most:
            raise ValueError(
                _(
                    "'%(label)s' of %(got)s cannot be meant: it lies between %(least)s and %(most)s; "
                    "check the figure and its unit.",
                    label=self.label.text,
                    got=self._of(text),
                    least=figure(str(self.least)),
                    most=self._of(figure(str(self.most))),
                )
            )
        return round(float(plain) * (100 if self.places == 2 else 10))

    def _of(self, amount: str) -> str:
        return amount + (" " + self.unit if self.unit else "")
