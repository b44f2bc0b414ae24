"""JSON on its way in: what is nested like no tablet's is turned away before anything walks through it."""

from __future__ import annotations

from typing import Any

from flask.json.provider import DefaultJSONProvider

# The deepest thing that is sent is a point of a stroke of a signature: seven levels. And this is far below what Python
# can walk through, so that nothing that comes after the reading runs out of stack.
DEEPEST = 40


class JsonIn(DefaultJSONProvider):
    """Flask's own reading and writing, with an end to the nesting of what is read."""

    def loads(self, s: str | bytes, **options: Any) -> Any:
        """Read a JSON text; raises ValueError for what is none, and for what is nested too deep."""
        try:
            found = super().loads(s, **options)
        except RecursionError:
            raise ValueError("nested too deep") from None
        if _deeper_than(DEEPEST, found):
            raise ValueError("nested too deep")
        return found


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
