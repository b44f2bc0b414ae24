"""Setup: people, tablets, the plant, the catalogue to read; every form happy, forbidden, faulty and sent twice."""

from __future__ import annotations

import pytest
from desk import Desk, fault_beside, said

NEW = {"name": "Noor Haddad", "roles": ["technician"], "departments": ["trim", "glass"], "pin": "7351"}


@pytest.fixture
def desk(client_as):
    return lambda name: Desk(client_as(name))


@pytest.fixture
def maud(desk):
    return desk("maud")


def person(plant, name):
    row = plant.journal.read().execute("SELECT * FROM people WHERE name = ?", (name,)).fetchone()
    return dict(row) if row else None


def plant_events(plant, event_type) -> int:
    sql = "SELECT count(*) FROM events WHERE stream = 'plant' AND type = ?"
    return plant.journal.read().execute(sql, (event_type,)).fetchone()[0]


def try_pin(app, key, pin) -> int:
    headers = {"X-Lampwalk": "1"}
    return app.test_client().post("/sign-in", json={"person": key, "pin": pin}, headers=headers).status_code


# ------------------------------------------------------------------ people


def test_a_person_added_by_the_manager_signs_in_with_their_pin(app, plant, maud):
    assert maud.send("/setup/people/new", **NEW).status_code == 302

    added = person(plant, "Noor Haddad")
    assert (added["roles"], added["departments"]) == ('["technician"]', '["trim", "glass"]')
    assert "7351" not in str(added)
    assert try_pin(app, added["id"], "7351") == 200


def test_the_author_of_a_new_person_is_the_manager_and_not_the_server(plant, maud):
    maud.send("/setup/people/new", **NEW)

    last = (
        plant.journal.read().execute("SELECT person FROM events WHERE type = 'person_added' ORDER BY n DESC").fetchone()
    )
    assert last["person"] == plant.people["maud"]


def test_adding_the_same_person_twice_is_said_beside_the_name(plant, maud):
    maud.send("/setup/people/new", **NEW)

    again = maud.send("/setup/people/new", **NEW)

    assert again.status_code == 422
    assert "There is a Noor Haddad already" in fault_beside(again, "name")
    assert (
        len([1 for row in plant.journal.read().execute("SELECT name FROM people") if row["name"] == NEW["name"]]) == 1
    )


@pytest.mark.parametrize(
    ("wrong", "field", "sentence"),
    [
        ({"name": "  "}, "name", "'Name' is missing"),
        ({"roles": []}, "roles", "'Roles': choose one at least"),
        ({"departments": []}, "departments", "'Departments': choose one at least for a technician"),
        ({"pin": "12"}, "pin", "'PIN' must be 4 to 8 digits"),
        ({"pin": "1111"}, "pin", "This PIN is guessed at once"),
        ({"roles": ["owner"]}, "roles", "not a valid choice"),
    ],
)
def test_each_fault_of_a_new_person_stands_beside_its_field(plant, maud, wrong, field, sentence):
    answer = maud.send("/setup/people/new", **{**NEW, **wrong})

    assert answer.status_code == 422
    assert sentence in fault_beside(answer, field)
    assert person(plant, NEW["name"]) is None


def test_roles_and_departments_are_changed_and_the_pin_stays(app, plant, maud):
    key, before = plant.people["per"], plant.row("people", plant.people["per"])

    answer = maud.send(
        f"/setup/people/{key}", name="Per Halvorsen", roles=["technician", "inspector"], departments=["body"]
    )

    after = plant.row("people", key)
    assert answer.status_code == 302
    assert (after["roles"], after["departments"]) == ('["technician", "inspector"]', '["body"]')
    assert after["pin_hash"] == before["pin_hash"]


def test_a_person_kept_twice_or_unchanged_makes_no_second_event(plant, maud):
    key = plant.people["ines"]
    before = plant_events(plant, "person_changed")
    for _ in range(2):
        maud.send(f"/setup/people/{key}", name="Ines Okafor", roles=["inspector", "manager"])

    assert plant_events(plant, "person_changed") - before == 1


