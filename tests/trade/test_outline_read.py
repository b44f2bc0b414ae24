"""What the strict reader refuses, each time with one sentence that names the id."""

import pytest

from inspect_app.trade import outline

SMALL = """<svg xmlns="http://www.w3.org/2000/svg" id="box_van" viewBox="0 0 1000 500">
<title>Box van</title>
<g class="view" id="left" data-label="Left side" data-width="1000" data-height="500" data-nose="left">
<g class="art"><path class="body" d="M 0 0 H 900 V 400 H 0 Z"/></g>
<g class="zones">
<path id="left.door" data-part="door_left" data-label="left door" data-class="A" data-laps="lamp fit"
 data-material="metal" data-paint="maker" data-order="1" d="M 0 0 H 400 V 400 H 0 Z"/>
<path id="left.panel" data-part="panel_left" data-label="left panel" data-class="B" data-laps="lamp"
 data-material="metal" data-paint="ours" data-order="2" d="M 400 0 H 900 V 400 H 400 Z"/>
</g>
<g class="joints"><path id="left.joint.door_to_panel" data-parts="door_left panel_left" data-label="door to panel"
 data-nominal="50" data-tolerance="10" d="M 400 0 V 400"/></g>
</g>
<g class="view list" id="inside" data-label="Inside" data-width="10" data-height="10" data-nose="left"><g class="zones">
<path id="inside.floor" data-part="floor" data-label="floor" data-class="D" data-laps="seal" data-material="metal"
 data-paint="maker" data-order="3" d=""/></g></g>
</svg>"""


def test_a_small_outline_is_read():
    van = outline.load(SMALL)

    assert [zone.id for zone in van.zones] == ["left.door", "left.panel", "inside.floor"]
    assert van.part("door_left").neighbours == ("panel_left",)


def test_what_was_read_is_written_and_read_back_the_same():
    van = outline.load(SMALL)

    again = outline.load(van.to_svg())

    assert again == van
    assert again.hash == van.hash


def test_other_spacing_gives_the_same_hash():
    assert outline.load(SMALL.replace("H 400 V 400", "H400V400.000")).hash == outline.load(SMALL).hash


def test_another_tolerance_gives_another_hash():
    assert outline.load(SMALL.replace('tolerance="10"', 'tolerance="11"')).hash != outline.load(SMALL).hash


# fmt: off
FAULTS = [
    ("script element", "<g class=\"joints\">", "<script>x()</script><g class=\"joints\">", "'left' holds a <script>"),
    ("script in a group", '<g class="art">', '<g class="art"><script/>', "'left art' holds a <script>"),
    ("handler", 'id="left.door"', 'id="left.door" onclick="x()"', "'left.door' has the attribute 'onclick'"),
    ("foreign element", "<title>", '<use href="https://x.invalid/"/><title>', "holds a <use>"),
    ("relative path", "M 400 0 H 900", "M 400 0 h 900", "'left.panel' uses 'h', which is relative"),
    ("bad art", "M 0 0 H 900", "M 0 0 H", "'left art (body)' gives H 0 numbers"),
    ("unclosed zone", "H 400 V 400 H 0 Z", "H 400 V 400 H 0", "'left.door' is not one closed path"),
    ("two rings", "H 400 V 400 H 0 Z", "H 400 V 400 Z M 5 5 H 9 V 9 Z", "'left.door' is not one closed path"),
    ("no area", "H 400 V 400 H 0 Z", "H 400 Z", "'left.door' encloses no area"),
    ("loop", "M 0 0 H 400 V 400 H 0 Z", "M 0 0 L 400 400 V 0 L 0 300 Z", "'left.door' crosses itself"),
    ("outside its view", "M 400 0 H 900", "M 400 0 H 1001", "'left.panel' leaves its view"),
    ("duplicate id", 'id="left.panel"', 'id="left.door"', "'left.door' has the id 'left.door' a second time"),
    ("duplicate order", 'data-order="2"', 'data-order="1"', "'left.panel' has the data-order '1' a second time"),
    ("unknown class", 'data-class="B"', 'data-class="E"', "'left.panel' has the data-class 'E'"),
    ("unknown lap", 'data-laps="lamp"', 'data-laps="polish"', "'left.panel' has the data-laps 'polish'"),
    ("no lap", 'data-laps="lamp"', 'data-laps=""', "'left.panel' has no data-laps"),
    ("no part", 'data-part="panel_left"', "", "'left.panel' has the part ''"),
    ("no label", 'data-label="left panel"', 'data-label=" "', "'left.panel' has the label ' '"),
    ("unknown part", "door_left panel_left", "door_left roof", "'left.joint.door_to_panel' names the part 'roof'"),
    ("one part", "door_left panel_left", "door_left", "'left.joint.door_to_panel' names 1 parts"),
    ("no tolerance", 'data-tolerance="10"', 'data-tolerance="-1"', "has the data-tolerance '-1'"),
    ("no length", "M 400 0 V 400", "M 400 0", "'left.joint.door_to_panel' has no length"),
    ("transform on a zone", 'id="left.door"', 'id="left.door" transform="scale(2)"', "has the attribute 'transform'"),
    ("other transform", 'class="view" id="left"', 'class="view" id="left" transform="rotate(3)"', "has the transform"),
    ("foreign id", 'id="left.door"', 'id="front.door"', "'front.door' is no id for a zone of 'left'"),
    ("unknown view", 'id="inside" data-label', 'id="below" data-label', "'below' has the id 'below'"),
    ("drawn list", 'data-order="3" d=""', 'data-order="3" d="M 0 0 H 5 V 5 Z"', "'inside.floor' has a path"),
    ("overlap", "M 400 0 H 900 V 400 H 400 Z", "M 390 0 H 900 V 400 H 390 Z", "'left.door' and 'left.panel' overlap"),
    ("art outside its view", "M 0 0 H 900 V 400", "M 0 0 H 1001 V 400", "'left art (body)' leaves its view"),
    ("joint outside its view", "M 400 0 V 400", "M 400 0 V 501", "'left.joint.door_to_panel' leaves its view"),
    ("link", '<g class="art">', '<a href="https://x.invalid/"><path/></a><g class="art">', "'left' holds a <a>"),
    ("endless label", "left door", "left door" * 20, "give it a name of up to 80 characters"),
    ("no title", "<title>Box van</title>", "", "'box_van' has no <title>"),
    ("no id", 'id="box_van"', "", "the id ''"),
    ("not XML", "</svg>", "", "not well-formed XML"),
    ("doctype", "<svg ", "<!DOCTYPE svg [<!ENTITY a 'b'>]><svg ", "has a DOCTYPE, entities or a foreign encoding"),
]
# fmt: on


