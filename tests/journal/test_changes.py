"""The changes feed: what is new since a running number, and nothing else."""

import pytest


@pytest.fixture
def unit(plant):
    return plant.unit()


def test_a_page_that_starts_gets_the_whole_unit(plant, unit, client_as):
    walk = plant.ines.start_walk(unit)
    plant.ines.mark(unit, walk, "nib", "left.sill", "B1", size=8)

    rows = client_as("ines").get(f"/changes?since=0&unit={unit}").json["rows"]

    assert [len(rows[table]) for table in ("units", "walks", "markers", "jobs")] == [1, 1, 1, 0]
    assert {person["name"] for person in rows["people"]} >= {"Łukasz Brandt", "Nguyễn Thanh"}


def test_only_what_changed_comes_the_second_time(plant, unit, client_as):
    walk = plant.ines.start_walk(unit)
    plant.ines.mark(unit, walk, "nib", "left.sill", "B1")
    client = client_as("lukasz")
    n = client.get(f"/changes?since=0&unit={unit}").json["n"]
    second = plant.ines.mark(unit, walk, "run", "left.sill", "B2")

    rows = client.get(f"/changes?since={n}&unit={unit}").json["rows"]

    assert [marker["id"] for marker in rows["markers"]] == [second]
    assert rows["walks"] == []


def test_nothing_new_is_told_with_304(plant, unit, client_as):
    client = client_as("ines")
    first = client.get(f"/changes?since=0&unit={unit}")
    again = client.get(
        f"/changes?since={first.json['n']}&unit={unit}", headers={"If-None-Match": first.headers["ETag"]}
    )

    assert (again.status_code, again.data) == (304, b"")


def test_another_unit_stays_out_of_a_units_feed(plant, unit, client_as):
    other = plant.unit("118940")
    plant.ines.mark(other, plant.ines.start_walk(other), "nib", "left.sill", "B1")

    rows = client_as("ines").get(f"/changes?since=0&unit={unit}").json["rows"]

    assert rows["markers"] == []


def test_jobs_come_with_their_markers(plant, unit, client_as):
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "nib", "left.sill", "B1", size=20)
    plant.ines.finish_walk(unit, walk)

    jobs = client_as("per").get("/changes?since=0").json["rows"]["jobs"]

    assert jobs[0]["markers"] == [marker]


def test_no_pin_ever_leaves_by_the_feed(plant, unit, client_as):
    assert "pin" not in client_as("ines").get("/changes?since=0").text


@pytest.mark.parametrize("since", ["-1", "abc", "1e9", "9" * 30])
def test_a_since_that_is_no_number_is_refused_in_words(client_as, since):
    answer = client_as("ines").get(f"/changes?since={since}")

    assert (answer.status_code, answer.json["error"]["code"]) == (422, "malformed")


def test_an_unknown_unit_is_404_and_no_redirect(client_as):
    answer = client_as("ines").get("/changes?since=0&unit=nonsense")

    assert (answer.status_code, answer.json["error"]["code"]) == (404, "no_unit")


def test_a_second_walk_is_blind_to_what_others_marked_until_it_is_finished(plant, unit, client_as):
    walk = plant.ines.start_walk(unit)
    plant.ines.mark(unit, walk, "nib", "left.sill", "B1", size=3)
    plant.ines.finish_walk(unit, walk)
    client = client_as("lukasz")
    before = client.get(f"/changes?since=0&unit={unit}").json
    second = plant.lukasz.start_walk(unit, "second")
    own = plant.lukasz.mark(unit, second, "run", "left.sill", "C1")

    during = client.get(f"/changes?since=0&unit={unit}").json
    others = client_as("ines").get(f"/changes?since=0&unit={unit}").json
    plant.lukasz.finish_walk(unit, second)
    after = client.get(f"/changes?since=0&unit={unit}").json

    assert [marker["id"] for marker in during["rows"]["markers"]] == [own]
    assert len(others["rows"]["markers"]) == len(after["rows"]["markers"]) == 2
    assert before["epoch"] == after["epoch"] != during["epoch"]


