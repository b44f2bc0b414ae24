"""Choosing a language and a way of writing: the plant's by a manager, one's own by anyone, for oneself alone."""

from __future__ import annotations

import io

import pytest
from babel.core import Locale
from babel.dates import format_date, format_time
from babel.numbers import format_decimal

from inspect_app.journal.events import Refusal
from inspect_app.journal.verify import verify
from inspect_app.rooms.tongue_forms import OFFERED
from inspect_app.words import written
from tests.conftest import PIN, Plant
from tests.rooms.desk import Desk, fault_beside, said
from tests.words import pseudo

DUE = 1_792_846_800_000  # 2026-10-24 13:00 UTC


@pytest.fixture
def app(speaking):
    """The application with the language nobody speaks."""
    return speaking


@pytest.fixture
def plant(app, pin_hash):
    return Plant(app.extensions["lampwalk"].journal, pin_hash)


def desk(app, plant, who: str) -> Desk:
    client = app.test_client()
    answer = client.post("/sign-in", json={"person": plant.people[who], "pin": PIN}, headers={"X-Lampwalk": "1"})
    assert answer.status_code == 200, answer.text
    return Desk(client)


def cookies(desk: Desk) -> dict[str, str]:
    return {
        name: desk.client.get_cookie(name).value for name in ("language", "formats") if desk.client.get_cookie(name)
    }


def events(plant, kind: str) -> int:
    return plant.journal.read().execute("SELECT count(*) FROM events WHERE type = ?", (kind,)).fetchone()[0]


@pytest.mark.parametrize("who", ["maud", "ines", "per"])
def test_anyone_chooses_for_themselves_and_it_comes_along_to_the_next_tablet(app, plant, who):
    here = desk(app, plant, who)
    answer = here.send("/my-settings", language="eo", formats="de_DE")

    assert (answer.status_code, cookies(here)) == (302, {"language": "eo", "formats": "de_DE"})
    assert "⟦" in said(here.get("/"))
    there = desk(app, plant, who)
    assert cookies(there) == {"language": "eo", "formats": "de_DE"}
    assert there.client.get("/me").json["language"] == "eo"
    assert verify(plant.journal.folder.path).clean


def test_the_same_choice_sent_twice_is_one_event(app, plant):
    here = desk(app, plant, "ines")
    for _ in range(2):
        here.send("/my-settings", language="eo", formats="")

    assert events(plant, "person_preferred") == 1


def test_whoever_signs_in_after_them_without_a_choice_reads_as_the_plant_does(app, plant):
    here = desk(app, plant, "ines")
    here.send("/my-settings", language="eo", formats="de_DE")
    here.client.post("/sign-in", json={"person": plant.people["per"], "pin": PIN}, headers={"X-Lampwalk": "1"})

    assert cookies(here) == {}
    assert "⟦" not in said(here.get("/"))


def test_what_was_chosen_on_another_tablet_comes_with_the_next_answer_about_who_is_here(app, plant):
    here, there = desk(app, plant, "ines"), desk(app, plant, "ines")
    there.send("/my-settings", language="eo", formats="de_DE")
    assert cookies(here) == {}

    here.client.get("/me")
    assert cookies(here) == {"language": "eo", "formats": "de_DE"}
    there.send("/my-settings", language="", formats="")
    here.client.get("/me")
    assert cookies(here) == {}


def test_nobody_chooses_for_another(plant):
    body = {"person": plant.people["per"], "language": "eo", "formats": ""}

    with pytest.raises(Refusal, match="for themselves"):
        plant.journal.record(plant.ines.ticket, "plant", "person_preferred", body)


def test_a_choice_the_form_did_not_offer_is_refused_in_the_readers_language(app, plant):
    here = desk(app, plant, "maud")
    here.send("/my-settings", language="eo", formats="")
    page = f"/setup/people/{plant.people['per']}"
    answer = here.send(page, name="Per Halvorsen", roles="owner")

    assert pseudo.said("'%(value)s' is not a valid choice for this field.") % {"value": "owner"} in said(answer)


