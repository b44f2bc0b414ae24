"""Draw the van and write it as the outline that comes with the product: python -m sample_units.outline_van"""

from __future__ import annotations

from pathlib import Path

from inspect_app.trade import outline
from inspect_app.trade.outline_numbers import van

TARGET = Path(outline.__file__).parent / "outlines" / f"{outline.BUILTIN}.svg"


def main() -> None:
    """Write the outline, once it has been read back and checked."""
    drawn = outline.Outline(id=outline.BUILTIN, label="Panel van, long wheelbase, high roof", views=van.views())
    outline.load(drawn.to_svg())
    TARGET.write_text(drawn.to_svg(), encoding="utf-8")
    print(f"{TARGET.name}: {len(drawn.zones)} zones, {len(drawn.parts)} parts, hash {drawn.hash[:12]}")


if __name__ == "__main__":
    main()
