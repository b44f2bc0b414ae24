"""Who may use which route. The one table of it: the tests walk it, and docs/reference.md is written from it.

`who` is OPEN (also without a sign-in), ANYONE (whoever is signed in), or the roles that may. `kind` says what is
answered when all goes well: a page, JSON, a file, or both (a page for a person, JSON for a program).
"""

from __future__ import annotations

from dataclasses import dataclass

from flask import Flask

OPEN = frozenset({"nobody", "inspector", "technician", "manager"})
ANYONE = frozenset({"inspector", "technician", "manager"})
INSPECTORS = frozenset({"inspector"})
MANAGERS = frozenset({"manager"})
DESK = frozenset({"inspector", "manager"})
FIXERS = frozenset({"technician", "manager"})


@dataclass(frozen=True, kw_only=True)
class Door:
    """One method of one rule."""

    who: frozenset[str]
    kind: str

    @property
    def words(self) -> str:
        """For the reference."""
        if self.who == OPEN:
            return "also without a sign-in"
        return "anyone signed in" if self.who == ANYONE else " or ".join(sorted(self.who))


def door(who: frozenset[str], kind: str) -> Door:
    """Short for a row of the table."""
    return Door(who=who, kind=kind)


PAGE, JSON, FILE, BOTH = "page", "JSON", "file", "page or JSON"