def test_the_last_manager_keeps_the_role_and_is_told_why(plant, maud):
    key = plant.people["maud"]

    changed = maud.send(f"/setup/people/{key}", name="Maud Esterházy", roles=["inspector"])
    left = maud.send(f"/setup/people/{key}/left", page=f"/setup/people/{key}")

    assert "This is the only manager" in fault_beside(changed, "roles")
    assert left.status_code == 409
    assert "manager" in str(plant.row("people", key)["roles"])
    assert plant.row("people", key)["state"] == "active"


def test_a_new_pin_opens_and_the_old_one_no_longer_does(app, plant, maud):
    key = plant.people["per"]

    assert maud.send(f"/setup/people/{key}/pin", pin="7351", again="7351").status_code == 302

    assert (try_pin(app, key, "2580"), try_pin(app, key, "7351")) == (403, 200)


def test_two_pins_that_differ_are_said_beside_the_second(app, plant, maud):
    key = plant.people["per"]

    answer = maud.send(f"/setup/people/{key}/pin", pin="7351", again="7352")

    assert "The two PINs differ" in fault_beside(answer, "again")
    assert try_pin(app, key, "2580") == 200


def test_who_has_left_is_out_at_once_on_every_tablet_and_history_keeps_the_name(app, plant, desk, maud):
    per, key = desk("per"), plant.people["per"]
    assert per.get("/").status_code == 200

    maud.send(f"/setup/people/{key}/left", page=f"/setup/people/{key}")

    assert per.get("/").status_code == 302
    assert try_pin(app, key, "2580") == 403
    assert plant.row("people", key)["name"] == "Per Halvorsen"
    assert "Have left 1" in maud.words("/setup/people")


def test_leaving_twice_is_one_event_and_coming_back_lets_in_again(app, plant, maud):
    key = plant.people["per"]
    for _ in range(2):
        maud.send(f"/setup/people/{key}/left", page="/setup/people/new")
    assert plant_events(plant, "person_changed") == 1

    maud.send(f"/setup/people/{key}/back", page=f"/setup/people/{key}")

    assert try_pin(app, key, "2580") == 200


def test_an_unknown_person_is_a_sentence_and_404(maud):
    page = maud.get("/setup/people/nobody")

    assert (page.status_code, "There is no such person" in said(page)) == (404, True)


@pytest.mark.parametrize(
    "path", ["people/new", "people/{per}", "people/{per}/pin", "people/{per}/left", "people/{per}/back"]
)
def test_an_inspector_sets_up_nobody(plant, desk, path):
    ines = desk("ines")
    answer = ines.send(f"/setup/{path.format(**plant.people)}", page="/sign-out", **NEW, again="7351")

    assert answer.status_code == 403
    assert plant_events(plant, "person_changed") == 0
    assert person(plant, NEW["name"]) is None


def test_who_loses_a_role_can_no_longer_use_it_though_signed_in(plant, desk, maud):
    maud.send(f"/setup/people/{plant.people['ines']}", name="Ines Okafor", roles=["inspector", "manager"])
    ines = desk("ines")
    assert ines.get("/setup").status_code == 200

    maud.send(f"/setup/people/{plant.people['ines']}", name="Ines Okafor", roles=["inspector"])

    assert ines.get("/setup").status_code == 302


# ------------------------------------------------------------------ tablets


def test_a_tablet_gets_a_name_and_keeps_its_letters(plant, maud):
    row = plant.row("tablets", plant.ines.tablet)

    answer = maud.send(f"/setup/tablets/{row['id']}", name="tunnel left")

    after = plant.row("tablets", row["id"])
    assert answer.status_code == 302
    assert (after["name"], after["letters"]) == ("tunnel left", row["letters"])
    assert "tunnel left" in maud.words("/setup/tablets")


def test_a_name_sent_twice_is_one_event_and_a_taken_one_is_said_beside_the_field(plant, maud):
    for _ in range(2):
        maud.send(f"/setup/tablets/{plant.ines.tablet}", name="tunnel left")
    assert plant_events(plant, "tablet_named") == 1

    answer = maud.send(f"/setup/tablets/{plant.per.tablet}", name="tunnel left")

    assert answer.status_code == 422
    assert "is called tunnel left already" in fault_beside(answer, "name")


