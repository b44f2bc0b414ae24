"""The languages there are: files `<language>.po` of the gettext format, in this folder and in a plant's `words/`.

A plant's own file wins over ours of the same name, sentence by sentence. A sentence that a file does not have is said
in English.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from io import BytesIO
from pathlib import Path

from babel.core import Locale, UnknownLocaleError
from babel.messages.catalog import Catalog, Message
from babel.messages.mofile import write_mo
from babel.messages.pofile import PoFileError, read_po
from babel.support import Translations

HERE = Path(__file__).parent
ENGLISH = "en"
FOLDER = "words"  # in the data folder: the plant's own files
VALUE = re.compile(r"%\((\w+)\)s")
LINE = re.compile(r'\s*(?:#.*|(?:(?:msgctxt|msgid|msgid_plural|msgstr(?:\[\d+\])?)\s+)?"(?:[^"\\]|\\.)*"|)\s*')
COUNTS = 200  # a plural rule of gettext looks at the last two digits, so that 0 to 199 tell all of it


class Unreadable(Exception):
    """A file of words that cannot be used: which, where, what to do."""


@dataclass(frozen=True, kw_only=True)
class Language:
    """One language, read once."""

    key: str
    name: str
    translations: Translations = field(repr=False)
    catalog: Catalog = field(repr=False)

    @cached_property
    def script(self) -> bytes:
        """What a browser is given: all sentences that differ from English, and which form goes with which count."""
        said = {}
        for message in self.catalog:
            if not message.id or not message.string or message.fuzzy:
                continue
            one = message.id[0] if isinstance(message.id, tuple | list) else message.id
            forms = list(message.string) if isinstance(message.string, tuple | list) else message.string
            if all(forms):
                said[one] = forms
        which = [self.translations.plural(n) for n in range(COUNTS)]
        told = json.dumps({"said": said, "forms": which}, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
        return f"globalThis.lampwalkWords={told.replace('</', '<' + chr(92) + '/')};\n".encode()

    @cached_property
    def edition(self) -> str:
        """Sixteen hexadecimal digits of the hash of the script, for its address."""
        return hashlib.sha256(self.script).hexdigest()[:16]


def languages(plant: Path | None = None) -> Mapping[str, Language]:
    """All languages by key ("en", "de", "pt_BR"), English first. `plant`: the folder of the plant's own files.

    Raises Unreadable for a file that is no gettext catalogue, or whose name is no language.
    """
    found = {ENGLISH: _language(ENGLISH, ())}
    files: dict[str, list[Path]] = {}
    for folder in (HERE, plant):
        for path in sorted(folder.glob("*.po")) if folder is not None and folder.is_dir() else ():
            files.setdefault(path.stem, []).append(path)
    return found | {key: _language(key, tuple(map(_brought, paths))) for key, paths in files.items()}


@dataclass(frozen=True)
class _Brought:
    """One file; two of the same content are the same, wherever they lie."""

    content: bytes
    path: Path = field(compare=False)


def _brought(path: Path) -> _Brought:
    try:
        return _Brought(path.read_bytes(), path)
    except OSError as fault:
        raise _unreadable(path, fault) from None


def _unreadable(path: Path, fault: Exception) -> Unreadable:
    return Unreadable(f"{path} cannot be read as a gettext catalogue: {fault}. Mend it or take it away.")


@lru_cache(maxsize=32)  # the same words are read once, however often a plant is opened
def _language(key: str, files: tuple[_Brought, ...]) -> Language:
    try:
        locale = Locale.parse(key)
    except (UnknownLocaleError, ValueError):
        raise Unreadable(f"{files[0].path}: '{key}' is no language; name the file as in de.po or pt_BR.po.") from None
    whole = Catalog(locale=locale)
    for file in files:
        for message in _read(file, locale):
            if message.id and any(_forms(message.string)) and not message.fuzzy:
                _fits(file.path, message, whole.num_plurals)
                whole.delete(message.id, message.context)  # or Babel would keep what the file before said
                whole.add(message.id, message.string, context=message.context)
    packed = BytesIO()
    write_mo(packed, whole)
    packed.seek(0)
    name = (locale.get_display_name(key) or key).capitalize()
    return Language(key=key, name=name, translations=Translations(packed), catalog=whole)


def _forms(texts: str | Sequence[str] | None) -> Sequence[str]:
    return (texts,) if isinstance(texts, str) else texts or ()


def _fits(path: Path, message: Message, plurals: int) -> None:
    """Refuse a translation that would fail when it is said: of a value there is not, or with forms too few or too many.

    Raises Unreadable with the line.
    """
    where = f"{path}, line {message.lineno}"
    forms, known = _forms(message.string), {name for text in _forms(message.id) for name in VALUE.findall(text)}
    if message.pluralizable and not (len(forms) == plurals and all(forms)):
        filled = len([text for text in forms if text])
        raise Unreadable(f"{where}: this language has {plurals} forms of a counted sentence (got {filled}).")
    for text in filter(None, forms):
        for name in VALUE.findall(text):
            if name not in known:
                raise Unreadable(f"{where}: the English sentence has no value %({name})s; write those it has.")
        if known and "%" in VALUE.sub("", text).replace("%%", ""):
            raise Unreadable(f"{where}: write one per cent sign as %% in a sentence that has values.")


def _read(file: _Brought, locale: Locale) -> Catalog:
    try:
        for number, line in enumerate(file.content.decode("utf-8-sig").splitlines(), 1):
            if not LINE.fullmatch(line):  # Babel takes a text without its closing mark, and drops its last letter
                raise ValueError(f"line {number} is neither a comment nor a text in quotation marks")
        return read_po(BytesIO(file.content), locale=locale, abort_invalid=True)
    except (PoFileError, UnicodeDecodeError, ValueError) as fault:
        raise _unreadable(file.path, fault) from None