DOORS: dict[tuple[str, str], Door] = {
    # people
    ("GET", "/sign-in"): door(OPEN, PAGE),
    ("POST", "/sign-in"): door(OPEN, BOTH),
    ("POST", "/sign-in/again"): door(OPEN, JSON),
    ("GET", "/sign-in/names"): door(OPEN, JSON),
    ("GET", "/admit"): door(OPEN, PAGE),
    ("POST", "/admit"): door(OPEN, PAGE),
    ("GET", "/first"): door(OPEN, PAGE),
    ("POST", "/first"): door(OPEN, PAGE),
    ("GET", "/sign-out"): door(ANYONE, PAGE),
    ("POST", "/sign-out"): door(ANYONE, PAGE),
    ("GET", "/my-settings"): door(ANYONE, PAGE),
    ("POST", "/my-settings"): door(ANYONE, PAGE),
    # what tablets live on
    ("GET", "/healthz"): door(OPEN, JSON),
    ("GET", "/me"): door(ANYONE, JSON),
    ("POST", "/sync"): door(ANYONE, JSON),
    ("GET", "/changes"): door(ANYONE, JSON),
    ("POST", "/presence/left"): door(ANYONE, JSON),
    ("GET", "/lifecycle.json"): door(ANYONE, JSON),
    ("GET", "/judgement.json"): door(ANYONE, JSON),
    ("GET", "/catalogues/<key>.json"): door(ANYONE, JSON),
    ("GET", "/outlines/<key>.json"): door(ANYONE, JSON),
    ("PUT", "/photos/<key>"): door(ANYONE, JSON),
    ("GET", "/photos/<key>"): door(ANYONE, FILE),
    ("GET", "/client/<path:path>"): door(OPEN, FILE),
    ("GET", "/rooms/<room>/<path:path>"): door(OPEN, FILE),
    ("GET", "/e/<edition>/client/<path:path>"): door(OPEN, FILE),
    ("GET", "/e/<edition>/words/<language>.js"): door(OPEN, FILE),
    ("GET", "/e/<edition>/rooms/<room>/<path:path>"): door(OPEN, FILE),
    # the app on the tablet
    ("GET", "/manifest.webmanifest"): door(OPEN, FILE),
    ("GET", "/sw.js"): door(OPEN, FILE),
    ("GET", "/shell/<page>"): door(OPEN, PAGE),
    # floor and units
    ("GET", "/"): door(ANYONE, PAGE),
    ("GET", "/floor/groups"): door(ANYONE, PAGE),
    ("GET", "/units"): door(ANYONE, PAGE),
    ("GET", "/units/find"): door(ANYONE, BOTH),
    ("GET", "/units/new"): door(DESK, PAGE),
    ("POST", "/units/new"): door(DESK, PAGE),
    ("GET", "/units/<key>"): door(ANYONE, PAGE),
    ("GET", "/units/<key>/history"): door(ANYONE, PAGE),
    ("POST", "/units/<key>/place"): door(DESK, PAGE),
    ("POST", "/units/<key>/stations"): door(ANYONE, PAGE),
    ("POST", "/units/<key>/painted"): door(ANYONE, PAGE),
    ("GET", "/units/<key>/correct"): door(DESK, PAGE),
    ("POST", "/units/<key>/correct"): door(DESK, PAGE),
    ("POST", "/units/<key>/questions/<question>"): door(DESK, PAGE),
    ("POST", "/units/<key>/no-flaw/<marker>"): door(INSPECTORS, PAGE),
    ("GET", "/questions"): door(DESK, PAGE),
    ("POST", "/questions/<key>"): door(DESK, PAGE),
    # the plan of a unit
    ("GET", "/plans"): door(FIXERS, PAGE),
    ("GET", "/units/<key>/plan"): door(FIXERS, PAGE),
    ("POST", "/units/<key>/plan"): door(FIXERS, PAGE),
    # parts off their vans
    ("GET", "/parts"): door(ANYONE, PAGE),
    ("GET", "/parts/<key>"): door(ANYONE, PAGE),
    ("POST", "/parts/<key>/stage"): door(ANYONE, PAGE),
    ("POST", "/parts/<key>/again"): door(ANYONE, PAGE),
    ("POST", "/parts/<key>/refit"): door(ANYONE, PAGE),
    ("POST", "/parts/<key>/clips"): door(ANYONE, PAGE),
    ("POST", "/parts/<key>/back"): door(ANYONE, PAGE),
    ("POST", "/parts/<key>/timer"): door(ANYONE, PAGE),
    ("GET", "/units/<key>/parts"): door(ANYONE, PAGE),
    ("POST", "/units/<key>/parts"): door(ANYONE, PAGE),
    ("GET", "/units/<key>/parts/labels.pdf"): door(ANYONE, FILE),
    # readings
    ("GET", "/units/<key>/readings"): door(ANYONE, PAGE),
    ("GET", "/units/<key>/readings/<what>"): door(ANYONE, PAGE),
    ("POST", "/units/<key>/readings/<what>"): door(ANYONE, PAGE),
    ("GET", "/readings/<key>"): door(ANYONE, PAGE),
    ("POST", "/readings/<key>/marker"): door(INSPECTORS, PAGE),
    ("POST", "/readings/<key>/close"): door(INSPECTORS, PAGE),
    # the work
    ("GET", "/walk/<unit>"): door(INSPECTORS, PAGE),
    ("GET", "/rework"): door(ANYONE, PAGE),
    ("GET", "/rework/<job>"): door(ANYONE, PAGE),
    ("GET", "/again"): door(DESK, PAGE),
    ("GET", "/again/<unit>"): door(DESK, PAGE),
    # sign-off
    ("GET", "/sign-off"): door(ANYONE, PAGE),
    ("GET", "/sign-off/<key>"): door(ANYONE, PAGE),
    ("GET", "/sign-off/<key>/now"): door(ANYONE, JSON),
    ("POST", "/sign-off/<key>/sign"): door(INSPECTORS, JSON),
    ("POST", "/sign-off/<key>/gates/<gate>"): door(ANYONE, JSON),
    ("POST", "/sign-off/<key>/questions/<question>"): door(DESK, JSON),
    ("POST", "/sign-off/<key>/reopen"): door(MANAGERS, JSON),
    ("GET", "/concessions"): door(DESK, PAGE),
    ("POST", "/concessions/<key>/agree"): door(DESK, JSON),
    ("POST", "/concessions/<key>/refuse"): door(MANAGERS, JSON),
    ("GET", "/sheets/<unit>/<revision>.pdf"): door(ANYONE, FILE),
    ("POST", "/sheets/<unit>/<revision>/make"): door(DESK, JSON),
    ("GET", "/gauge-card.pdf"): door(ANYONE, FILE),
    # rates
    ("GET", "/rates"): door(MANAGERS, PAGE),
    ("GET", "/rates.csv"): door(MANAGERS, FILE),
    ("GET", "/rates/gaps.csv"): door(MANAGERS, FILE),
    # setup
    ("GET", "/setup"): door(MANAGERS, PAGE),
    ("GET", "/setup/people"): door(MANAGERS, PAGE),
    ("GET", "/setup/people/new"): door(MANAGERS, PAGE),
    ("POST", "/setup/people/new"): door(MANAGERS, PAGE),
    ("GET", "/setup/people/<key>"): door(MANAGERS, PAGE),
    ("POST", "/setup/people/<key>"): door(MANAGERS, PAGE),
    ("GET", "/setup/people/<key>/pin"): door(MANAGERS, PAGE),
    ("POST", "/setup/people/<key>/pin"): door(MANAGERS, PAGE),
    ("POST", "/setup/people/<key>/left"): door(MANAGERS, PAGE),
    ("POST", "/setup/people/<key>/back"): door(MANAGERS, PAGE),
    ("GET", "/setup/tablets"): door(MANAGERS, PAGE),
    ("GET", "/setup/tablets/new"): door(MANAGERS, PAGE),
    ("POST", "/setup/tablets/new"): door(MANAGERS, PAGE),
    ("GET", "/setup/tablets/codes/<key>"): door(MANAGERS, PAGE),
    ("POST", "/setup/tablets/<key>/out"): door(MANAGERS, PAGE),
    ("POST", "/setup/tablets/<key>/in"): door(MANAGERS, PAGE),
    ("GET", "/setup/tablets/<key>"): door(MANAGERS, PAGE),
    ("POST", "/setup/tablets/<key>"): door(MANAGERS, PAGE),
    ("GET", "/setup/outbox"): door(MANAGERS, PAGE),
    ("POST", "/setup/outbox"): door(MANAGERS, PAGE),
    ("GET", "/setup/outbox/<key>"): door(MANAGERS, PAGE),
    ("POST", "/setup/outbox/<key>"): door(MANAGERS, PAGE),
    ("GET", "/setup/certificate"): door(MANAGERS, PAGE),
    ("GET", "/setup/certificate/lampwalk-ca.crt"): door(MANAGERS, FILE),
    ("GET", "/setup/settings"): door(MANAGERS, PAGE),
    ("POST", "/setup/settings"): door(MANAGERS, PAGE),
    ("GET", "/setup/units/import"): door(MANAGERS, PAGE),
    ("POST", "/setup/units/import"): door(MANAGERS, PAGE),
    ("GET", "/setup/units/import/<key>"): door(MANAGERS, PAGE),
    ("GET", "/setup/units/import/<key>/rows.csv"): door(MANAGERS, FILE),
    ("GET", "/setup/catalogue"): door(MANAGERS, PAGE),
    ("GET", "/setup/catalogue/<part>"): door(MANAGERS, PAGE),
    ("GET", "/setup/catalogue/<part>/new"): door(MANAGERS, PAGE),
    ("POST", "/setup/catalogue/<part>/new"): door(MANAGERS, PAGE),
    ("GET", "/setup/catalogue/<part>/<key>"): door(MANAGERS, PAGE),
    ("POST", "/setup/catalogue/<part>/<key>"): door(MANAGERS, PAGE),
    ("POST", "/setup/catalogue/<part>/<key>/retired"): door(MANAGERS, PAGE),
    ("POST", "/setup/catalogue/<part>/<key>/back"): door(MANAGERS, PAGE),
    ("GET", "/setup/catalogue/limits/<key>"): door(MANAGERS, PAGE),
    ("POST", "/setup/catalogue/limits/<key>"): door(MANAGERS, PAGE),
    ("GET", "/setup/catalogue/rules"): door(MANAGERS, PAGE),
    ("GET", "/setup/catalogue/rules/<part>"): door(MANAGERS, PAGE),
    ("POST", "/setup/catalogue/rules/<part>"): door(MANAGERS, PAGE),
    ("POST", "/setup/catalogue/rules/<part>/program"): door(MANAGERS, PAGE),
    ("GET", "/setup/catalogue/versions"): door(MANAGERS, PAGE),
    ("POST", "/setup/catalogue/versions/<number>/again"): door(MANAGERS, PAGE),
    ("GET", "/setup/catalogue/changes"): door(MANAGERS, PAGE),
    ("GET", "/setup/catalogue/changes/<old>/<new>"): door(MANAGERS, PAGE),
    ("GET", "/setup/catalogue.toml"): door(MANAGERS, FILE),
    ("GET", "/setup/catalogue/import"): door(MANAGERS, PAGE),
    ("POST", "/setup/catalogue/import"): door(MANAGERS, PAGE),
    ("GET", "/setup/departments"): door(MANAGERS, PAGE),
    ("GET", "/setup/outlines"): door(MANAGERS, PAGE),
    ("GET", "/setup/outlines/numbers"): door(MANAGERS, PAGE),
    ("POST", "/setup/outlines/numbers"): door(MANAGERS, PAGE),
    ("GET", "/setup/outlines/drawing"): door(MANAGERS, PAGE),
    ("POST", "/setup/outlines/drawing"): door(MANAGERS, PAGE),
    ("GET", "/setup/outlines/drafts/<key>"): door(MANAGERS, PAGE),
    ("POST", "/setup/outlines/drafts/<key>"): door(MANAGERS, PAGE),
    ("GET", "/setup/outlines/<key>"): door(MANAGERS, PAGE),
    ("GET", "/setup/outlines/<key>.svg"): door(MANAGERS, FILE),
    ("POST", "/setup/outlines/<key>/models"): door(MANAGERS, PAGE),
    ("POST", "/setup/outlines/<key>/models/off"): door(MANAGERS, PAGE),
    ("POST", "/setup/outlines/<key>/units"): door(MANAGERS, PAGE),
    ("POST", "/setup/outlines/<key>/retired"): door(MANAGERS, PAGE),
    ("POST", "/setup/outlines/<key>/back"): door(MANAGERS, PAGE),
}


def routes(app: Flask) -> dict[tuple[str, str], str]:
    """Every (method, rule) of an application with its endpoint; HEAD and OPTIONS follow from the others."""
    return {
        (method, rule.rule): rule.endpoint
        for rule in app.url_map.iter_rules()
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
    }
