"""Every page worth a picture: its name, who opens it, where. What a plant does not have is left out."""

from __future__ import annotations

from typing import Any

UNITS_BY_STAGE = "SELECT id FROM units WHERE stage = ? ORDER BY markers DESC LIMIT 1"
PERSON = "SELECT id FROM people WHERE state = 'active' ORDER BY id LIMIT 1"
TABLET = "SELECT id FROM tablets ORDER BY id LIMIT 1"
OUTLINE = "SELECT hash FROM outlines ORDER BY n LIMIT 1"
ESCAPED = "SELECT unit FROM questions ORDER BY n DESC LIMIT 1"
PART = "SELECT id FROM parts WHERE stage = 'flamed' ORDER BY n LIMIT 1"
PART_HELD = "SELECT id FROM parts WHERE stage = 'painted' ORDER BY n LIMIT 1"
READING = "SELECT id FROM readings WHERE outcome = ? ORDER BY what <> 'colour', n DESC LIMIT 1"
READINGS_OF = "SELECT unit FROM readings GROUP BY unit ORDER BY count(*) DESC LIMIT 1"
PARTS_OF = "SELECT unit FROM parts GROUP BY unit ORDER BY count(*) DESC LIMIT 1"
CATALOGUES = "SELECT count(*) FROM catalogues"

Page = tuple[str | None, str]


def pages(house: Any) -> dict[str, Page]:
    """The pages of a plant, for the people of the cast."""
    return {**_of_units(house), **FIXED, **_of_rows(house)}


def unit_of(house: Any, stage: str) -> str | None:
    """The unit of a stage with the most marks."""
    return _first(house, UNITS_BY_STAGE, stage)


def _first(house: Any, sql: str, *values: str) -> str | None:
    row = house.journal.read().execute(sql, values).fetchone()
    return None if row is None else str(row[0])


def _of_units(house: Any) -> dict[str, Page]:
    wanted = {
        "walk": ("Ines", "/walk/{}", "walking"),
        "again": ("Łukasz", "/again/{}", "to_look_again"),
        "sign-off": ("Ines", "/sign-off/{}", "to_sign"),
        "signed": ("Maud", "/sign-off/{}", "signed"),
        "unit": ("Maud", "/units/{}", "in_rework"),
        "plan": ("Maud", "/units/{}/plan", "in_rework"),
        "unit-signed": ("Maud", "/units/{}", "signed"),
        "unit-correct": ("Maud", "/units/{}/correct", "in_rework"),
        "history": ("Maud", "/units/{}/history", "signed"),
    }
    found = {name: (who, path, unit_of(house, stage)) for name, (who, path, stage) in wanted.items()}
    return {name: (who, path.format(unit)) for name, (who, path, unit) in found.items() if unit}


def _of_rows(house: Any) -> dict[str, Page]:
    wanted = {
        "person": (PERSON, "/setup/people/{}"),
        "person-pin": (PERSON, "/setup/people/{}/pin"),
        "tablet": (TABLET, "/setup/tablets/{}"),
        "outline": (OUTLINE, "/setup/outlines/{}"),
        "history-escape": (ESCAPED, "/units/{}/history"),
        "part": (PART, "/parts/{}"),
        "part-held": (PART_HELD, "/parts/{}"),
        "unit-parts": (PARTS_OF, "/units/{}/parts"),
        "reading-over": (READING.replace("?", "'over'"), "/readings/{}"),
        "reading-within": (READING.replace("?", "'within'"), "/readings/{}"),
        "unit-readings": (READINGS_OF, "/units/{}/readings"),
        **{f"read-{what}": (READINGS_OF, f"/units/{{}}/readings/{what}") for what in ("film", "colour", "gap", "dew")},
    }
    found = {name: (path, _first(house, sql)) for name, (sql, path) in wanted.items()}
    rows: dict[str, Page] = {name: ("Maud", path.format(key)) for name, (path, key) in found.items() if key}
    made = house.journal.read().execute(CATALOGUES).fetchone()[0]
    if made > 1:
        rows["changes"] = ("Maud", f"/setup/catalogue/changes/{made - 1}/{made}")
    return rows


FIXED: dict[str, Page] = {
    "sign-in": (None, "/sign-in"),
    "floor": ("Ines", "/"),
    "floor-technician": ("Bình", "/"),
    "floor-manager": ("Maud", "/"),
    "import": ("Maud", "/setup/units/import"),
    "unit-new": ("Maud", "/units/new"),
    "rework": ("Bình", "/rework"),
    "to-look-again": ("Łukasz", "/again"),
    "to-sign": ("Ines", "/sign-off"),
    "concessions": ("Maud", "/concessions"),
    "rates": ("Maud", "/rates"),
    "setup": ("Maud", "/setup"),
    "people": ("Maud", "/setup/people"),
    "person-new": ("Maud", "/setup/people/new"),
    "catalogue": ("Maud", "/setup/catalogue"),
    **{
        f"catalogue-{part}": ("Maud", f"/setup/catalogue/{part}")
        for part in ("methods", "departments", "gates", "options", "cautions", "classes", "limits")
    },
    "kind": ("Maud", "/setup/catalogue/kinds/nib"),
    "kind-new": ("Maud", "/setup/catalogue/kinds/new"),
    "method": ("Maud", "/setup/catalogue/methods/spot_repair"),
    "department": ("Maud", "/setup/catalogue/departments/paint"),
    "gate": ("Maud", "/setup/catalogue/gates/marks"),
    "rules": ("Maud", "/setup/catalogue/rules"),
    "rules-clusters": ("Maud", "/setup/catalogue/rules/clusters"),
    "rules-budgets": ("Maud", "/setup/catalogue/rules/budgets"),
    "rules-offers": ("Maud", "/setup/catalogue/rules/offers"),
    "rules-bars": ("Maud", "/setup/catalogue/rules/bars"),
    "rules-stages": ("Maud", "/setup/catalogue/rules/part_stages"),
    "rules-gates": ("Maud", "/setup/catalogue/rules/gate_values"),
    "versions": ("Maud", "/setup/catalogue/versions"),
    "catalogue-import": ("Maud", "/setup/catalogue/import"),
    "questions": ("Maud", "/questions"),
    "parts": ("Maud", "/parts"),
    "plans": ("Maud", "/plans"),
    "units": ("Maud", "/units"),
    "units-found": ("Maud", "/units?q=night+tourer"),
    "my-settings": ("Maud", "/my-settings"),
    "sign-out": ("Maud", "/sign-out"),
    "tablets": ("Maud", "/setup/tablets"),
    "tablet-code": ("Maud", "/setup/tablets/new"),
    "outbox": ("Maud", "/setup/outbox"),
    "certificate": ("Maud", "/setup/certificate"),
    "plant": ("Maud", "/setup/settings"),
    "outlines": ("Maud", "/setup/outlines"),
    "outline-by-numbers": ("Maud", "/setup/outlines/numbers"),
    "outline-by-drawing": ("Maud", "/setup/outlines/drawing"),
    "not-there": ("Maud", "/units/00000000-0000-7000-8000-000000000000"),
}
