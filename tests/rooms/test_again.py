"""The second look's pages, and what the server says to those who must not decide."""

from reworked_units import NIB, SWIRL, reworked, walked

from sample_units.hands import new_id


def post(client, hands, *events):
    """Send events straight to the server, as no page would."""
    body = {"tablet": hands.tablet, "pending": 0, "tickets": [hands.journal.tickets.write(hands.ticket)]}
    return client.post("/sync", json={**body, "events": list(events)}).get_json()["answers"]


def as_inspector(plant, key):
    """Someone of the cast who may inspect as well, at a tablet of their own."""
    from sample_units.hands import Hands, admit

    return Hands(plant.journal, plant.people[key], admit(plant.journal), ("inspector", "technician"), ("polish",))


def test_the_fixer_of_a_marker_cannot_clear_it_by_sending_the_event_straight_to_the_server(plant, client_as):
    unit, (marker,) = reworked(plant, SWIRL)
    per = as_inspector(plant, "per")

    (answer,) = post(client_as("per"), per, per.event(unit, "marker_cleared", {"marker": marker, "walk": None}))

    assert (answer["outcome"], answer["code"]) == ("refused", "not_fixer")
    assert "someone else" in answer["reason"]
    assert plant.row("markers", marker)["state"] == "reworked"


def test_a_technician_cannot_clear_by_sending_the_event_straight_to_the_server(plant, client_as):
    unit, (marker,) = reworked(plant, SWIRL)
    event = plant.thanh.event(unit, "marker_cleared", {"marker": marker, "walk": None})

    (answer,) = post(client_as("thanh"), plant.thanh, event)

    assert (answer["outcome"], answer["code"]) == ("refused", "roles")


def test_a_marker_that_cures_is_not_cleared_by_sending_the_event_straight_to_the_server(plant, client_as):
    unit, (marker,) = reworked(plant, NIB)

    (answer,) = post(client_as("lukasz"), plant.lukasz, plant.lukasz.event(unit, "marker_cleared", {"marker": marker}))

    assert (answer["outcome"], answer["code"]) == ("refused", "cured")


def test_a_second_look_does_not_end_while_anything_is_left(plant):
    unit, (marker,) = reworked(plant, SWIRL)
    walk = plant.lukasz.start_walk(unit, "again")

    assert plant.lukasz.do(unit, "walk_finished", {"walk": walk}).code == "all_looked"
    plant.lukasz.look_everywhere(unit, walk)
    assert plant.lukasz.do(unit, "walk_finished", {"walk": walk}).code == "all_decided"
    plant.lukasz.do(unit, "marker_cleared", {"marker": marker, "walk": walk})
    assert plant.lukasz.do(unit, "walk_finished", {"walk": walk}).outcome == "applied"


def test_the_list_names_what_each_unit_waits_with(plant, client_as):
    unit, _ = reworked(plant, SWIRL, NIB)
    plant.unit("330021")
    page = client_as("ines").get("/again").text

    assert f"/again/{unit}" in page
    assert "2 rings to decide" in page
    assert "looks undone by work" in page
    assert "1 still curing" in page
    assert "330" not in page


def test_the_list_says_what_would_fill_it(plant, client_as):
    plant.unit()

    assert "A unit comes here when the last step" in client_as("ines").get("/again").text


def test_the_page_is_a_shell_that_knows_no_unit(plant, client_as):
    unit, _ = walked(plant, NIB)
    page = client_as("lukasz").get(f"/again/{unit}")

    assert page.status_code == 200
    assert "Fjord grey" not in page.text
    assert "style=" not in page.text


def test_only_inspectors_and_managers_come_in(plant, client_as):
    unit, _ = walked(plant, NIB)
    answers = {key: client_as(key).get(f"/again/{unit}").status_code for key in ("ines", "maud", "per")}
    lists = {key: client_as(key).get("/again").status_code for key in ("ines", "maud", "per")}

    assert answers == lists == {"ines": 200, "maud": 200, "per": 403}


def test_an_unknown_unit_is_told_in_a_sentence(plant, client_as):
    answer = client_as("ines").get(f"/again/{new_id()}")

    assert answer.status_code == 404
    assert "There is no such unit" in answer.text
