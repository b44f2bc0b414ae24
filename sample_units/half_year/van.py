"""One van of the half-year as it is lived: its id, what is marked on it, and the tags that are used."""

from __future__ import annotations

from dataclasses import dataclass, field

from sample_units.half_year.flaws import Flaw
from sample_units.half_year.plan import Unit


@dataclass
class Live:
    """A van in the shop. `marks`: its flaws by the id of their marker; `cured`: when the last work has (ms UTC)."""

    unit: Unit
    id: str
    marks: dict[str, Flaw] = field(default_factory=dict)
    tags: dict[str, int] = field(default_factory=dict)
    pictured: set[str] = field(default_factory=set)
    cured: int = 0
    escaped: bool = False
    looked: int = 0  # so many looks again

    def tag(self, letters: str) -> str:
        """The next tag that a tablet gives on this van."""
        self.tags[letters] = self.tags.get(letters, 0) + 1
        return f"{letters}{self.tags[letters]}"