def test_a_tablet_may_lose_its_name_again(plant, maud):
    maud.send(f"/setup/tablets/{plant.ines.tablet}", name="tunnel left")
    maud.send(f"/setup/tablets/{plant.ines.tablet}", name="")

    assert plant.row("tablets", plant.ines.tablet)["name"] is None


def test_tablets_are_named_by_managers_only_and_unknown_ones_are_not_found(plant, desk, maud):
    answer = desk("per").send(f"/setup/tablets/{plant.per.tablet}", page="/sign-out", name="mine")

    assert answer.status_code == 403
    assert maud.get("/setup/tablets/none").status_code == 404


# ------------------------------------------------------------------ plant


def settings(plant) -> dict[str, str]:
    return dict(plant.journal.read().execute("SELECT name, value FROM settings").fetchall())


def test_time_zone_paper_and_name_are_kept_and_the_times_follow(plant, maud):
    unit = plant.unit(due=1_774_008_000_000)  # 2026-03-20 12:00 UTC

    answer = maud.send("/setup/settings", plant="Halden yard", timezone="Europe/Oslo", paper="letter")

    assert answer.status_code == 302
    assert settings(plant) == {"plant": "Halden yard", "timezone": "Europe/Oslo", "paper": "letter"}
    assert 'value="2026-03-20 13:00"' in maud.get(f"/units/{unit}/correct").text


def test_settings_sent_twice_are_one_event_each(plant, maud):
    for _ in range(2):
        maud.send("/setup/settings", plant="Halden yard", timezone="Europe/Oslo", paper="a4")

    assert plant_events(plant, "setting_changed") == 3


@pytest.mark.parametrize("zone", ["Mars/Olympus", "../../etc/passwd", "europe"])
def test_a_time_zone_there_is_not_is_said_beside_its_field(plant, maud, zone):
    answer = maud.send("/setup/settings", plant="Halden yard", timezone=zone, paper="a4")

    assert answer.status_code == 422
    assert "'Time zone' is not one this server knows" in fault_beside(answer, "timezone")
    assert settings(plant) == {}


def test_settings_belong_to_managers(plant, desk):
    assert desk("ines").send("/setup/settings", page="/sign-out", timezone="UTC").status_code == 403
    assert settings(plant) == {}


# ------------------------------------------------------------------ to read


@pytest.mark.parametrize("part", ["kinds", "methods", "limits", "cautions", "gates"])
def test_every_part_of_the_catalogue_is_shown_whole_with_where_it_comes_from(plant, maud, part):
    rows = getattr(plant.journal.catalogue(), part)
    rows = rows if isinstance(rows, tuple) else tuple(rows.values())

    page = maud.get(f"/setup/catalogue/{part}")

    assert page.text.count("<tr>") == len(rows) + 1
    assert all(row.origin in said(page) for row in rows)


def test_the_caution_of_the_house_stands_over_the_catalogue(plant, maud):
    assert plant.journal.catalogue().clause in maud.words("/setup/catalogue/cautions")


def test_a_part_the_catalogue_has_not_is_not_found(maud):
    assert maud.get("/setup/catalogue/secrets").status_code == 404


def test_departments_say_who_works_there_and_what_they_make(maud):
    told = maud.words("/setup/departments")

    assert "People Nguyễn Thanh, Per Halvorsen" in told
    assert "Makes dirt nib" in told


def test_the_chains_are_whole_and_rebuilt_alike_after_setting_up(app, plant, maud):
    from inspect_app.journal.verify import verify

    maud.send("/setup/people/new", **NEW)
    maud.send(f"/setup/tablets/{plant.ines.tablet}", name="tunnel left")
    maud.send("/setup/settings", plant="Halden yard", timezone="Europe/Oslo", paper="a4")

    told = verify(plant.journal.folder.path)
    assert told.clean, told.sentence
