"""The forms of the rules, filled in as a person fills them in."""

from desk import Desk, fault_beside, said, stands


def filled(desk: Desk, part: str, **typed):
    """Send the form of a part of the rules as it stands, with some fields typed over."""
    path = f"/setup/catalogue/rules/{part}"
    return desk.client.post(path, data={**stands(desk.get(path)), "keep": "Keep", **typed})


def refused(plant, desk: Desk, part: str, field: str, **typed) -> str:
    """What stands beside a field when the form is sent so; nothing of it may have been kept."""
    answer = filled(desk, part, **typed)
    assert answer.status_code == 422, said(answer)
    assert plant.journal.catalogue().rules is None
    return fault_beside(answer, field)
