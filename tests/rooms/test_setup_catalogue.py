"""The catalogue is changed on pages: a new version each time, by name; what was judged stays; nobody writes over anybody."""

from __future__ import annotations

import re

import pytest
from desk import Desk, fault_beside, said

LIMITS = "/setup/catalogue/limits/nib"
DOOR = "left.storage_door"  # own paint, class A


@pytest.fixture
def desk(client_as):
    return lambda name: Desk(client_as(name))


@pytest.fixture
def maud(desk):
    return desk("maud")


def form_of(desk, path) -> dict[str, object]:
    """What a form on a page would send if nothing were touched, its first form with a field of ours."""
    from html.parser import HTMLParser

    sent: dict[str, object] = {}

    class Reader(HTMLParser):
        select = area = ""

        def handle_starttag(self, tag, attrs):
            one = dict(attrs)
            name = one.get("name", "")
            if tag == "input" and one.get("type") in ("checkbox", "radio"):
                if "checked" in one:
                    sent.setdefault(name, []).append(one.get("value") or "y")
            elif tag == "input" and one.get("type") != "submit" and name:
                sent[name] = one.get("value") or ""
            elif tag == "select":
                self.select = name
            elif tag == "option" and "selected" in one:
                sent[self.select] = one.get("value")
            elif tag == "textarea":
                self.area, sent[name] = name, ""

        def handle_data(self, data):
            if self.area:
                sent[self.area] += data

        def handle_endtag(self, tag):
            if tag == "textarea":
                self.area = ""

    page = desk.get(path).text
    Reader().feed(re.search(r'<form class="form form-ruled".*?</form>', page, re.S)[0])
    return sent


def send(desk, path, **changes):
    """Send the form of a page with some of its fields changed; `keep` is the button."""
    return desk.client.post(path, data={**form_of(desk, path), "keep": "Keep", **changes})


def published(plant) -> int:
    sql = "SELECT count(*) FROM events WHERE type = 'catalogue_published'"
    return plant.journal.read().execute(sql).fetchone()[0]


def mark(plant, unit, tag, **more):
    walk = next((row["id"] for row in plant.rows("walks", unit)), None) or plant.ines.start_walk(unit)
    return plant.row("markers", plant.ines.mark(unit, walk, "nib", DOOR, tag, **more))


# ------------------------------------------------------------------ limits


def test_a_limit_is_tightened_from_now_on_and_old_verdicts_stay(plant, maud):
    unit = plant.unit()
    before = mark(plant, unit, "B1", size=5)

    assert send(maud, LIMITS, **{"a_any-max_size": "0.3"}).status_code == 302
    after = mark(plant, unit, "B2", size=5)

    assert (before["verdict"], after["verdict"]) == ("within", "over")
    assert plant.row("markers", before["id"])["verdict"] == "within"
    assert "limit of 0.3 mm" in after["limit_text"]


def test_one_step_of_orange_peel_is_one_step(maud):
    page = maud.words("/setup/catalogue/limits")
    assert "1 step one step from the neighbour" in page
    assert "1 steps" not in page


def test_new_figures_bring_new_words_and_say_that_the_plant_set_them(plant, maud):
    send(maud, LIMITS, **{"a_any-max_size": "0.3"})

    row = plant.journal.catalogue().limit("nib", "A")
    assert (row.max_size, row.text) == (3, "0.3 mm, at most 2 on a part; 0.8 mm when only raking light shows it")
    assert row.origin == "set by this plant"
    assert plant.journal.catalogue().limit("nib", "B").origin.startswith("common practice")


def test_a_comma_is_a_point_too(plant, maud):
    send(maud, LIMITS, **{"a_any-max_size": "0,3"})

    assert plant.journal.catalogue().limit("nib", "A").max_size == 3


def test_kinds_that_shared_a_row_keep_theirs_when_one_of_them_is_changed(plant, maud):
    send(maud, "/setup/catalogue/limits/fisheye", **{"b_any-max_size": "0.8"})

    found = plant.journal.catalogue()
    assert [found.limit(kind, "B").max_size for kind in ("fisheye", "pinhole", "solvent_pop")] == [8, 5, 5]


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"b_any-max_size": "0.3"}, "b_any-max_size", "Kind 'nib' is judged harder on class B than on class A."),
        ({"a_maker-max_size": "0.3"}, "a_maker-max_size", "judged harder on the chassis maker's paint than on own"),
        ({"a_any-max_size": "wide"}, "a_any-max_size", "'Largest size' must be a figure such as 0.8"),
        ({"a_any-max_size": "9"}, "a_any-max_size", "lies outside the size buttons of 'nib'"),
        ({"a_any-max_count": "-1"}, "a_any-max_count", "must be a whole number from 0 to 99"),
        ({"a_any-raking_max_size": "0.4"}, "a_any-raking_max_size", "it must be larger than the size"),
    ],
)
def test_a_limit_that_cannot_be_is_said_beside_its_field_and_nothing_is_stored(plant, maud, changes, field, sentence):
    answer = send(maud, LIMITS, **changes)

    assert answer.status_code == 422
    assert sentence in fault_beside(answer, field)
    assert re.search(rf'name="{field}"[^>]*value="{re.escape(next(iter(changes.values())))}"', answer.text)
    assert published(plant) == 1


