"""Chassis numbers (VIN): reading them as people type them, the last six, and the check digit of 49 CFR 565.15(c).

The structure is that of ISO 3779: seventeen characters, no I, O or Q. Only North American numbers must carry a check
digit, so one that does not hold is a warning and never a refusal.
"""

import re

from inspect_app.words import gettext as _
from inspect_app.words.listed import one_of

LENGTH = 17
VALUES = {letter: value for letters, value in (
    ("AJ", 1), ("BKS", 2), ("CLT", 3), ("DMU", 4), ("ENV", 5), ("FW", 6), ("GPX", 7), ("HY", 8), ("RZ", 9),
) for letter in letters} | {str(digit): digit for digit in range(10)}  # fmt: skip
"""What each character counts, 49 CFR 565.15(c) table III."""
WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
"""What each position weighs, table IV; the check digit itself, position 9, weighs nothing."""
LIKELY = {"I": ("1",), "O": ("0",), "Q": ("0", "9")}
_SEPARATORS = re.compile(r"[\s\u2010-\u2015-]+")


class VinError(ValueError):
    """A text that is no chassis number; its words say what is wrong, where, and what to do."""


def normalise(text: str) -> str:
    """Return a chassis number as seventeen capitals and digits, without the spaces and hyphens people put in.

    Raises:
        VinError: a character that no chassis number holds (with its position), or not seventeen of them.
    """
    plain = _SEPARATORS.sub("", text)
    for position, character in enumerate(plain, 1):
        _refuse_character(position, character)
    if len(plain) != LENGTH:
        raise VinError(
            _(
                "a chassis number has %(wanted)s characters, this one has %(n)s; check it against the plate",
                wanted=LENGTH,
                n=len(plain),
            )
        )
    return plain.upper()


def _refuse_character(position: int, character: str) -> None:
    capital = character.upper()
    if capital in LIKELY:
        raise VinError(
            _(
                "position %(position)s is '%(character)s': a chassis number has no I, O or Q; is it %(likely)s?",
                position=position,
                character=character,
                likely=one_of(LIKELY[capital]),
            )
        )
    if capital not in VALUES or not character.isascii():
        raise VinError(
            _(
                "position %(position)s is '%(character)s': a chassis number has only letters and digits",
                position=position,
                character=character,
            )
        )


def check_digit(vin: str) -> str:
    """Return the check digit that belongs at position 9: "0" to "9", or "X" for ten (49 CFR 565.15(c)).

    Raises:
        VinError: the text is no chassis number.
    """
    characters = normalise(vin)
    total = sum(VALUES[character] * weight for character, weight in zip(characters, WEIGHTS, strict=True))
    return "0123456789X"[total % 11]


def check_digit_holds(vin: str) -> bool:
    """Return whether position 9 is the check digit. False is a warning; what is no chassis number is False too."""
    try:
        return normalise(vin)[8] == check_digit(vin)
    except VinError:
        return False


def last_six(vin: str) -> str:
    """Return positions 12 to 17, the short name that parts of a unit wear; two units may share it.

    Raises:
        VinError: the text is no chassis number.
    """
    return normalise(vin)[-6:]
