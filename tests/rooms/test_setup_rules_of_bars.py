"""The form for what bars a method: figures and words of the rows, rows taken out and added; then barred so."""

from __future__ import annotations

from dataclasses import replace

import pytest
from desk import Desk, said
from rules_desk import each_refused, filled

from inspect_app.journal.verify import verify
from inspect_app.trade import catalogue as catalogues
from inspect_app.trade.selectors import Facts, open_methods

GOOD = catalogues.builtin()
AT, ROW = "bars", "selectors_bars"
NIB = Facts(kind="nib", material="metal", surface_class="C", depth="clear", size=14)


@pytest.fixture
def maud(client_as):
    return Desk(client_as("maud"))


def row_of(sentence: str) -> int:
    return next(n for n, bar in enumerate(GOOD.rule_book.selectors.bars) if bar.sentence == sentence)


HOLLOW, DAB = row_of("above 1.5 mm it leaves a hollow"), row_of("a dab shows in plain view")


def test_a_smaller_figure_bars_from_now_on(plant, maud):
    answer = filled(maud, AT, **{f"{ROW}_{HOLLOW}_when_size_over": "1,2", f"{ROW}_{HOLLOW}_sentence": "it hollows"})

    assert answer.status_code == 302, said(answer)
    made = plant.journal.catalogue()
    assert open_methods(made, NIB).barred["denib_polish"] == ("it hollows",)
    assert "denib_polish" in open_methods(GOOD, NIB).open
    assert made.rule_book.selectors.bars[HOLLOW].origin == "set by this plant"


def test_a_class_is_ticked_a_bar_taken_out_and_one_added(plant, maud):
    chip = Facts(kind="chip", material="metal", surface_class="A", depth="clear", size=5)
    assert "touch_in" in open_methods(GOOD, chip).barred
    answer = filled(
        maud, AT, **{f"{ROW}_{DAB}_gone": "y", "new_sentence": "we never paint a fibre in", "new_methods": ["refinish"],
                     "new_kinds": ["fibre"], "new_when_surface_class": ["C", "D"], "new_when_size_over": "3"},
    )  # fmt: skip

    assert answer.status_code == 302, said(answer)
    made = plant.journal.catalogue()
    assert "touch_in" in open_methods(made, chip).open
    fibre = replace(NIB, kind="fibre", size=31)
    assert open_methods(made, fibre).barred["refinish"] == ("we never paint a fibre in",)
    assert "refinish" in open_methods(made, replace(fibre, size=30)).open
    assert "refinish" in open_methods(made, replace(fibre, surface_class="B")).open
    assert "we never paint a fibre in" in maud.words("/setup/catalogue/changes/1/2")


def test_a_bar_names_other_methods_and_kinds_and_keeps_its_place_and_its_history(plant, maud):
    fibre, chip = replace(NIB, kind="fibre", size=16), Facts(kind="chip", material="metal", surface_class="A", size=5)
    assert "denib_polish" in open_methods(GOOD, fibre).open
    page = maud.get(f"/setup/catalogue/rules/{AT}").text
    assert f'name="{ROW}_{HOLLOW}_kinds" value="nib" checked' in page

    answer = filled(
        maud, AT, **{f"{ROW}_{HOLLOW}_kinds": ["nib", "fibre"], f"{ROW}_{DAB}_methods": ["touch_in", "spot_repair"]}
    )

    assert answer.status_code == 302, said(answer)
    made = plant.journal.catalogue()
    bars = made.rule_book.selectors.bars
    assert len(bars) == len(GOOD.rule_book.selectors.bars)
    assert (bars[HOLLOW].kinds, bars[DAB].methods) == (("nib", "fibre"), ("touch_in", "spot_repair"))
    assert bars[HOLLOW].origin == bars[DAB].origin == "set by this plant"
    assert bars[HOLLOW + 1] == GOOD.rule_book.selectors.bars[HOLLOW + 1]
    assert open_methods(made, fibre).barred["denib_polish"] == ("above 1.5 mm it leaves a hollow",)
    assert "spot_repair" in open_methods(made, chip).barred
    assert "spot_repair" in open_methods(GOOD, chip).open
    told = maud.words("/setup/catalogue/changes/1/2")
    assert "above 1.5 mm it leaves a hollow" in told
    assert "hair or lint" in told
    # None ticked is any kind, and a version is added each time: the journal takes nothing back.
    assert filled(maud, AT, **{f"{ROW}_{HOLLOW}_kinds": []}).status_code == 302
    assert plant.journal.catalogue().rule_book.selectors.bars[HOLLOW].kinds == ()
    assert "denib_polish" in open_methods(plant.journal.catalogue(), replace(fibre, kind="nib", size=16)).barred
    published = plant.journal.read().execute("SELECT count(*) FROM events WHERE type = 'catalogue_published'")
    assert published.fetchone()[0] == 3  # the plant's first one, and one for each change
    assert verify(plant.journal.folder.path).clean


FAULTS = [
    ({f"{ROW}_{HOLLOW}_methods": []}, f"{ROW}_{HOLLOW}_methods", "'Methods': tick one at least, or take the row out."),
    ({f"{ROW}_{HOLLOW}_kinds": ["dent"]}, f"{ROW}_{HOLLOW}_methods", "Bar 7 never fires: none of its methods is offered for its kinds."),
    ({f"{ROW}_{HOLLOW}_when_size_over": ""}, f"{ROW}_{HOLLOW}_when_size_over", "'Size above' is missing; write a figure."),
    ({f"{ROW}_{HOLLOW}_when_size_over": "big"}, f"{ROW}_{HOLLOW}_when_size_over", "'Size above' must be a figure such as 0.8 or 12 (got 'big')."),
    ({f"{ROW}_{DAB}_when_surface_class": []}, f"{ROW}_{DAB}_when_surface_class", "'Class': tick one at least, or take the row out."),
    ({f"{ROW}_{HOLLOW}_when_size_over": "1.2"}, f"{ROW}_{HOLLOW}_sentence", "'Why it is barred' still says 1.5; write what holds now."),
    ({f"{ROW}_{HOLLOW + 1}_when_count_over": "6"}, f"{ROW}_{HOLLOW + 1}_sentence", "'Why it is barred' still says eight; write what holds now."),
    ({f"{ROW}_{DAB}_sentence": ""}, f"{ROW}_{DAB}_sentence", "'Why it is barred' is missing; say it in a few words."),
    ({"new_sentence": "never"}, "new_methods", "'Methods' is missing; fill it in, or leave the new row empty."),
    ({"new_sentence": "never", "new_methods": ["refinish"], f"{ROW}_0_gone": "y"}, "new_sentence", "Bar 33 would bar its methods for everything; give it kinds or conditions."),
    ({"new_sentence": "never", "new_methods": ["glass_polish"], "new_kinds": ["nib"]}, "new_methods", "Bar 34 never fires: none of its methods is offered for its kinds."),
]  # fmt: skip


def test_each_fault_stands_beside_its_field_and_nothing_is_kept(plant, maud):
    told = each_refused(plant, maud, [(AT, typed, field) for typed, field, _ in FAULTS])

    assert told == [sentence for _, _, sentence in FAULTS]
