"""Words for people, in the language of whoever reads them.

A sentence is written in English where it is said: `_("%(tag)s is kept.", tag=tag)`. That English text is also its key
in a catalogue of the open gettext format, one file a language (languages.py). Values stand as `%(name)s`, so that
another language can put them in another order.

Which language is spoken is a matter of the thread: a request speaks that of the person who asked (rooms/tongue.py), the
journal's writer that of the plant, for what it keeps is read by everyone. Nobody set it: English, as written.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from gettext import NullTranslations

from babel.support import LazyProxy

_spoken: ContextVar[NullTranslations | None] = ContextVar("spoken", default=None)


def gettext(text: str, /, **values: object) -> str:
    """The sentence in the language now spoken, with its values put in.

    `text` is English and a literal, or it is not found by whoever collects the words. A name in it without a value
    raises KeyError.
    """
    spoken = _spoken.get()
    said = spoken.gettext(text) if spoken is not None and text else text
    return said % values if values else said


def ngettext(one: str, many: str, n: int, /, **values: object) -> str:
    """The sentence for n things; `%(n)s` is n itself. Raises KeyError as gettext does."""
    spoken = _spoken.get()
    said = (one if n == 1 else many) if spoken is None else spoken.ngettext(one, many, n)
    return said % {"n": n, **values}


def N_(text: str) -> str:  # noqa: N802 - the name gettext has for it
    """Mark a text for the catalogue where it is written down, to be said with gettext later. Returns it unchanged."""
    return text


_ = gettext


def lazy(text: str, /, **values: object) -> str:
    """A text that is looked up when it is shown: for labels of forms, which are made once for all readers.

    It stands for a string wherever one is shown; JSON and str.join want str() of it.
    """
    proxy: str = LazyProxy(gettext, text, enable_cache=False, **values)  # type: ignore[assignment]
    return proxy


def midway(name: str) -> str:
    """A name as it stands inside a sentence: in small letters in English.

    Another language writes its names as its translator did, for German would be wrong in small letters.
    """
    return name.lower() if _spoken.get() is None else name


@contextmanager
def speaking(translations: NullTranslations | None) -> Iterator[None]:
    """Speak one language within; None is English as written."""
    before = _spoken.set(translations)
    try:
        yield
    finally:
        _spoken.reset(before)


def speak(translations: NullTranslations | None) -> None:
    """Speak a language from now on in this thread."""
    _spoken.set(translations)
