"""On which line a value of a TOML text stands."""

from __future__ import annotations

import pytest

from inspect_app.trade.catalogue import builtin
from inspect_app.trade.catalogue_lines import Lines
from inspect_app.trade.catalogue_toml import read, write

TEXT = '''# a comment
name = "x"

[kinds.nib]
label = "dirt [nib]" # with = in it
sizes = [
  3,
  5, # five

  8,
]
describe = """
label = "not this one"
[kinds.other]
"""

[kinds."a b"]
label = "quoted"

[[limits]]
kinds = ["nib"]
max_size = 5

[[limits]]
max_size = 8

[methods.m]
chain = [{ department = "paint", minutes_base = 1 }, { department = "trim" }]
voids.scope = "zone"

[[methods.n.chain]]
department = "paint"
[[methods.n.chain]]
department = "trim"

[methods.n.voids]
scope = "none"
'''


@pytest.mark.parametrize(
    ("place", "line"),
    [
        (("name",), 2),
        (("kinds", "nib"), 4),
        (("kinds", "nib", "label"), 5),
        (("kinds", "nib", "sizes"), 6),
        (("kinds", "nib", "sizes", 0), 7),
        (("kinds", "nib", "sizes", 2), 10),
        (("kinds", "nib", "describe"), 12),
        (("kinds", "nib", "colour"), 4),  # not there: the table around it
        (("kinds", "a b", "label"), 18),
        (("limits", 0), 20),
        (("limits", 0, "max_size"), 22),
        (("limits", 1, "max_size"), 25),
        (("methods", "m", "chain", 1, "department"), 28),
        (("methods", "m", "voids", "scope"), 29),
        (("methods", "n", "chain", 0, "department"), 32),
        (("methods", "n", "chain", 1, "department"), 34),
        (("methods", "n", "voids", "scope"), 37),
        (("nowhere",), None),
    ],
)
def test_a_value_stands_on_its_line(place, line):
    assert Lines(TEXT).of(place) == line


def test_every_value_of_the_written_catalogue_has_a_line_of_its_own():
    text = write(builtin())
    lines, rows = Lines(text), text.splitlines()

    for key, kind in builtin().kinds.items():
        assert rows[lines.of(("kinds", key)) - 1] == f"[kinds.{key}]"
        assert rows[lines.of(("kinds", key, "label")) - 1] == f'label = "{kind.label}"'
    for number, limit in enumerate(builtin().limits):
        assert rows[lines.of(("limits", number, "surface_class")) - 1] == f'surface_class = "{limit.surface_class}"'


def test_a_file_with_the_old_lists_in_one_line_is_read_too():
    text = 'limits = [\n  { kinds = ["nib"], surface_class = "A", max_size = 5, text = "few", origin = "ours" },\n'
    text += '  { kinds = ["run"], surface_class = "A", text = "none", origin = "ours" },\n]\n'

    [fault, *_] = read(text, builtin()).faults

    assert fault == (3, "limit 2 (class A) can never fire: give it a size or a count")