def test_before_it_is_kept_a_limit_says_what_it_would_have_judged_otherwise(plant, maud):
    unit = plant.unit()
    for tag, size in (("B1", 3), ("B2", 5)):
        mark(plant, unit, tag, size=size)

    answer = maud.client.post(LIMITS, data={**form_of(maud, LIMITS), "look": "1", "a_any-max_size": "0.3"})

    assert "With these limits 1 of 2 markers of the last 90 days would have been judged otherwise: 1 over" in said(
        answer
    )
    assert published(plant) == 1


def test_dots_stand_on_either_side_of_the_limit(maud):
    page = maud.get(LIMITS).text

    dots = re.search(r'<ol class="setup-dots">(.*?)</ol>', page, re.S)[1]
    assert re.findall(r'data-over="(yes|no)"', dots) == ["no", "no", "yes", "yes", "yes", "yes"]  # 0.5 mm of 0.3 to 2


def test_keeping_the_same_again_makes_no_version(plant, maud):
    assert send(maud, LIMITS).status_code == 302

    assert published(plant) == 1
    assert "Nothing was changed." in maud.words("/setup/catalogue/limits")


# ------------------------------------------------------------------ two managers


def test_who_was_slower_is_told_keeps_what_was_typed_and_may_keep_it_then(plant, maud):
    slow = {**form_of(maud, LIMITS), "keep": "Keep", "a_any-max_size": "0.3"}
    send(maud, "/setup/catalogue/limits/chip", **{"b_any-max_size": "1"})

    first = maud.client.post(LIMITS, data=slow)

    assert first.status_code == 409
    assert "Maud Esterházy changed the catalogue while you were at this page" in said(first)
    assert re.search(r'name="a_any-max_size"[^>]*value="0.3"', first.text)
    assert published(plant) == 2

    made_from = re.search(r'name="made_from"[^>]*value="(\w+)"', first.text)[1]
    assert maud.client.post(LIMITS, data={**slow, "made_from": made_from}).status_code == 302
    found = plant.journal.catalogue()
    assert (found.limit("nib", "A").max_size, found.limit("chip", "B").max_size) == (3, 10)


# ------------------------------------------------------------------ departments, kinds, methods


def test_a_department_is_added_and_a_kind_routed_to_it(plant, maud):
    new = maud.send(
        "/setup/catalogue/departments/new", label="Gel coat", short="Gel", takes_jobs="y", keep="Keep",
        made_from=plant.journal.catalogue().hash,
    )  # fmt: skip
    assert new.status_code == 302
    method = send(maud, "/setup/catalogue/methods/denib_polish", **{"chain-0-department": "gel_coat"})
    kind = send(maud, "/setup/catalogue/kinds/nib", origin_department="gel_coat")
    assert (method.status_code, kind.status_code) == (302, 302)

    unit = plant.unit()
    marker = mark(plant, unit, "B1", size=10)
    assert (marker["origin"], marker["department"]) == ("gel_coat", "gel_coat")
    assert "Gel coat" in maud.words("/setup/people/new")


def test_a_method_without_minutes_is_said_beside_them_and_nothing_is_stored(plant, maud):
    fields = {"chain-0-minutes_base": "0", "chain-0-minutes_spot": ""}

    answer = send(maud, "/setup/catalogue/methods/denib_polish", **fields)

    assert answer.status_code == 422
    beside = fault_beside(answer, "chain-0-minutes_base")
    assert beside == "Step 1 of method 'denib_polish' has no minutes; give it at least one."
    assert published(plant) == 1


def test_a_loop_of_waiting_is_said_in_its_order_and_nothing_is_stored(plant, maud):
    answer = send(maud, "/setup/catalogue/methods/denib_polish", waits_for=["machine_polish"])

    assert answer.status_code == 422
    assert fault_beside(answer, "waits_for") == (
        "No method of this loop could ever begin: 'denib_polish' waits for 'machine_polish' waits for 'denib_polish';"
        " take one of them out."
    )
    assert published(plant) == 1


def test_steps_are_added_and_taken_out(plant, maud):
    path = "/setup/catalogue/methods/denib_polish"
    step = {"department": "paint", "minutes_base": "4", "minutes_spot": "1", "text": "Dab clear on it."}

    send(maud, path, **{f"chain-1-{name}": value for name, value in step.items()})
    chain = plant.journal.catalogue().method("denib_polish").chain
    assert [(one.department, one.minutes_base) for one in chain] == [("polish", 5), ("paint", 4)]

    send(maud, path, **{"chain-0-department": ""})
    assert [one.department for one in plant.journal.catalogue().method("denib_polish").chain] == ["paint"]


