"""Write the schemas of events and of what the sign-off is sent into docs/openapi.yaml.

`python -m tests.docs.write_openapi`.

The shapes come from the pydantic models that check them; the rest of the document is written by hand.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from inspect_app.journal.bodies import UNIT_BODIES, PhotoMark
from inspect_app.journal.bodies_plans import Otherwise
from inspect_app.journal.bodies_readings import ColourPair
from inspect_app.journal.events import Envelope, Private
from inspect_app.rooms.signoff import bodies as signoff

PAGE = Path(__file__).parents[2] / "docs" / "openapi.yaml"
OURS: dict[str, type[BaseModel]] = {
    "Event": Envelope, "Private": Private, "Reason": signoff.Reason, "Answered": signoff.Answered,
    "Confirmed": signoff.Confirmed, "Signed": signoff.Signed, "PhotoMark": PhotoMark,
    "Otherwise": Otherwise, "ColourPair": ColourPair, **UNIT_BODIES,
}  # fmt: skip


def schemas() -> dict[str, Any]:
    """Every schema that a pydantic model knows, by its name in the document."""
    found: dict[str, Any] = {}
    for name, model in OURS.items():
        schema = model.model_json_schema(ref_template="#/components/schemas/{model}")
        schema.pop("$defs", None)  # models inside others (Private, PhotoMark and the like) are here by themselves
        found[name] = {key: value for key, value in schema.items() if key != "title"}
    return found


def written(page: str) -> str:
    """The document with the schemas written anew, each on one line: YAML reads JSON."""
    lines = [f"    {name}: {json.dumps(schema, ensure_ascii=False)}" for name, schema in schemas().items()]
    mark, end = r"(    # bodies: [^\n]*\n)", r"(    # end of bodies)"
    page, times = re.subn(mark + r".*?" + end, lambda m: m[1] + "\n".join(lines) + "\n" + m[2], page, flags=re.S)
    if times != 1:
        raise ValueError("docs/openapi.yaml needs one place for the bodies, between its two marks")
    return page


if __name__ == "__main__":
    PAGE.write_text(written(PAGE.read_text("utf-8")), "utf-8")
