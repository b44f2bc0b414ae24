"""The rules of the catalogue: read, changed on their pages and by the file; what contradicts itself is not kept."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from desk import Desk, fault_beside, said
from rules_desk import each_refused, filled

from inspect_app.rooms.setup.rules_forms import FORMS
from inspect_app.trade import catalogue as catalogues
from inspect_app.trade import rules
from inspect_app.trade.catalogue_change import left_out
from inspect_app.trade.catalogue_diff import changes
from inspect_app.trade.catalogue_toml import read, write
from inspect_app.trade.ways import to_json

GOOD = catalogues.builtin()


@pytest.fixture
def maud(client_as):
    return Desk(client_as("maud"))


def test_all_rules_are_read_with_where_they_come_from(maud):
    words = maud.words("/setup/catalogue/rules")

    assert "chassis maker's paint, class A, B may come off (µm) 12" in words
    assert "above the dew point at least (°C) 3" in words
    assert "a dab shows in plain view" in words
    assert "wait: from painted to refitted" in words


@pytest.mark.parametrize("part", FORMS)
def test_a_form_sent_as_it_stands_changes_nothing(plant, maud, part):
    assert filled(maud, part).status_code == 302
    assert "Nothing was changed." in maud.words("/setup/catalogue/rules")
    assert plant.journal.catalogue().rules is None


def test_a_budget_changed_on_its_page_bars_from_now_on_and_on_the_bench(plant, maud):
    answer = filled(maud, "budgets", budgets_budgets_0_most="9,5")

    assert answer.status_code == 302
    made = plant.journal.catalogue()
    assert (made.rule_book.budgets.budgets[0].most, made.rule_book.budgets.budgets[0].origin) == (
        95,
        "set by this plant",
    )
    assert to_json(made)["budgets"]["budgets"][0]["most"] == 95
    assert maud.get("/judgement.json").json["budgets"]["budgets"][0]["most"] == 95
    assert "rules" not in maud.get("/catalogues/current.json").json
    compared = maud.words("/setup/catalogue/changes/1/2")
    assert "may come off (µm) 12 is now → 9.5" in compared
    assert "What bars a method" not in compared  # kept conditions come back in another order


def test_a_figure_that_contradicts_another_is_said_beside_its_field_and_nothing_is_kept(plant, maud):
    answer = filled(maud, "budgets", budgets_budgets_2_most="5")

    assert answer.status_code == 422
    told = "Budget 3 is tighter on class C than on class B of the same paint."
    assert fault_beside(answer, "budgets_budgets_2_most") == told
    assert plant.journal.catalogue().rules is None
    assert 'value="5"' in answer.text


FAULTS = [
    ("budgets", "budgets_reach", "", "'The same clear within' is missing; write a figure."),
    ("budgets", "budgets_reach", "0", "'reach' of the budgets needs a figure above zero."),
    ("budgets", "budgets_budgets_1_clear", "30", "Budget 2 leaves nothing to polish: the clear that is assumed must be more than what must stay."),
    ("readings", "readings_dew_margin", "three", "'Above the dew point at least' must be a figure such as 0.8 or 12 (got 'three')."),
    ("readings", "readings_film_body_least", "400", "Film at 'body' would be thin and too thick at once: its least must be below its most."),
    ("readings", "readings_adhesion_worst_B", "0", "Adhesion is judged harder on class B than on class A."),
    ("clusters", "clusters_5_max_count", "2", "Cluster 6 judges class B harder than class A is judged by another row."),
    ("clusters", "clusters_2_max_count", "30", "Cluster 3 (class A, square) has a count of 30 that can never fire"),
]  # fmt: skip


def test_each_fault_stands_beside_its_field(plant, maud):
    told = each_refused(plant, maud, [(part, {field: typed}, field) for part, field, typed, _ in FAULTS])

    assert [words[: len(fault[3])] for words, fault in zip(told, FAULTS, strict=True)] == [fault[3] for fault in FAULTS]


def test_a_cluster_row_is_changed_taken_out_and_added(plant, maud):
    answer = filled(
        maud, "clusters", clusters_5_max_count="6", clusters_7_gone="y", new_class="C", new_within="circle",
        new_reach="80", new_max_count="6", new_kinds=["nib", "chip"],
    )  # fmt: skip

    assert answer.status_code == 302, said(answer)
    rows = plant.journal.catalogue().rule_book.clusters
    assert (rows[5].max_count, rows[5].origin) == (6, "set by this plant")
    assert rows[5].text == "at most 6 small flaws within 100 mm, 8 when raking light alone shows the rest"
    assert (rows[-1].within, rows[-1].reach, rows[-1].max_count, rows[-1].kinds) == ("circle", 800, 6, ("nib", "chip"))
    assert len(rows) == len(GOOD.rule_book.clusters)


def test_nobody_but_a_manager_changes_rules_and_a_part_that_does_not_exist_has_no_page(client_as, maud):
    assert Desk(client_as("per")).get("/setup/catalogue/rules/budgets").status_code == 403
    answer = maud.get("/setup/catalogue/rules/magic")
    assert answer.status_code == 404
    assert "There is no such part of the rules; choose one on the page of the rules." in said(answer)


def test_rules_go_out_with_the_file_and_come_in_as_the_same():
    found = read(write(GOOD), GOOD)

    assert found.faults == ()
    assert found.catalogue.hash == GOOD.hash


def test_a_file_with_a_changed_rule_is_read_and_told(plant, maud):
    text = write(GOOD).replace("margin = 30", "margin = 40")
    shown = maud.send("/setup/catalogue/import", file=(io.BytesIO(text.encode()), "c.toml"))

    assert "dew point above the dew point at least (°C) 3 is now → 4" in said(shown)


def test_rules_a_file_leaves_out_stay():
    own = replace(GOOD, rules=read(write(GOOD).replace("margin = 30", "margin = 40"), GOOD).catalogue.rules)
    text = write(own)

    found = read(text[: text.index("[rules")], own)

    assert found.catalogue.rule_book.readings.dew.margin == 40


@pytest.mark.parametrize(
    ("was", "now", "sentence"),
    [
        ("most = 120", "most = 0", "'most' of budget 1 needs a figure above zero"),
        ("margin = 30", "margin = 3.5", "'rules.readings.dew.margin' must be a whole number (got 3.5)"),
        ("[rules.readings.dew]", "[rules.reading.dew]", "'reading' is no part of the rules; they are clusters, selectors, budgets, readings, part_stages, gate_values"),
        ('since = "primed"\nbefore = "painted"', 'since = "painted"\nbefore = "primed"', "a plastic part is 'primed' before it is 'painted', so it would wait for ever; turn them round"),
        ('fails = "missing"', 'fails = "damp"', "'label' of the gate 'papers' fails by a choice that it does not have"),
        ('"touch_in",\n]\nsentence', '"magic",\n]\nsentence', "bar 19 names the method 'magic', which does not exist"),
        ('[rules.part_stages.stages.flamed]', '[rules.part_stages.stages.torched]', "stages: 'flamed' is missing, and cannot be retired; put it back"),
    ],
)  # fmt: skip
def test_a_fault_of_the_rules_in_a_file_is_a_sentence_with_its_line(was, now, sentence):
    text = write(GOOD)
    assert was in text, was

    found = read(text.replace(was, now, 1), GOOD)

    assert found.catalogue is None
    told = {fault.sentence: fault.line for fault in found.faults}
    assert sentence in told, told
    assert told[sentence] is not None


def test_stages_that_history_names_are_kept_when_an_earlier_version_comes_back():
    plain = rules.plain(GOOD.rule_book)
    plain["part_stages"]["materials"]["wood"] = {**plain["part_stages"]["materials"]["metal"], "label": "wooden part"}
    own = rules.with_rules(GOOD, rules.from_plain(plain))

    assert left_out(own, GOOD) == {"materials": ["wood"]}
    assert [one.label for one in changes(GOOD, own)] == ["wooden part"]


def test_the_rules_that_come_with_the_program_have_no_fault_as_a_plants_own():
    assert catalogues.check(replace(GOOD, rules=GOOD.rule_book)) == []


def test_one_part_is_taken_over_from_the_program_and_the_plants_other_changes_stay(plant, maud):
    filled(maud, "budgets", budgets_budgets_0_most="9,5")
    filled(maud, "readings", readings_dew_margin="4")
    page = maud.get("/setup/catalogue/rules").text
    assert "/setup/catalogue/rules/clusters/program" not in page
    made_from = {"made_from": plant.journal.catalogue().hash}

    answer = maud.send("/setup/catalogue/rules/budgets/program", page="/setup/catalogue/rules", **made_from)

    assert answer.status_code == 302, said(answer)
    book = plant.journal.catalogue().rule_book
    assert (book.budgets, book.readings.dew.margin) == (GOOD.rule_book.budgets, 40)
    assert "may come off (µm) 9.5 is now → 12" in maud.words("/setup/catalogue/changes/3/4")

    maud.send("/setup/catalogue/rules/readings/program", page="/setup/catalogue/rules", made_from=plant.journal.catalogue().hash)  # fmt: skip
    assert plant.journal.catalogue().hash == GOOD.hash


def test_an_old_page_and_a_part_that_does_not_exist_take_nothing_over(plant, maud):
    filled(maud, "budgets", budgets_budgets_0_most="9,5")
    old = maud.send("/setup/catalogue/rules/budgets/program", page="/setup/catalogue/rules", made_from=GOOD.hash)
    none = maud.send("/setup/catalogue/rules/magic/program", page="/setup/catalogue/rules", made_from=GOOD.hash)

    assert (old.status_code, none.status_code) == (409, 404)
    assert "changed the catalogue while you were at this page" in said(old)
    assert plant.journal.catalogue().rule_book.budgets.budgets[0].most == 95


def test_stages_a_plant_has_added_stay_when_the_programs_are_taken_over(plant, maud):
    typed = {"new_stage_label": "Steamed", "new_stage_department": "prep", "new_stage_text": "Steam it."}
    filled(maud, "part_stages", part_stages_waits_0_minutes="45", **typed)

    made_from = {"made_from": plant.journal.catalogue().hash}
    maud.send("/setup/catalogue/rules/part_stages/program", page="/setup/catalogue/rules", **made_from)

    stages = plant.journal.catalogue().rule_book.part_stages
    assert (stages.waits[0].minutes, stages.stages["steamed"].label) == (30, "Steamed")
