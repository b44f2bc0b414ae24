"""Which method a job has: the mildest open one, another that somebody chooses, a barred one only with a reason.

Which methods are barred and why stands in trade/catalogue/selectors.toml (common practice, no source); here it is asked
whether the journal keeps to it.
"""

import pytest

from inspect_app.journal.verify import verify
from sample_units.hands import new_id

SPOT = ("left.sliding_door_lower", {"size": 15})


@pytest.fixture
def unit(plant):
    return plant.unit()


@pytest.fixture
def nib(plant, unit):
    """A small nib on the left sliding door, its walk finished; and its job."""
    return marked(plant, unit, "nib", "left.sliding_door_lower", size=15)


def marked(plant, unit, kind, zone, **more):
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, kind, zone, "B1", **more)
    assert plant.ines.finish_walk(unit, walk).outcome == "applied"
    return marker, open_job(plant, unit)


def open_job(plant, unit):
    (job,) = (row for row in plant.rows("jobs", unit) if row["state"] in ("ready", "taken"))
    return job


def choose(hands, unit, job, method, **more):
    return hands.do(unit, "method_chosen", {"job": job["id"], "method": method, **more})


def methods(plant, unit):
    rows = sorted(plant.rows("jobs", unit), key=lambda job: (job["step"], job["n"]))
    return [(job["method"], job["department"], job["state"]) for job in rows if job["state"] != "cancelled"]


def polished(plant, unit, marker, reason="still felt"):
    """The job done, looked at after its cure and sent back."""
    assert plant.per.work(unit, open_job(plant, unit)).outcome == "applied"
    assert plant.lukasz.do(unit, "marker_sent_back", {"marker": marker, "reason": reason}).outcome == "applied"


def test_the_usual_method_is_planned_where_it_is_open(plant, unit, nib):
    assert methods(plant, unit) == [("denib_polish", "polish", "ready")]


@pytest.mark.parametrize(
    ("kind", "more", "planned"),
    [
        ("nib", {"size": 20}, "flat_polish"),  # above 1.5 mm cutting leaves a hollow
        ("chip", {"size": 8}, "spot_repair"),  # on class A a dab shows
        ("nib", {"size": 10, "count": 9}, "flat_polish"),  # more than eight on a part
    ],
)
def test_where_it_is_barred_the_mildest_open_one_is_planned_and_the_history_says_why(
    plant, unit, client_as, kind, more, planned
):
    marker, job = marked(plant, unit, kind, "left.sliding_door_lower", **more)

    assert job["method"] == planned
    assert plant.row("markers", marker)["method"] == planned
    assert plant.row("markers", marker)["department"] == job["department"]
    assert "not by “" in client_as("ines").get(f"/units/{unit}/history").text
    assert verify(plant.journal.folder.path).clean


def test_another_open_method_is_chosen_without_a_reason_and_brings_its_steps(plant, unit, nib):
    marker, job = nib

    assert choose(plant.per, unit, job, "refinish").outcome == "applied"

    assert methods(plant, unit) == [("refinish", "paint", "ready"), ("refinish", "polish", "waiting")]
    assert open_job(plant, unit)["id"] == job["id"]
    assert plant.row("markers", marker)["department"] == "paint"
    for hands in (plant.thanh, plant.per):
        assert hands.work(unit, hands.jobs(unit)[0]).outcome == "applied"
    assert plant.row("markers", marker)["state"] == "reworked"
    assert verify(plant.journal.folder.path).clean


def test_a_barred_method_is_refused_without_a_reason_and_kept_with_one(plant, unit, nib, client_as):
    _, job = nib
    told = choose(plant.per, unit, job, "strip_refinish")
    assert (told.outcome, told.code) == ("refused", "barred")
    assert told.reason == (
        "“take off, strip, repaint all round, refit” is barred here (B1: only a plastic trim is taken off and stripped);"
        " choose another way, or say why it is done all the same."
    )
    assert plant.row("jobs", job["id"])["method"] == "denib_polish"

    assert choose(plant.per, unit, job, "strip_refinish", reason="a plastic skin lies over it").outcome == "applied"

    row = plant.row("jobs", job["id"])
    assert (row["method"], row["method_reason"], row["method_by"]) == (
        "strip_refinish", "a plastic skin lies over it", plant.people["per"],
    )  # fmt: skip
    assert "a plastic skin lies over it" in client_as("ines").get(f"/units/{unit}/history").text
    assert verify(plant.journal.folder.path).clean


def test_what_is_seen_close_by_bars_the_job_until_another_way_is_chosen_or_a_reason_is_given(plant, unit, nib):
    marker, job = nib
    assert plant.per.do(unit, "spot_examined", {"marker": marker, "on_edge": False}).outcome == "applied"
    assert plant.per.do(unit, "spot_examined", {"marker": marker, "depth": "base"}).outcome == "applied"
    told = plant.per.take(unit, job)
    assert (told.code, "polishing opens it" in told.reason) == ("barred", True)

    assert choose(plant.per, unit, job, "denib_polish").code == "barred"
    assert choose(plant.per, unit, job, "denib_polish", reason="only dust in the base").outcome == "applied"

    assert plant.per.take(unit, plant.row("jobs", job["id"])).outcome == "applied"
    assert plant.row("markers", marker)["examined"] == '{"depth": "base", "on_edge": false}'
    assert verify(plant.journal.folder.path).clean


