"""The language and the way of writing numbers and dates that a request is answered in.

Both are the person's own (rooms/people), kept in two cookies of the tablet so that pages from before a sign-in have
them too: `language` (a key of words/languages.py) and `formats` (a locale of CLDR, such as de_DE or en_GB). Without:
the plant's.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import suppress
from gettext import NullTranslations
from typing import Any

from babel.core import Locale, UnknownLocaleError
from flask import Flask, Response, abort, current_app, request, url_for
from flask_babel import Babel
from flask_wtf import FlaskForm
from werkzeug.http import parse_cookie

from inspect_app.journal.queries import setup
from inspect_app.rooms.house import reader
from inspect_app.words import N_, gettext, ngettext, speak
from inspect_app.words.languages import ENGLISH, Language
from inspect_app.words.written import write_as

KEPT = "lampwalk_languages"
# What WTForms says by itself of a choice that the form did not offer, as a page that has grown old may send.
OF_CHOICES = (
    N_("Not a valid choice."),
    N_("'%(value)s' is not a valid choice for this field."),
    N_("'%(value)s' are not valid choices for this field."),
)
TEN_YEARS = 10 * 365 * 24 * 3600
FOR_EVER = "max-age=31536000, immutable"


class OfForms:
    """The sentences of WTForms through the one catalogue; it puts their values in itself."""

    def gettext(self, text: str) -> str:
        """Say one sentence."""
        return gettext(text)

    def ngettext(self, one: str, many: str, n: int) -> str:
        """Say it of one, or of several."""
        return gettext(one if n == 1 else many)


def attach(app: Flask, found: Mapping[str, Language]) -> None:
    """Let templates and requests speak these languages."""
    app.extensions[KEPT] = found
    speech = app.extensions["lampwalk"].journal.speech  # what the journal keeps is in the plant's language
    speech.languages = {key: one.translations for key, one in found.items() if key != ENGLISH}
    Babel(app, locale_selector=formats)
    app.jinja_env.add_extension("jinja2.ext.i18n")
    app.jinja_env.install_gettext_callables(gettext, ngettext, newstyle=False)  # type: ignore[attr-defined]
    app.jinja_env.globals.update(_=gettext, gettext=gettext, ngettext=ngettext)
    FlaskForm.Meta.get_translations = lambda _meta, _form: OfForms()
    app.before_request(_begin)
    app.teardown_request(_end)
    app.context_processor(_context)
    app.add_url_rule("/e/<edition>/words/<language>.js", "words", words)


def known() -> Mapping[str, Language]:
    """All languages there are, English first."""
    found: Mapping[str, Language] = current_app.extensions[KEPT]
    return found


def spoken_here() -> Language:
    """The language of this request: the cookie's, else the plant's, else English."""
    there = known()
    for key in (request.cookies.get("language", ""), setup.settings(reader()).get("language", "")):
        if key in there:
            return there[key]
    return there[ENGLISH]


def formats() -> Locale | None:
    """The locale by which this request writes numbers and dates; None where nobody chose one: the house's own form.

    A language other than English brings its own, for English weekdays would stand among its words.
    """
    spoken = spoken_here().key
    usual = "" if spoken == ENGLISH else spoken
    asked = (request.cookies.get("formats", ""), setup.settings(reader()).get("formats", ""), usual)
    return next(filter(None, map(locale, asked)), None)


def locale(key: str) -> Locale | None:
    """The locale of this name in the CLDR; None for one there is not."""
    with suppress(UnknownLocaleError, ValueError):
        return Locale.parse(key)
    return None


def remember(response: Any, language: str, formats: str) -> Any:
    """Let the tablet read as the person does who has it now; "" takes the choice away: as the plant does."""
    for name, value in (("language", language), ("formats", formats)):
        if value:  # the browser's modules set it too, when somebody else goes on without the server
            response.set_cookie(name, value, max_age=TEN_YEARS, samesite="Lax", secure=request.is_secure)
        elif name in request.cookies:
            response.delete_cookie(name, samesite="Lax", secure=request.is_secure)
    return response


def of_cookies(app: Flask) -> Callable[[str], NullTranslations | None]:
    """Tell from a Cookie header in which language the server answers by itself; the plant's when it does not say."""
    there: Mapping[str, Language] = app.extensions[KEPT]
    speech = app.extensions["lampwalk"].journal.speech

    def spoken(header: str) -> NullTranslations | None:
        key = parse_cookie(header).get("language", "")
        if key in there:
            return None if key == ENGLISH else there[key].translations
        found: NullTranslations | None = speech.plants()
        return found

    return spoken


def script_of(spoken: Language) -> str | None:
    """Address of the words for the browser; None for English, which the modules have themselves."""
    return None if spoken.key == ENGLISH else url_for("words", edition=spoken.edition, language=spoken.key)


def words(edition: str, language: str) -> Response:
    """The words of one language, for the browser's modules."""
    found = known().get(language)
    if found is None or found.edition != edition:
        abort(404)
    response = Response(found.script, mimetype="text/javascript")
    response.headers["Cache-Control"] = FOR_EVER
    return response


def _begin() -> None:
    spoken = spoken_here()
    speak(None if spoken.key == ENGLISH else spoken.translations)
    write_as(formats())


def _end(_fault: BaseException | None) -> None:
    speak(None)
    write_as(None)


def context(spoken: Language, formats: Locale | None) -> dict[str, Any]:
    """What a page tells of its language: for readers, for the browser's modules, and where their words are."""
    return {
        "language": spoken.key.replace("_", "-"),
        "formats": str(formats or "").replace("_", "-"),
        "words_script": script_of(spoken),
    }


def _context() -> dict[str, Any]:
    return context(spoken_here(), formats())