def test_an_everyday_place_is_taken_over_from_the_kind_that_had_it(plant, maud):
    send(maud, "/setup/catalogue/kinds/swirl", everyday="5")

    found = plant.journal.catalogue()
    assert [kind.key for kind in found.everyday()] == ["nib", "run", "orange_peel", "gap", "swirl"]
    assert found.kind("chip").everyday is None


def test_what_is_in_use_is_not_retired_and_says_by_what(plant, maud):
    page = "/setup/catalogue/departments/paint"
    answer = maud.send(f"{page}/retired", page=page, made_from=plant.journal.catalogue().hash)

    assert answer.status_code == 422
    assert "names the department 'paint', which is retired; choose another one" in said(answer)
    assert published(plant) == 1


def test_a_retired_kind_keeps_its_label_on_old_markers_and_comes_back(plant, maud):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    plant.ines.mark(unit, walk, "swirl", "left.cab_door_lower", "B1", size=1000)
    page = "/setup/catalogue/kinds/swirl"

    gone = maud.send(f"{page}/retired", page=page, made_from=plant.journal.catalogue().hash)
    again = maud.send(f"{page}/retired", page=page, made_from=plant.journal.catalogue().hash)

    assert (gone.status_code, again.status_code, published(plant)) == (302, 302, 2)
    found = plant.journal.catalogue()
    assert (found.kind("swirl").retired, found.kind("swirl").label) == (True, "polishing swirls")
    assert maud.client.get("/catalogues/current.json").json["kinds"]["swirl"]["retired"] is True

    back = maud.send(f"{page}/back", page=page, made_from=found.hash)
    assert back.status_code == 302
    assert plant.journal.catalogue().kind("swirl").retired is False


def test_a_gate_is_switched_on_for_units_under_way_and_one_that_must_be_stays(plant, maud, client_as):
    unit = plant.unit()
    off = send(maud, "/setup/catalogue/gates/release", by_default=[])
    assert "the gate 'release' must exist and be on by default".capitalize() in fault_beside(off, "by_default")

    assert send(maud, "/setup/catalogue/gates/film", by_default="y").status_code == 302

    gates = client_as("ines").get(f"/sign-off/{unit}/now").json["gates"]
    assert "film" in [gate["key"] for gate in gates]


# ------------------------------------------------------------------ build options


def test_an_option_makes_zones_absent_on_vans_that_arrive_from_now_on(plant, maud):
    early = plant.unit("118940")
    new = maud.send(
        "/setup/catalogue/options/new", label="roof fan", brings=["roof.fan"], keep="Keep",
        made_from=plant.journal.catalogue().hash,
    )  # fmt: skip
    assert new.status_code == 302

    without, with_it = plant.unit("203377"), plant.unit("047312", options=["Roof  Fan"])

    absent = [plant.row("units", unit)["absent"] for unit in (early, without, with_it)]
    assert absent == ["{}", '{"roof.fan": "not_fitted"}', "{}"]


def test_an_option_that_takes_zones_is_drawn_and_works_the_other_way(plant, maud):
    fields = {"label": "no side windows", "takes": ["left.sliding_door_window"], "keep": "Keep"}
    made_from = plant.journal.catalogue().hash

    shown = maud.send("/setup/catalogue/options/new", **{**fields, "keep": "", "look": "1"}, made_from=made_from)
    maud.send("/setup/catalogue/options/new", **fields, made_from=made_from)

    assert 'class="setup-zone" data-how="takes"' in shown.text
    unit = plant.unit(options=["no side windows"])
    assert plant.row("units", unit)["absent"] == '{"left.sliding_door_window": "not_fitted"}'


def test_options_of_open_units_that_no_row_knows_are_listed(plant, maud):
    plant.unit(options=["awning"])

    assert "On open units, and not in this list awning on 1 unit" in maud.words("/setup/catalogue/options")


# ------------------------------------------------------------------ who may


@pytest.mark.parametrize("path", [LIMITS, "/setup/catalogue/kinds/nib", "/setup/catalogue/import"])
def test_an_inspector_changes_nothing(plant, desk, path):
    answer = desk("ines").send(path, page="/sign-out", made_from=plant.journal.catalogue().hash, keep="Keep")

    assert answer.status_code == 403
    assert published(plant) == 1


@pytest.mark.parametrize("path", ["kinds/nobody", "walks/first", "limits/nobody", "changes/1/99", "changes/x/1"])
def test_what_is_not_there_is_a_sentence(maud, path):
    assert maud.get(f"/setup/catalogue/{path}").status_code == 404
