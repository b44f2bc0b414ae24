"""Parts that leave the van: their stages, their labels, their clips, their pairs, and the gate they hold open."""

from __future__ import annotations

import json

import pytest

from inspect_app.journal import gates
from inspect_app.journal.events import Refusal
from inspect_app.journal.verify import verify
from sample_units.hands import new_id

STRIP, NEXT, ACROSS = "moulding_cab_door_left", "moulding_sliding_door_left", "moulding_cab_door_right"
HOUR = 3_600_000
PLASTIC = ("washed", "flamed", "prepped", "primed", "painted")


class Rack:
    """Somebody at the rack of a plant whose clock is set by hand."""

    def __init__(self, plant) -> None:
        self.plant, self.now = plant, plant.journal.clock()
        plant.journal.clock = lambda: self.now
        self.hands = plant.dmytro

    def later(self, hours: float) -> None:
        """Let time pass; a new shift signs in anew."""
        self.now += round(hours * HOUR)
        self.hands.sign_in()

    def off(self, unit: str, of: str = STRIP, **more: object) -> str:
        part = new_id()
        self.hands.online(unit, "part_off", {"part": part, "of": of, **more})
        return part

    def stage(self, part: str, stage: str, **more: object):
        row = self.plant.row("parts", part)
        six = {} if {"six", "label"} & more.keys() else {"six": self.plant.row("units", row["unit"])["last_six"]}
        how = {"booth": "Booth 1", "mix": "FG-1"} if stage == "painted" else {}
        body = {"part": part, "stage": stage, "since": row["stage"], **six, **how, **more}
        return self.hands.online(
            row["unit"], "part_stage", {name: value for name, value in body.items() if value is not None}
        )

    def through(self, part: str, *stages: str, **painted: object) -> None:
        for stage in stages:
            if stage == "painted":
                self.later(1)
            self.stage(part, stage, **(painted if stage == "painted" else {}))

    def refit(self, part: str, **more: object):
        row = self.plant.row("parts", part)
        body = {"part": part, "six": self.plant.row("units", row["unit"])["last_six"], **more}
        return self.hands.online(
            row["unit"], "part_refitted", {name: value for name, value in body.items() if value is not None}
        )


@pytest.fixture
def rack(plant) -> Rack:
    return Rack(plant)


def test_a_part_off_its_van_takes_its_zones_along_and_brings_them_back_unlooked(plant, rack):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    plant.ines.do(unit, "zone_looked", {"walk": walk, "zone": "left.cab_door_lower", "lap": "fit"})
    part = rack.off(unit, place="Rack 2")
    off = json.loads(str(plant.row("units", unit)["absent"]))
    rack.through(part, *PLASTIC)
    rack.later(24)
    rack.refit(part)

    assert off == {"left.moulding_cab_door": "off"}
    assert json.loads(str(plant.row("units", unit)["absent"])) == {}
    row = plant.row("parts", part)
    assert [row[name] for name in ("label", "side", "material", "place", "state")] == [
        "left moulding cab door", "left", "plastic", "Rack 2", "refitted",
    ]  # fmt: skip
    assert [step["stage"] for step in plant.rows("part_steps", unit)] == ["off", *PLASTIC, "refitted"]
    assert plant.rows("looks", unit)[0]["voided"] == 1


@pytest.mark.parametrize(
    ("material", "of", "line"),
    [
        ("plastic", STRIP, PLASTIC),
        ("fibre", STRIP, ("washed", "prepped", "primed", "painted")),
        ("metal", "cab_door_left", ("prepped", "primed", "painted")),
    ],
)
def test_each_material_has_its_own_stages_and_no_other_order_is_taken(plant, rack, material, of, line):
    unit = plant.unit()
    part = rack.off(unit, of, material=material)
    for wrong in {*PLASTIC, "off", "refitted", "moon"} - {line[0]}:
        with pytest.raises(Refusal):
            rack.stage(part, wrong)
    rack.through(part, *line)

    assert plant.row("parts", part)["state"] == "painted"
    assert len(plant.rows("part_steps", unit)) == len(line) + 1