def test_the_plants_feed_is_blind_to_a_unit_on_which_one_is_on_a_second_walk(plant, unit, client_as):
    other = plant.unit("118940")
    for van in (unit, other):
        walk = plant.ines.start_walk(van)
        plant.ines.mark(van, walk, "nib", "left.sill", "B1", size=20)
        plant.ines.finish_walk(van, walk)
    client = client_as("lukasz")
    before = client.get("/changes?since=0").json
    second = plant.lukasz.start_walk(unit, "second")

    during = client.get("/changes?since=0").json
    others = client_as("ines").get("/changes?since=0").json
    plant.lukasz.finish_walk(unit, second)
    after = client.get("/changes?since=0").json

    for table in ("markers", "jobs", "job_markers"):
        assert {row["unit"] for row in during["rows"][table]} == {other}
        assert {row["unit"] for row in others["rows"][table]} == {unit, other}
    assert {row["id"] for row in during["rows"]["units"]} == {unit, other}  # the van itself is no secret
    assert len(after["rows"]["markers"]) == 2
    assert before["epoch"] == after["epoch"] != during["epoch"]  # a tablet reads anew what it was not shown


def test_a_reopened_unit_comes_whole_into_the_plants_feed(plant, unit, client_as):
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "nib", "left.sill", "B1", size=3)
    plant.ines.do(unit, "marker_accepted", {"marker": marker})
    plant.ines.finish_walk(unit, walk)
    assert plant.ines.sign(unit).outcome == "applied"
    client = client_as("maud")
    n = client.get("/changes?since=0").json["n"]
    plant.maud.online(unit, "unit_reopened", {"reason": "a chip"})

    rows = client.get(f"/changes?since={n}").json["rows"]

    assert [row["id"] for row in rows["markers"]] == [marker]


def test_a_tablet_that_keeps_all_open_units_gets_each_whole_and_holds_up_no_signing(plant, unit, client_as):
    other = plant.unit("118940")
    walk = plant.ines.start_walk(other)
    plant.ines.mark(other, walk, "nib", "left.sill", "B1")
    assert (
        plant.ines.do(other, "zone_looked", {"walk": walk, "zone": "left.sill", "lap": "lamp", "found": 1}).outcome
        == "applied"
    )
    rows = client_as("lukasz").get("/changes?since=0&units=open").json["rows"]

    assert {row["id"] for row in rows["units"]} == {unit, other}
    assert [len(rows[table]) for table in ("walks", "looks", "markers")] == [1, 1, 1]
    assert plant.journal.read().execute("SELECT count(*) FROM seen_by").fetchone()[0] == 0


def test_of_the_looks_a_tablet_keeps_only_those_that_a_page_may_still_ask_about(plant, unit, client_as):
    client = client_as("lukasz")
    walk = plant.ines.start_walk(unit)
    for zone in ("left.sill", "left.sliding_door_lower"):
        plant.ines.do(unit, "zone_looked", {"walk": walk, "zone": zone, "lap": "lamp"})
    plant.ines.mark(unit, walk, "nib", "left.sliding_door_lower", "B1", size=15)

    def kept(since=0):
        answer = client.get(f"/changes?since={since}&units=open").json
        return [row["zone"] for row in answer["rows"]["looks"]], answer["n"]

    assert sorted(kept()[0]) == ["left.sill", "left.sliding_door_lower"]  # the walk goes on
    plant.ines.finish_walk(unit, walk)
    zones, before = kept()
    assert zones == []
    (job,) = plant.per.jobs(unit)
    plant.per.work(unit, job)
    again = plant.ines.start_walk(unit, "again")
    plant.ines.do(unit, "zone_looked", {"walk": again, "zone": "left.sliding_door_lower", "lap": "lamp"})
    plant.ines.do(unit, "walk_finished", {"walk": again})

    assert kept()[0] == ["left.sliding_door_lower"]  # the newer one; the one that work undid is not asked about
    assert kept(before)[0] == ["left.sliding_door_lower"] * 2  # whatever has changed since comes, as it is now


def test_what_is_kept_leaves_out_the_unit_on_which_somebody_is_on_a_second_walk(plant, unit, client_as):
    plant.ines.mark(unit, plant.ines.start_walk(unit), "nib", "left.sill", "B1")
    plant.lukasz.start_walk(unit, "second")

    assert client_as("lukasz").get("/changes?since=0&units=open").json["rows"]["markers"] == []
    assert len(client_as("per").get("/changes?since=0&units=open").json["rows"]["markers"]) == 1


def test_a_version_that_is_known_is_not_sent_again(plant, client_as):
    client = client_as("ines")
    for path in ("/lifecycle.json", "/catalogues/current.json"):
        known = client.get(path).headers["ETag"]
        assert client.get(path, headers={"If-None-Match": known}).status_code == 304
