"""Draw the van and write it as the outline that comes with the product: python -m sample_units.outline_van"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from inspect_app.trade import outline, outline_numbers

TARGET = Path(outline.__file__).parent / "outlines" / f"{outline.BUILTIN}.svg"


def drawn() -> outline.Outline:
    """Our own van: the drawing of the family that needs no stretching."""
    made = outline_numbers.make(outline_numbers.OURS, "Panel van, long wheelbase, high roof")
    return replace(made, id=outline.BUILTIN)


def main() -> None:
    """Write the outline, once it has been read back and checked."""
    van = drawn()
    outline.load(van.to_svg())
    TARGET.write_text(van.to_svg(), encoding="utf-8")
    print(f"{TARGET.name}: {len(van.zones)} zones, {len(van.parts)} parts, hash {van.hash[:12]}")


if __name__ == "__main__":
    main()
