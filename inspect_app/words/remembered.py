"""Small sentences that are said over and over, kept once they were put together."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, wraps
from gettext import NullTranslations
from typing import Any, ParamSpec

from inspect_app.words import _spoken
from inspect_app.words.figures import _point

Asked = ParamSpec("Asked")
MOST = 4096  # of each function: some hundred are said in a day, in a language or two


def remembered(say: Callable[Asked, str]) -> Callable[Asked, str]:
    """Keep what a function says, by its arguments, the language spoken and the way figures are written.

    For functions of few, plain arguments that look at nothing else.
    """

    def fresh(_language: NullTranslations | None, _figures: str, *args: Any, **more: Any) -> str:
        return say(*args, **more)

    kept: Callable[..., str] = lru_cache(maxsize=MOST)(fresh)

    @wraps(say)
    def said(*args: Asked.args, **more: Asked.kwargs) -> str:
        return kept(_spoken.get(), _point.get(), *args, **more)

    return said
