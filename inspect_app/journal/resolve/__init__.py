"""Resolvers: what the server works out for each event before it enters the chain. They read, they never write."""

from __future__ import annotations

from collections.abc import Callable

from inspect_app.journal.events import Incoming, Resolved
from inspect_app.journal.writing import Writing

Resolver = Callable[[Writing, Incoming], Resolved]
RESOLVERS: dict[str, Resolver] = {}


def resolves(*events: str) -> Callable[[Resolver], Resolver]:
    """Name the events a resolver works out."""

    def register(resolver: Resolver) -> Resolver:
        RESOLVERS.update(dict.fromkeys(events, resolver))
        return resolver

    return register


from inspect_app.journal.resolve import (  # noqa: E402
    catalogue,  # noqa: F401
    concessions,  # noqa: F401
    jobs,  # noqa: F401
    markers,  # noqa: F401
    methods,  # noqa: F401
    parts,  # noqa: F401
    photos,  # noqa: F401
    plans,  # noqa: F401
    plant,  # noqa: F401
    readings,  # noqa: F401
    signing,  # noqa: F401
    timers,  # noqa: F401
    units,  # noqa: F401
    walks,  # noqa: F401
)  # they register themselves
