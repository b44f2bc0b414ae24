"""The choice of a language and of a way of writing numbers and dates: for the plant, and for each person."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from babel.core import Locale
from flask_wtf import FlaskForm
from wtforms import Field, RadioField, SelectField, SubmitField, ValidationError
from wtforms.fields import SelectChoice

from inspect_app.rooms import tongue
from inspect_app.words import gettext as _
from inspect_app.words import lazy
from inspect_app.words.written import sample

# Ways of writing to choose from (a selection of our own); any other locale of the CLDR may stand in the settings.
OFFERED = (
    "cs_CZ", "da_DK", "de_AT", "de_CH", "de_DE", "en_GB", "en_IE", "en_US", "es_ES", "fi_FI", "fr_FR", "hu_HU",
    "it_IT", "nb_NO", "nl_NL", "pl_PL", "pt_BR", "pt_PT", "sv_SE", "tr_TR",
)  # fmt: skip
SHOWN = 0.8


class TongueFields(FlaskForm):
    """The two fields. A form sent without them leaves both as they are."""

    language = RadioField(lazy("Language"), choices=[], validate_choice=False)
    formats = SelectField(lazy("Numbers and dates"), choices=[], validate_choice=False)

    def offer(self, now: datetime, *, usual: str = "") -> None:
        """Fill in what there is to choose. `usual` is what the empty choice of a language says; "" for none."""
        languages = [SelectChoice(key, one.name) for key, one in tongue.known().items()]
        self.language.choices = [SelectChoice("", usual), *languages] if usual else languages
        first = usual or _("As usual in the language; %(sample)s in English", sample=sample(None, now, SHOWN))
        chosen = {str(self.formats.data)} if self.formats.data else set()
        locales = [Locale.parse(key) for key in sorted({*OFFERED, *(key for key in chosen if _is_one(key))})]
        self.formats.choices = [
            SelectChoice("", first),
            *(_written_by(one, now) for one in locales),
        ]

    def validate_language(self, field: Field) -> None:
        """Only a language whose words are here."""
        if field.data and field.data not in tongue.known():
            raise ValidationError(_("'Language' is not one this server knows; choose from the list."))

    def validate_formats(self, field: Field) -> None:
        """Only a locale that the CLDR knows."""
        if field.data and not _is_one(field.data):
            raise ValidationError(_("'Numbers and dates' is not one this server knows; choose from the list."))

    def sent(self, name: str) -> str | None:
        """What was chosen; None when the form came without the field."""
        return None if self[name].raw_data in (None, []) else str(self[name].data or "")


class TongueForm(TongueFields):
    """A person's own."""

    save = SubmitField(lazy("Keep"))


def _written_by(one: Locale, now: datetime) -> SelectChoice:
    own = {"lang": str(one).replace("_", "-"), "translate": "no"}  # read out as there, and nobody's to translate
    return SelectChoice(str(one), f"{one.get_display_name(one)} · {sample(one, now, SHOWN)}", own)


def _is_one(key: Any) -> bool:
    return tongue.locale(str(key)) is not None