def test_a_part_is_not_refitted_before_it_is_painted_nor_twice(plant, rack):
    part = rack.off(plant.unit())
    rack.through(part, "washed", "flamed")
    with pytest.raises(Refusal, match="Only a painted part is refitted, and once"):
        rack.refit(part)
    rack.through(part, "prepped", "primed", "painted")
    rack.later(24)
    rack.refit(part)

    with pytest.raises(Refusal, match="and once"):
        rack.refit(part)


def test_the_paint_bakes_and_hardens_for_24_hours_before_the_part_is_refitted(plant, rack):
    part = rack.off(plant.unit())
    rack.through(part, *PLASTIC)
    with pytest.raises(Refusal, match=r"Not yet: it bakes and cools. It can be refitted in 24 h\."):
        rack.refit(part)
    rack.later(23.5)
    with pytest.raises(Refusal, match=r"Not yet: the paint hardens. It can be refitted in 30 min\."):
        rack.refit(part)
    rack.later(0.5)
    rack.refit(part)

    assert plant.row("parts", part)["state"] == "refitted"


def test_primer_is_let_flash_off(plant, rack):
    part = rack.off(plant.unit())
    rack.through(part, "washed", "flamed", "prepped", "primed")

    with pytest.raises(Refusal, match=r"the primer flashes off\. It can be painted in 30 min"):
        rack.stage(part, "painted")


def test_what_the_flame_did_fades_and_the_flame_is_done_again(plant, rack):
    part = rack.off(plant.unit())
    rack.through(part, "washed", "flamed", "prepped")
    rack.later(2.01)
    with pytest.raises(Refusal, match=r"More than 2 h have passed since it was flame-treated"):
        rack.stage(part, "primed")
    rack.stage(part, "flamed")
    assert json.loads(str(plant.row("parts", part)["done"])).keys() == {"off", "washed", "flamed"}
    rack.through(part, "prepped", "primed", "painted")

    painted = plant.rows("painted", str(plant.row("parts", part)["unit"]))[0]
    assert painted["flame_at"] == json.loads(str(plant.row("parts", part)["done"]))["flamed"]
    assert [painted[name] for name in ("part", "booth", "mix")] == [STRIP, "Booth 1", "FG-1"]


def test_a_form_sent_twice_moves_the_part_once(plant, rack):
    part = rack.off(plant.unit())
    rack.stage(part, "washed")
    with pytest.raises(Refusal, match="This part is washed by now"):
        rack.stage(part, "washed", since="off")

    assert len(plant.rows("part_steps", str(plant.row("parts", part)["unit"]))) == 2


@pytest.mark.parametrize("missing", ["booth", "mix"])
def test_painting_names_booth_and_mix(plant, rack, missing):
    part = rack.off(plant.unit())
    rack.through(part, "washed", "flamed", "prepped", "primed")
    rack.later(1)

    with pytest.raises(Refusal, match=f"'{missing.capitalize()}' is missing"):
        rack.stage(part, "painted", **{missing: None})


@pytest.mark.parametrize(
    ("body", "why"),
    [
        ({"of": "no_such_part"}, "has no part 'no_such_part'"),
        ({"of": STRIP}, "it is off this van already"),
        ({"of": "windscreen"}, "say what it is made of"),
    ],
)
def test_what_cannot_come_off_is_refused(plant, rack, body, why):
    unit = plant.unit()
    rack.off(unit)

    with pytest.raises(Refusal, match=why):
        rack.hands.online(unit, "part_off", {"part": new_id(), **body})
    assert len(plant.rows("parts", unit)) == 1


def test_a_part_that_is_not_fitted_does_not_come_off(plant, rack):
    unit = plant.unit()
    plant.ines.do(unit, "zones_absent", {"zones": ["left.moulding_cab_door"], "why": "not_fitted"})

    with pytest.raises(Refusal, match="not fitted on this van"):
        rack.off(unit)


def test_an_untouched_part_is_put_back_with_a_reason_and_a_worked_one_is_not(plant, rack):
    unit = plant.unit()
    part, worked = rack.off(unit), rack.off(unit, NEXT)
    rack.stage(worked, "washed")
    rack.hands.online(unit, "part_put_back", {"part": part, "reason": "The wrong van stood in the bay."})
    with pytest.raises(Refusal, match="Work has begun on this part"):
        rack.hands.online(unit, "part_put_back", {"part": worked, "reason": "No."})

    assert json.loads(str(plant.row("units", unit)["absent"])) == {"left.moulding_sliding_door": "off"}
    assert rack.off(unit)  # and may come off again


