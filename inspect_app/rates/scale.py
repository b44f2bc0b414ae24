"""A number line for a plot: from nought, with round steps."""

import math
from dataclasses import dataclass

_ROUND = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True, kw_only=True)
class Scale:
    """`top` is the value at the right end; `ticks` are the values to write, nought and `top` among them."""

    top: float
    ticks: tuple[float, ...]

    def at(self, value: float, left: float, width: float) -> float:
        """Return where `value` falls on a line from `left`, `width` long (px), never beyond its ends."""
        return left + width * min(max(value / self.top, 0.0), 1.0)


def round_scale(highest: float, most_steps: int = 6) -> Scale:
    """Return the scale with the smallest round step that reaches `highest` in at most `most_steps` steps."""
    if not 0 < highest < math.inf:
        return Scale(top=1.0, ticks=(0.0, 1.0))
    power = 10.0 ** math.floor(math.log10(highest / most_steps))
    step = next(power * part for part in _ROUND if power * part * most_steps >= highest * (1 - 1e-12))
    count = math.ceil(highest / step * (1 - 1e-12))
    return Scale(top=count * step, ticks=tuple(round(step * at, 12) for at in range(count + 1)))
