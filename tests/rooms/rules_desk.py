"""The forms of the rules, filled in as a person fills them in."""

from collections.abc import Iterable
from typing import Any

from desk import Desk, fault_beside, said, stands


def filled(desk: Desk, part: str, **typed):
    """Send the form of a part of the rules as it stands, with some fields typed over."""
    path = f"/setup/catalogue/rules/{part}"
    return desk.client.post(path, data={**stands(desk.get(path)), "keep": "Keep", **typed})


def refused(plant, desk: Desk, part: str, field: str, **typed) -> str:
    """What stands beside a field when the form is sent so; nothing of it may have been kept."""
    return each_refused(plant, desk, [(part, typed, field)])[0]


def each_refused(plant, desk: Desk, cases: Iterable[tuple[str, dict[str, Any], str]]) -> list[str]:
    """Do as `refused` does for each (part, typed, field): since nothing is kept, each form has to be opened but once."""
    told, forms = [], {}
    for part, typed, field in cases:
        path = f"/setup/catalogue/rules/{part}"
        forms[part] = forms.get(part) or stands(desk.get(path))
        answer = desk.client.post(path, data={**forms[part], "keep": "Keep", **typed})
        assert answer.status_code == 422, (typed, said(answer))
        assert '">[' not in answer.text, typed  # a list of faults told as Python writes one
        assert plant.journal.catalogue().rules is None, typed
        told.append(fault_beside(answer, field))
    return told