# ------------------------------------------------------------------ labels


def test_a_part_of_another_van_is_stopped_and_both_are_named(plant, rack):
    unit = plant.unit("047312")
    plant.unit("118940", colour="Tern white")
    part = rack.off(unit)

    with pytest.raises(
        Refusal, match=r"label is that of 118 940, .* in Tern white.*belongs to 047 312, .* in Fjord grey"
    ) as stop:
        rack.stage(part, "washed", six="118 940")
    assert (stop.value.code, stop.value.status) == ("mix_up", 409)
    assert plant.row("parts", part)["stage"] == "off"


def test_a_mix_up_is_counted_once_it_is_one_and_not_for_a_slip_of_the_finger(plant, rack):
    unit, other = plant.unit("047312"), plant.unit("118940")
    part = rack.off(unit)
    for six, why in (
        ("999999", "No van here ends in 999999"),
        ("04731", "Type the six characters"),
        ("047312", "Nothing was mixed up"),
    ):
        with pytest.raises(Refusal, match=why):
            rack.hands.online(unit, "mixup_stopped", {"part": part, "stage": "washed", "six": six})
    rack.hands.online(unit, "mixup_stopped", {"part": part, "stage": "washed", "six": "118940"})

    (row,) = plant.rows("mixups", unit)
    assert [row["read"], json.loads(str(row["vans"])), row["stage"]] == ["118940", [other], "washed"]


def test_the_code_of_a_label_names_the_very_part(plant, rack):
    unit, other = plant.unit("047312"), plant.unit("118940")
    part, beside, strange = rack.off(unit), rack.off(unit, NEXT), rack.off(other)
    rack.stage(part, "washed", label=part)
    for label, code in ((beside, "other_part"), (strange, "mix_up"), (new_id(), "no_label")):
        with pytest.raises(Refusal) as stop:
            rack.stage(part, "flamed", label=label)
        assert stop.value.code == code

    assert plant.row("parts", part)["stage"] == "washed"


def test_where_two_open_vans_share_their_last_six_somebody_says_which(plant, rack):
    unit, twin = plant.unit("047312"), plant.unit("047312", colour="Tern white")
    part = rack.off(unit)
    with pytest.raises(Refusal, match="2 vans here end in these six"):
        rack.stage(part, "washed")
    with pytest.raises(Refusal, match=r"This label is that of 047 312, .*Tern white"):
        rack.stage(part, "washed", van=twin)
    rack.stage(part, "washed", van=unit)

    assert plant.row("parts", part)["stage"] == "washed"


# ------------------------------------------------------------------ clips and pairs


def test_clips_are_counted_with_what_new_ones_cost_and_a_broken_one_is_replaced_before_the_refit(plant, rack):
    unit = plant.unit()
    part = rack.off(unit)
    rack.through(part, *PLASTIC)
    rack.later(24)
    count = {"part": part, "out": 9, "broken": 2, "replaced": 0}
    rack.hands.online(unit, "clips_counted", count)
    with pytest.raises(Refusal, match="Clips of this part: 2 broken, 0 new; fit new ones"):
        rack.refit(part)
    rack.hands.online(unit, "clips_counted", {**count, "replaced": 3})
    rack.refit(part)

    row = plant.row("parts", part)
    assert [row[f"clips_{name}"] for name in ("out", "broken", "replaced", "cost")] == [9, 2, 3, 1200]
    # 4.00 a clip: common practice, no source


def test_more_clips_cannot_break_than_came_off(plant, rack):
    unit = plant.unit()
    part = rack.off(unit)

    with pytest.raises(Refusal, match="5 clips cannot have broken where 4 came off"):
        rack.hands.online(unit, "clips_counted", {"part": part, "out": 4, "broken": 5, "replaced": 0})