@pytest.mark.parametrize(("old", "new", "says"), [fault[1:] for fault in FAULTS], ids=[fault[0] for fault in FAULTS])
def test_a_fault_is_one_sentence_that_names_the_id(old, new, says):
    assert old in SMALL

    with pytest.raises(outline.OutlineError) as caught:
        outline.load(SMALL.replace(old, new, 1))

    assert says in str(caught.value)
    assert "\n" not in str(caught.value)


def test_every_fault_of_a_file_is_told_at_once():
    broken = SMALL.replace('data-class="B"', 'data-class="E"').replace("M 400 0 V 400", "M 400 0 v 400")

    with pytest.raises(outline.OutlineError) as caught:
        outline.load(broken.replace('class="body"', 'class="skin"'))

    assert [fault.split("'")[1] for fault in caught.value.faults] == [
        "left art",
        "left.panel",
        "left.joint.door_to_panel",
    ]


def test_every_pair_that_overlaps_is_told():
    three = SMALL.replace(
        '<path id="left.panel"',
        '<path id="left.sill" data-part="sill_left" data-label="left sill" data-class="B" data-laps="lamp"'
        ' data-material="metal" data-paint="ours" data-order="9" d="M 0 300 H 900 V 400 H 0 Z"/><path id="left.panel"',
    )

    with pytest.raises(outline.OutlineError) as caught:
        outline.load(three)

    assert len(caught.value.faults) == 2
    assert all("'left.sill'" in fault for fault in caught.value.faults)


def test_what_a_drawing_program_adds_is_left_out_and_counted():
    full = (
        SMALL.replace("<svg ", '<svg xmlns:own="urn:of-a-program" own:version="1" style="fill:red" ')
        .replace("<title>", '<own:window zoom="2"><own:grid/></own:window><metadata><x/></metadata><defs/><title>')
        .replace(
            'class="body"', 'class="body" style="fill:url(https://x.invalid/)" own:label="skin" stroke-opacity="1"'
        )
    )

    made, left_out = outline.load_foreign(full)

    assert made.hash == outline.load(SMALL).hash
    assert left_out == {
        "version": 1, "style": 2, "label": 1, "stroke-opacity": 1, "<window>": 1, "<metadata>": 1, "<defs>": 1,
    }  # fmt: skip


def test_what_we_wrote_ourselves_loses_nothing():
    assert outline.load_foreign(outline.builtin().to_svg())[1] == {}


def test_a_touching_pair_does_not_overlap():
    outline.load(SMALL.replace("M 400 0 H 900 V 400 H 400 Z", "M 399.5 0 H 900 V 400 H 399.5 Z"))


def test_an_endless_file_is_not_even_parsed():
    with pytest.raises(outline.OutlineError, match="at most 1000000"):
        outline.load("<svg>" + " " * 1_000_000)
