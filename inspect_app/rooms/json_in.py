"""JSON on its way in and out. What is nested like no tablet's is turned away before anything walks through it."""

from __future__ import annotations

import json
import re
from contextlib import suppress
from typing import Any

import orjson
from flask.json.provider import DefaultJSONProvider

# The deepest thing that is sent is a point of a stroke of a signature: seven levels. And this is far below what Python
# can walk through, so that nothing that comes after the reading runs out of stack.
DEEPEST = 40
# What orjson would write in its own way, and what is no plain text or object, is left to Flask.
_OURS = orjson.OPT_PASSTHROUGH_DATETIME | orjson.OPT_PASSTHROUGH_DATACLASS | orjson.OPT_PASSTHROUGH_SUBCLASS
_PLAIN = orjson.OPT_SORT_KEYS | _OURS
_NINES, _LONG = bytes.maketrans(b"0123456789", b"9999999999"), b"9" * 19
_NO_BRACKETS = bytes(set(range(256)) - set(b"[]{}"))
_INNERMOST = re.compile(rb"\[\]|\{\}")


class JsonIn(DefaultJSONProvider):
    """Reading and writing by orjson, in a fraction of the time; by Flask's own where that cannot, as for dates.

    What is read has an end to its nesting.
    """

    def loads(self, s: str | bytes, **options: Any) -> Any:
        """Read a JSON text; raises ValueError for what is none, and for what is nested too deep."""
        text = s.encode(errors="replace") if isinstance(s, str) else s
        if not options and _plain(text):
            with suppress(orjson.JSONDecodeError):  # half a surrogate pair, NaN: those who check shall see them
                return orjson.loads(s)
        try:
            found = super().loads(s, **options)
        except RecursionError:
            raise ValueError("nested too deep") from None
        if _deeper_than(DEEPEST, found):
            raise ValueError("nested too deep")
        return found

    def dumps(self, obj: Any, **options: Any) -> str:
        """Write a JSON text, keys sorted, without blanks."""
        if not options.keys() - {"separators"}:
            with suppress(TypeError):
                return orjson.dumps(obj, option=_PLAIN).decode()
        return super().dumps(obj, **options)


def _plain(text: bytes) -> bool:
    """Whether a text is surely nested no deeper than may be, and surely holds no number beyond 64 bits.

    It is told from brackets and digits, those in strings too, so that nothing has to walk through what was read: orjson
    would make a fraction of such a number, which Flask reads to its last digit.
    """
    if _LONG in text.translate(_NINES):
        return False
    brackets = text.translate(None, _NO_BRACKETS)
    for _ in range(DEEPEST):
        fewer = _INNERMOST.sub(b"", brackets)
        if len(fewer) == len(brackets):
            break
        brackets = fewer
    return not brackets


def _deeper_than(levels: int, found: Any) -> bool:
    """Whether lists and objects lie in one another beyond so many levels; level by level, without recursion."""
    here = [found]
    for _ in range(levels):
        here = [
            one
            for node in here
            if isinstance(node, (list, dict))
            for one in (node.values() if isinstance(node, dict) else node)
            if isinstance(one, (list, dict))
        ]
        if not here:
            return False
    return True


def as_sent(text: str | None) -> dict[str, Any]:
    """What was sent and refused, as far as it can be read: kept raw, it may have been cut, being too long."""
    try:
        found = json.loads(text or "{}")
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}