def test_what_a_clip_costs_is_the_plants_and_what_was_counted_before_keeps_its_price(plant, rack):
    unit = plant.unit()
    part, later = rack.off(unit), rack.off(unit, NEXT)
    count = {"out": 4, "broken": 2, "replaced": 2}
    rack.hands.online(unit, "clips_counted", {"part": part, **count})
    plant.journal.record_server("plant", "setting_changed", {"name": "clip_cost", "value": "525"})
    rack.hands.online(unit, "clips_counted", {"part": later, **count})

    assert [plant.row("parts", key)["clips_cost"] for key in (part, later)] == [800, 1050]


@pytest.mark.parametrize("other", [NEXT, ACROSS])
def test_left_and_right_and_front_to_rear_are_of_one_mix_unless_someone_says_why(plant, rack, other):
    unit = plant.unit()
    part, pair = rack.off(unit), rack.off(unit, other)
    rack.through(pair, *PLASTIC, mix="FG 0412")
    rack.through(part, *PLASTIC, mix="FG-0413")
    rack.later(24)
    with pytest.raises(Refusal, match=r"of mix FG-0413, .*\(mix FG 0412\)"):
        rack.refit(part)
    rack.refit(part, reason="Held beside each other in two lights: no difference.")

    assert plant.row("parts", part)["reason"]


def test_the_same_mix_written_otherwise_is_the_same_and_a_part_far_off_is_no_pair(plant, rack):
    unit = plant.unit()
    part, pair, far = rack.off(unit), rack.off(unit, NEXT), rack.off(unit, "rear_cap")
    rack.through(pair, *PLASTIC, mix="fg 0412")
    rack.through(far, *PLASTIC, mix="RC-9")
    rack.through(part, *PLASTIC, mix="FG-0412")
    rack.later(24)
    rack.refit(part)

    assert plant.row("parts", part)["state"] == "refitted"


# ------------------------------------------------------------------ the gate


def gate(plant, unit: str, key: str):
    journal = plant.journal
    row = journal.read().execute("SELECT * FROM units WHERE id = ?", (unit,)).fetchone()
    return next(
        one for one in gates.states(journal.read(), journal.versions, row, now=journal.clock()) if one.key == key
    )


def test_the_gate_of_parts_is_a_persons_word_until_a_part_comes_off_and_computed_from_then_on(plant, rack):
    unit = plant.unit()
    plant.maud.online(unit, "gate_confirmed", {"gate": "parts"})
    assert gate(plant, unit, "parts").held
    part = rack.off(unit)
    (block,) = gate(plant, unit, "parts").blocks
    rack.through(part, *PLASTIC)
    rack.later(24)
    rack.refit(part)

    assert (block.text, block.about, block.key) == ("left moulding cab door is off the van", "part", part)
    assert gate(plant, unit, "parts").held


def test_a_zone_on_the_rack_blocks_one_gate_and_is_not_called_back_by_hand(plant, rack):
    unit = plant.unit()
    rack.off(unit)
    answer = plant.ines.do(unit, "zones_absent", {"zones": ["left.moulding_cab_door"], "why": "present"})

    assert (answer.outcome, "refit it there, with its label" in str(answer.reason)) == ("refused", True)
    assert [block.text for block in gate(plant, unit, "coverage").blocks if "is off the van" in block.text] == []


def test_parts_are_not_taken_from_an_outbox(plant):
    answer = plant.dmytro.do(plant.unit(), "part_off", {"part": new_id(), "of": STRIP})

    assert answer.outcome == "refused"


def test_rebuilding_gives_the_same_parts_steps_and_mix_ups(plant, rack):
    unit = plant.unit("047312")
    plant.unit("118940")
    part, back = rack.off(unit), rack.off(unit, NEXT)
    rack.hands.online(unit, "mixup_stopped", {"part": part, "stage": "washed", "six": "118940"})
    rack.hands.online(unit, "clips_counted", {"part": part, "out": 9, "broken": 1, "replaced": 1})
    rack.hands.online(unit, "part_put_back", {"part": back, "reason": "The wrong van."})
    rack.through(part, *PLASTIC)
    rack.later(24)
    rack.refit(part)

    told = verify(plant.journal.folder.path)

    assert told.clean, told.sentence