def test_a_refusal_on_a_page_is_in_the_readers_language_and_kept_in_the_plants(app, plant):
    here = desk(app, plant, "maud")
    here.send("/my-settings", language="eo", formats="")
    person = plant.people["maud"]
    answer = here.send(f"/setup/people/{person}/left", page=f"/setup/people/{person}")
    page = said(here.get(answer.location)) if answer.location else said(answer)

    [kept] = [row["reason"] for row in plant.journal.read().execute("SELECT reason FROM refused")]
    assert kept.isascii()  # English, as the plant's
    assert kept not in page
    assert pseudo.said(kept) in page
    assert verify(plant.journal.folder.path).clean


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [("language", "tlh", "'Language' is not one"), ("formats", "../x", "'Numbers and dates' is not one")],
)
def test_what_is_not_there_is_said_beside_its_field(app, plant, field, value, sentence):
    here = desk(app, plant, "ines")
    answer = here.send("/my-settings", **{"language": "eo", "formats": "", field: value})

    assert answer.status_code == 422
    assert sentence in fault_beside(answer, field)
    assert (cookies(here), events(plant, "person_preferred")) == ({}, 0)


def test_the_plants_language_is_for_whoever_has_chosen_none(app, plant):
    maud, ines = desk(app, plant, "maud"), desk(app, plant, "ines")
    ines.send("/my-settings", language="en", formats="")
    form = {"plant": "Halden yard", "timezone": "UTC", "paper": "a4"}
    assert maud.send("/setup/settings", **form, language="eo", formats="pl_PL").status_code == 302

    assert "⟦" in said(maud.get("/"))
    assert "⟦" not in said(ines.get("/"))
    assert "⟦" in said(app.test_client().get("/sign-in"))
    assert dict(plant.journal.read().execute("SELECT name, value FROM settings").fetchall())["language"] == "eo"


def test_a_settings_form_without_the_two_fields_leaves_them(app, plant):
    maud = desk(app, plant, "maud")
    form = {"plant": "Halden yard", "timezone": "UTC", "paper": "a4"}
    maud.send("/setup/settings", **form, language="en", formats="de_DE")
    maud.send("/setup/settings", **form)

    assert dict(plant.journal.read().execute("SELECT name, value FROM settings").fetchall())["formats"] == "de_DE"


def test_nobody_chose_the_house_form_stays(app, plant):
    unit = plant.unit(due=DUE)
    maud = desk(app, plant, "maud")

    assert "Arrived " + written.moment(arrived(plant, unit)) in maud.words(f"/units/{unit}")
    assert f"{arrived(plant, unit):%Y-%m-%d %H:%M}" == written.moment(arrived(plant, unit))


@pytest.mark.parametrize("key", ["de_DE", "en_US", "pl_PL", "fi_FI"])
def test_a_chosen_locale_writes_times_as_the_cldr_has_them(app, plant, key):
    """The parts are Babel's CLDR data: medium date, short time."""
    unit = plant.unit(due=DUE)
    here = desk(app, plant, "ines")
    here.send("/my-settings", language="", formats=key)
    then, locale = arrived(plant, unit), Locale.parse(key)
    page = here.words(f"/units/{unit}")

    assert " ".join(format_date(then, "medium", locale=locale).split()) in page
    assert " ".join(format_time(then, "short", locale=locale).split()) in page
    assert f"{then:%Y-%m-%d}" not in page


@pytest.mark.parametrize("key", [None, *OFFERED])
def test_numbers_carry_the_decimal_sign_of_the_cldr(key):
    locale = key and Locale.parse(key)
    with written.writing_as(locale):
        assert written.number(1234.5) == (format_decimal(1234.5, format="0.0", locale=locale) if locale else "1234.5")
        assert written.number(0.8, 2) == (format_decimal(0.8, format="0.00", locale=locale) if locale else "0.80")


def arrived(plant, unit):
    from datetime import UTC, datetime

    return datetime.fromtimestamp(plant.row("units", unit)["arrived_at"] / 1000, UTC)


def test_an_imported_list_is_answered_in_the_importers_language(app, plant):
    maud = desk(app, plant, "maud")
    maud.send("/my-settings", language="eo", formats="")
    answer = maud.send("/setup/units/import", file=(io.BytesIO(b"a;b\r\n1;2\r\n"), "units.csv"))

    assert "⟦" in fault_beside(answer, "file")
