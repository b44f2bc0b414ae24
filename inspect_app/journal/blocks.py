"""One thing that keeps a gate open, with who can lift it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Block:
    """One thing that keeps a gate open. `about` names a marker, zone, question, concession, reading or tablet to link to."""

    text: str
    about: str
    key: str
    lifted_by: str
    unlooked: bool = False  # a zone that nobody has looked at since the last work
