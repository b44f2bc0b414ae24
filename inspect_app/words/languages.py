"""The languages there are: files `<language>.po` of the gettext format, in this folder and in a plant's `words/`.

A plant's own file wins over ours of the same name, sentence by sentence. A sentence that a file does not have is said
in English.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from io import BytesIO
from pathlib import Path

from babel.core import Locale, UnknownLocaleError
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import PoFileError, read_po
from babel.support import Translations

HERE = Path(__file__).parent
ENGLISH = "en"
FOLDER = "words"  # in the data folder: the plant's own files
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
    found = {ENGLISH: _language(ENGLISH, [])}
    files: dict[str, list[Path]] = {}
    for folder in (HERE, plant):
        for path in sorted(folder.glob("*.po")) if folder is not None and folder.is_dir() else ():
            files.setdefault(path.stem, []).append(path)
    return found | {key: _language(key, paths) for key, paths in files.items()}


def _language(key: str, paths: list[Path]) -> Language:
    try:
        locale = Locale.parse(key)
    except (UnknownLocaleError, ValueError):
        raise Unreadable(f"{paths[0]}: '{key}' is no language; name the file as in de.po or pt_BR.po.") from None
    whole = Catalog(locale=locale)
    for path in paths:
        for message in _read(path, locale):
            if message.id and message.string and not message.fuzzy:
                whole.add(message.id, message.string, context=message.context)
    packed = BytesIO()
    write_mo(packed, whole)
    packed.seek(0)
    name = (locale.get_display_name(key) or key).capitalize()
    return Language(key=key, name=name, translations=Translations(packed), catalog=whole)


def _read(path: Path, locale: Locale) -> Catalog:
    try:
        with path.open("rb") as file:
            return read_po(file, locale=locale, abort_invalid=True)
    except (PoFileError, UnicodeDecodeError, ValueError) as fault:
        raise Unreadable(f"{path} cannot be read as a gettext catalogue: {fault}. Mend it or take it away.") from None
