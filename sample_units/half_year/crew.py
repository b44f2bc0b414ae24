"""Everyone who works in the half-year plant, and their sign-ins of each day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor

from inspect_app.journal import Journal
from inspect_app.journal.journal import PLANT
from sample_units import people
from sample_units.hands import Hands, admit, hire

ABREAST = 12  # sign-ins at once: the journal writes what waits in one commit


class Crew:
    """The hands of everyone hired so far, by key. Use as a context manager."""

    def __init__(self, journal: Journal, pin_hashes: Mapping[str, str]):
        self._journal = journal
        self._hashes = pin_hashes
        self._signing = ThreadPoolExecutor(ABREAST)
        self.people = {person.key: person for person in people.everyone()}
        self.hands: dict[str, Hands] = {}
        self.tokens: list[str] = []  # the signed tickets of everyone's present sign-in

    def __enter__(self) -> Crew:
        return self

    def __exit__(self, *_: object) -> None:
        self._signing.shutdown()

    def hire(self, keys: Iterable[str]) -> None:
        """Hire people, and give each a tablet with a name."""
        for key in keys:
            person = self.people[key]
            known = hire(
                self._journal, person.name, person.roles, person.departments, pin_hash=self._hashes[person.pin]
            )
            tablet = admit(self._journal)
            self._journal.record_server(PLANT, "tablet_named", {"tablet": tablet, "name": person.tablet})
            self.hands[key] = Hands(self._journal, known, tablet, person.roles, person.departments)

    def sign_in(self) -> None:
        """Let everyone sign in for the day."""
        list(self._signing.map(Hands.sign_in, self.hands.values()))
        self.tokens = [self._journal.tickets.write(hands.ticket) for hands in self.hands.values()]

    def of(self, department: str) -> list[str]:
        """Who of a department is here, in the order of the cast."""
        return [key for key in self.hands if department in self.people[key].departments]
