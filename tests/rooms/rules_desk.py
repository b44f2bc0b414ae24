"""The forms of the rules, filled in as a person fills them in."""

from desk import Desk, stands


def filled(desk: Desk, part: str, **typed):
    """Send the form of a part of the rules as it stands, with some fields typed over."""
    path = f"/setup/catalogue/rules/{part}"
    return desk.client.post(path, data={**stands(desk.get(path)), "keep": "Keep", **typed})
