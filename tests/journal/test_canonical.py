"""The one way of writing JSON that is hashed, held to the standard library's writer; and what that writer alone can take."""

import json

from hypothesis import given
from hypothesis import strategies as st

from inspect_app.journal.events import canonical

scalars = st.none() | st.booleans() | st.integers(-(2**63), 2**63 - 1) | st.text()
values = st.recursive(scalars, lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=20)


@given(values)
def test_it_writes_what_the_standard_library_writes(value):
    assert canonical(value) == json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def test_controls_quotes_and_letters_of_every_script_are_written_as_rfc_8259_wants_them():
    assert canonical({"b": 'ễ"\\', "a": "\x00\x1f\n\t\x7f/½"}) == '{"a":"\\u0000\\u001f\\n\\t\x7f/½","b":"ễ\\"\\\\"}'


def test_half_a_surrogate_pair_from_a_broken_tablet_is_refused_with_a_sentence_not_with_a_fault(plant):
    unit = plant.unit()
    event = plant.ines.event(unit, "walk_started", {"walk": "\ud800", "purpose": "first"})
    answer = plant.ines.send(event)[0]
    assert (answer.outcome, answer.code) == ("refused", "malformed")


def test_a_number_beyond_64_bits_is_refused_with_a_sentence_not_with_a_fault(plant):
    unit = plant.unit()
    event = plant.ines.event(unit, "walk_started", {"walk": 2**70, "purpose": "first"})
    assert plant.ines.send(event)[0].outcome == "refused"


def test_half_a_surrogate_pair_anywhere_in_an_event_is_no_fault(plant):
    unit = plant.unit()
    for broken in ({"id": "\udfff"}, {"type": "\ud800"}, {"\udc00": 1}, {"private": {"note": "\ud83d"}}):
        event = plant.ines.event(unit, "walk_started", {"walk": "x", "purpose": "first"}, **broken)
        assert plant.ines.send(event)[0].code == "malformed"
