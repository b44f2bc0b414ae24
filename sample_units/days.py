"""Time in the demo: a clock that is set, working days counted back from now, and stories told in the order of time."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, time, timedelta, tzinfo

Story = Iterator[int]  # yields the moments (ms UTC) at which it wants to go on
MINUTE = 60_000
BEGIN, END = time(7, 10), time(17, 20)  # the shop's day


@dataclass
class SetClock:
    """A clock that stands still until it is set; it never goes back."""

    now: int

    def __call__(self) -> int:
        """The time it shows, ms UTC."""
        return self.now

    def set(self, moment: int) -> None:
        """Show another time."""
        self.now = max(self.now, moment)


@dataclass(frozen=True, kw_only=True)
class Days:
    """Working days around now. `now`: ms UTC; `zone`: the plant's."""

    now: int
    zone: tzinfo

    def day(self, offset: int, clock: str = "07:10") -> int:
        """A time of day, so many working days before (negative) or after today; 0 is today, whatever day it is."""
        date, step = self._local(self.now).date(), 1 if offset > 0 else -1
        left = abs(offset)
        while left:
            date += timedelta(days=step)
            left -= date.weekday() < 5
        return round(datetime.combine(date, time.fromisoformat(clock), self.zone).timestamp() * 1000)

    def ago(self, minutes: float) -> int:
        """So many minutes before now; the last five hours are today's, however early today is."""
        return self.now - round(minutes * MINUTE)

    def at_work(self, moment: int) -> int:
        """The moment itself when the shop is open, else when it opens next."""
        local = self._local(moment)
        if local.weekday() < 5 and BEGIN <= local.time() <= END:
            return moment
        date = local.date() + timedelta(days=local.time() > END)
        while date.weekday() >= 5:
            date += timedelta(days=1)
        return round(datetime.combine(date, BEGIN, self.zone).timestamp() * 1000)

    def next_day(self, moment: int, clock: str) -> int:
        """A time of day on the next working day."""
        morning = self.at_work(
            round(datetime.combine(self._local(moment).date() + timedelta(days=1), BEGIN, self.zone).timestamp() * 1000)
        )
        at = datetime.combine(self._local(morning).date(), time.fromisoformat(clock), self.zone)
        return round(at.timestamp() * 1000)

    def _local(self, moment: int) -> datetime:
        return datetime.fromtimestamp(moment / 1000, self.zone)


def tell(stories: Iterable[Story], clock: SetClock) -> None:
    """Tell stories side by side: always the one that goes on first, so that the journal's order is that of time."""
    waiting: list[tuple[int, int, Story]] = []
    for number, story in enumerate(stories):
        _wait(waiting, number, story)
    while waiting:
        moment, number, story = heapq.heappop(waiting)
        clock.set(moment)
        _wait(waiting, number, story)


def _wait(waiting: list[tuple[int, int, Story]], number: int, story: Story) -> None:
    moment = next(story, None)
    if moment is not None:
        heapq.heappush(waiting, (moment, number, story))
