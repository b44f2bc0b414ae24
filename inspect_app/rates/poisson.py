"""The exact interval of a rate that was counted.

Garwood, F. (1936), Fiducial limits for the Poisson distribution, Biometrika 28: the low end is the rate at which the
count seen or more has a chance of half of what is left over, the high end that at which the count seen or fewer has.
"""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Interval:
    """The ends of an interval, in flaws for one unit of exposure."""

    low: float
    high: float


def garwood(count: int, exposure: float = 1.0, confidence: float = 0.95) -> Interval:
    """Return the exact Poisson interval of the rate `count` / `exposure` (for example flaws, vans).

    Never narrower than it claims, whatever the true rate. It holds for counts that fall independently: flaws that come
    in clusters (one dusty afternoon) spread wider than it says. Raises ValueError for what cannot have been counted.
    """
    _check(count, exposure, confidence)
    from scipy.special import gammainccinv, gammaincinv  # late: half the start-up of the program otherwise

    tail = (1 - confidence) / 2
    low = float(gammaincinv(count, tail)) if count else 0.0
    return Interval(low=low / exposure, high=float(gammainccinv(count + 1, tail)) / exposure)


def _check(count: int, exposure: float, confidence: float) -> None:
    if isinstance(count, bool) or count != int(count) or count < 0:
        raise ValueError(f"'count' must be a whole number, 0 or more (got {count!r})")
    if not 0 < exposure < float("inf"):
        raise ValueError(f"'exposure' must be more than 0 (got {exposure!r})")
    if not 0 < confidence < 1:
        raise ValueError(f"'confidence' must lie between 0 and 1 (got {confidence!r})")
