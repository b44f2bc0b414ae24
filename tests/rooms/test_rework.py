"""The bench's page and what its events come to on the server."""

import pytest
from reworked_units import NIB, dented, job_of, walked


def test_the_bench_is_a_shell_that_knows_no_job(plant, client_as):
    unit, _ = dented(plant)
    job = job_of(plant, unit)

    page = client_as("zaneta").get(f"/rework/{job['id']}")

    assert page.status_code == 200
    assert "118940" not in page.text
    assert job["id"] not in page.text
    assert "style=" not in page.text


@pytest.mark.parametrize("path", ["/rework", "/rework/0190-not-a-job"])
def test_the_bench_opens_for_whoever_is_signed_in(plant, client_as, path):
    assert client_as("maud").get(path).status_code == 200


def test_nobody_sees_the_bench_without_signing_in(app):
    assert app.test_client().get("/rework").status_code == 302


def test_the_feed_shows_a_job_without_the_marker_that_left_it(plant, client_as):
    unit, (first, second) = walked(plant, NIB, NIB)
    job = job_of(plant, unit)
    since = client_as("per").get("/changes?since=0").get_json()["n"]

    plant.per.do(unit, "no_flaw_proposed", {"marker": second, "job": job["id"], "reason": "It wiped off"})
    rows = client_as("per").get(f"/changes?since={since}").get_json()["rows"]

    assert [row["markers"] for row in rows["jobs"] if row["id"] == job["id"]] == [[first]]


def test_a_marker_nobody_could_find_gets_no_new_job_from_a_walk_before_its_answer(plant):
    unit, (marker,) = walked(plant, NIB)
    job = job_of(plant, unit)
    plant.per.do(unit, "spot_not_found", {"job": job["id"], "marker": marker, "reason": "Nothing there"})

    walk = plant.lukasz.start_walk(unit, "second")
    plant.lukasz.finish_walk(unit, walk)
    assert [one["state"] for one in plant.rows("jobs", unit)] == ["cancelled"]

    (question,) = plant.rows("questions", unit)
    plant.lukasz.do(unit, "question_answered", {"question": question["id"], "answer": "Ringed anew"})
    assert sorted(one["state"] for one in plant.rows("jobs", unit)) == ["cancelled", "ready"]


def test_a_marker_said_to_be_no_flaw_gets_no_new_job_from_a_walk_before_it_is_decided(plant):
    unit, (marker,) = walked(plant, NIB)
    plant.per.do(
        unit, "no_flaw_proposed", {"marker": marker, "job": job_of(plant, unit)["id"], "reason": "A reflection"}
    )

    walk = plant.lukasz.start_walk(unit, "second")
    plant.lukasz.finish_walk(unit, walk)

    assert [one["state"] for one in plant.rows("jobs", unit)] == ["cancelled"]
