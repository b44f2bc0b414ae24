"""Who may keep a connection: a cap on all of them, and an end to those that show no sign of life."""

import asyncio
from collections import Counter
from typing import Protocol

from inspect_app.serving.limits import Limits


class Door(Protocol):
    """One connection, as the gate sees it. Times are the event loop's, in seconds."""

    address: str
    moved: float  # the last sign of life
    head_since: float | None  # since when the header of a request is due

    def waits_for_client(self) -> bool:
        """Tell whether it is the client's turn: to send, or to take what has been sent."""

    def unsent(self) -> int:
        """Return how many bytes wait for the client to take them."""

    def notice(self) -> None:
        """Set `moved` if the client has taken anything since the last call."""

    def close_late_head(self) -> None:
        """Close because no complete header came in time."""

    def abort(self) -> None:
        """Cut the connection, dropping what is unsent."""


class Gate:
    """All connections of one server."""

    def __init__(self, limits: Limits) -> None:
        self.limits = limits
        self.doors: set[Door] = set()
        self._timer: asyncio.TimerHandle | None = None
        self._every = max(0.05, min(1.0, limits.head_s / 4, limits.write_idle_s / 4))

    def enter(self, door: Door) -> bool:
        """Let a connection in; False when the house is full and nobody in it can be asked to leave.

        At the cap the one leaves that has kept the server waiting longest, taken from the address that holds the most
        connections. A request that is being worked on is never dropped for a newcomer.
        """
        self._start_timer()
        if len(self.doors) >= self.limits.connections:
            idler = self._worst_idler()
            if idler is None:
                return False
            self.leave(idler)
            idler.abort()
        self.doors.add(door)
        return True

    def leave(self, door: Door) -> None:
        """Forget a connection."""
        self.doors.discard(door)

    def _worst_idler(self) -> Door | None:
        held = Counter(door.address for door in self.doors)
        idlers = (door for door in self.doors if door.waits_for_client())
        return max(idlers, key=lambda door: (held[door.address], -door.moved), default=None)

    def _start_timer(self) -> None:
        if self._timer is None:
            self._timer = asyncio.get_running_loop().call_later(self._every, self._sweep)

    def _sweep(self) -> None:
        self._timer = None
        now = asyncio.get_running_loop().time()
        for door in list(self.doors):
            door.notice()
            if door.unsent() and now - door.moved > self.limits.write_idle_s:
                self.leave(door)
                door.abort()
            elif door.head_since is not None and now - door.head_since > self.limits.head_s:
                door.close_late_head()
        if self.doors:
            self._start_timer()