def test_polishing_is_barred_when_too_little_clear_would_stay_and_is_open_again_on_a_new_film(plant, unit, nib):
    marker, _ = nib
    polished(plant, unit, marker)
    assert open_job(plant, unit)["method"] == "denib_polish"
    polished(plant, unit, marker)  # twice 4 of the 40 µm that are assumed; 30 must stay

    job = open_job(plant, unit)
    assert (job["attempt"], job["method"]) == (3, "spot_repair")
    told = choose(plant.thanh, unit, job, "denib_polish")
    assert "B1: 28 µm of clear would stay (assumed, not read); 30 µm must" in told.reason

    plant.thanh.work(unit, job)
    plant.per.work(unit, open_job(plant, unit))
    plant.lukasz.do(unit, "marker_sent_back", {"marker": marker, "reason": "dust"})
    fresh = open_job(plant, unit)
    assert (fresh["attempt"], fresh["method"]) == (4, "spot_repair")  # it stays what it has become
    assert choose(plant.thanh, unit, fresh, "denib_polish").outcome == "applied"


def test_the_same_way_again_needs_no_event(plant, unit, nib):
    assert choose(plant.per, unit, nib[1], "denib_polish").code == "same"


@pytest.mark.parametrize("key", ["no_such_method", "put_right_here"])
def test_a_method_nobody_knows_is_refused(plant, unit, nib, key):
    assert choose(plant.per, unit, nib[1], key).code == "no_method"


def test_a_job_of_someone_else_or_one_that_is_begun_keeps_its_method(plant, unit, nib):
    _, job = nib
    choose(plant.per, unit, job, "refinish")
    plant.thanh.take(unit, plant.row("jobs", job["id"]))
    assert choose(plant.per, unit, job, "spot_repair").code == "nobody_elses"
    plant.thanh.do(unit, "work_done", {"job": job["id"], "minutes": 200})

    second = plant.per.jobs(unit)[0]
    assert choose(plant.per, unit, second, "flat_polish").code == "begun"


def test_the_inspectors_choice_goes_through_the_same(plant, unit, nib):
    marker, _ = nib
    strange = plant.ines.do(unit, "marker_amended", {"marker": marker, "method": "reseal"})
    assert "(B1: it is no usual way for this kind)" in strange.reason

    told = plant.ines.do(unit, "marker_amended", {"marker": marker, "method": "strip_refinish"})
    assert told.code == "barred"
    body = {"marker": marker, "method": "strip_refinish", "method_reason": "a plastic skin lies over it"}
    assert plant.ines.do(unit, "marker_amended", body).outcome == "applied"
    assert open_job(plant, unit)["method"] == "strip_refinish"
    assert plant.row("markers", marker)["method_reason"] == "a plastic skin lies over it"
    plant.zaneta.departments = ("strip",)
    plant.zaneta.sign_in()
    assert plant.zaneta.take(unit, open_job(plant, unit)).outcome == "applied"  # its reason goes with it


def test_nothing_seen_is_refused_with_a_sentence(plant, unit, nib):
    told = plant.per.do(unit, "spot_examined", {"marker": nib[0]})

    assert told.code == "malformed"
    assert "it says nothing that was seen" in told.reason


def test_only_a_manager_puts_a_job_first(plant, unit, nib):
    _, job = nib
    assert plant.per.do(unit, "job_pinned", {"job": job["id"], "pinned": True}).code == "roles"
    assert plant.maud.do(unit, "job_pinned", {"job": job["id"], "pinned": True}).outcome == "applied"
    assert plant.row("jobs", job["id"])["pinned_by"] == plant.people["maud"]
    assert plant.maud.do(unit, "job_pinned", {"job": job["id"], "pinned": False}).outcome == "applied"
    assert plant.row("jobs", job["id"])["pinned_by"] is None
    assert verify(plant.journal.folder.path).clean


def test_a_film_that_was_read_thin_bars_what_cuts_until_a_new_film_lies_on_it(plant, unit, nib):
    _, job = nib
    told = {"reading": new_id(), "what": "film", "part": "sliding_door_left", "method": "magnetic", "film": 650}
    plant.per.online(unit, "reading_taken", told)

    refused = plant.per.take(unit, job)

    assert refused.code == "barred"
    assert "the whole film is 65 µm (magnetic gauge); below 70 µm nothing is cut" in refused.reason
    assert choose(plant.thanh, unit, job, "refinish").outcome == "applied"
    plant.thanh.work(unit, plant.row("jobs", job["id"]))
    plant.per.work(unit, plant.per.jobs(unit)[0])
    plant.lukasz.do(unit, "marker_sent_back", {"marker": nib[0], "reason": "dust"})
    assert choose(plant.thanh, unit, open_job(plant, unit), "denib_polish").outcome == "applied"
