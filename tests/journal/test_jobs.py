"""Jobs: an ordered chain; each department sees its step when its turn comes, and only the last makes a marker reworked."""

from datetime import UTC, datetime, timedelta

import pytest

from inspect_app.journal.verify import verify


@pytest.fixture
def unit(plant):
    return plant.unit()


@pytest.fixture
def chained(plant, unit):
    """A dent with broken paint on a walked unit: body first, then paint, then polish."""
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "dent", "right.cab_door_lower", "B1", size=120)
    plant.ines.do(unit, "marker_amended", {"marker": marker, "method": "dent_refinish"})
    plant.ines.finish_walk(unit, walk)
    return marker


def chain(plant, unit):
    return [
        (job["department"], job["state"])
        for job in sorted(plant.rows("jobs", unit), key=lambda job: job["step"])
        if job["state"] != "cancelled"
    ]


def test_a_chain_starts_with_its_first_department_only(plant, unit, chained):
    assert [state for _, state in chain(plant, unit)] == ["ready", "waiting", "waiting"]
    assert [department for department, _ in chain(plant, unit)] == ["body", "paint", "polish"]
    assert plant.thanh.jobs(unit) == []


def test_each_step_done_gives_the_turn_to_the_next_and_only_the_last_makes_it_reworked(plant, unit, chained):
    states = []
    for hands in (plant.zaneta, plant.thanh, plant.per):
        answer = hands.work(unit, hands.jobs(unit)[0], minutes=30)
        states.append((answer.outcome, plant.row("markers", chained)["state"]))

    assert states == [("applied", "in_rework"), ("applied", "in_rework"), ("applied", "reworked")]


def test_a_job_is_not_taken_before_its_cautions_are_read(plant, unit, chained):
    job = plant.zaneta.jobs(unit)[0]

    assert plant.zaneta.do(unit, "job_taken", {"job": job["id"], "cautions": []}).code == "cautions_seen"


def test_a_job_of_another_department_is_not_taken(plant, unit, chained):
    job = plant.zaneta.jobs(unit)[0]

    assert plant.thanh.take(unit, job).code == "in_department"


def test_a_second_take_is_flagged_and_the_first_keeps_the_job(plant, unit, chained):
    job = plant.zaneta.jobs(unit)[0]
    plant.zaneta.take(unit, job)
    other = plant.per
    other.departments = ("body",)
    other.sign_in()

    assert other.take(unit, job).outcome == "flagged"
    assert plant.row("jobs", job["id"])["taken_by"] == plant.people["zaneta"]


def test_a_job_handed_back_is_free_again_and_its_markers_open(plant, unit, chained):
    job = plant.zaneta.jobs(unit)[0]
    plant.zaneta.take(unit, job)
    plant.zaneta.do(unit, "job_handed_back", {"job": job["id"], "reason": "no light"})

    assert plant.row("jobs", job["id"])["state"] == "ready"
    assert plant.row("markers", chained)["state"] == "open"


def test_nobody_hands_back_the_job_of_another(plant, unit, chained):
    job = plant.zaneta.jobs(unit)[0]
    plant.zaneta.take(unit, job)

    assert plant.thanh.do(unit, "job_handed_back", {"job": job["id"], "reason": "mine"}).code == "nobody_elses"


def test_only_whoever_has_a_job_or_a_manager_lets_it_go(plant, unit, chained):
    job = plant.zaneta.jobs(unit)[0]
    plant.zaneta.take(unit, job)
    of_job = {"job": job["id"], "department": "paint", "reason": "paint only"}
    for hands, event, body in (
        (plant.thanh, "job_rerouted", of_job),
        (plant.ines, "job_rerouted", of_job),
        (plant.thanh, "step_inserted", {**of_job, "method": "spot_repair"}),
    ):
        assert hands.do(unit, event, body).code == "nobody_elses"
    assert plant.row("jobs", job["id"])["taken_by"] == plant.people["zaneta"]

    gone_home = {"job": job["id"], "reason": "gone home"}
    assert plant.maud.do(unit, "job_handed_back", gone_home).outcome == "applied"
    assert plant.row("jobs", job["id"])["state"] == "ready"
    assert plant.row("markers", chained)["state"] == "open"
    assert plant.ines.do(unit, "job_rerouted", of_job).outcome == "applied"  # nobody has it now
    assert verify(plant.journal.folder.path).clean


def test_the_wrong_department_sends_it_to_the_right_one(plant, unit, chained):
    job = plant.zaneta.jobs(unit)[0]
    plant.zaneta.do(unit, "job_rerouted", {"job": job["id"], "department": "paint", "reason": "paint only"})

    assert [one["id"] for one in plant.thanh.jobs(unit)] == [job["id"]]
    assert plant.row("markers", chained)["department"] == "paint"


def test_an_inserted_step_comes_before_the_rest_of_the_chain(plant, unit, chained):
    plant.zaneta.work(unit, plant.zaneta.jobs(unit)[0])
    plant.thanh.work(unit, plant.thanh.jobs(unit)[0])
    polish = next(job for job in plant.per.jobs(unit) if job["department"] == "polish")
    plant.per.take(unit, polish)
    body = {"job": polish["id"], "method": "spot_repair", "department": "paint", "reason": "broke through"}
    assert plant.per.do(unit, "step_inserted", body).outcome == "applied"

    assert chain(plant, unit) == [("body", "done"), ("paint", "done"), ("paint", "ready"), ("polish", "waiting")]
    plant.thanh.work(unit, plant.thanh.jobs(unit)[0])
    plant.per.work(unit, polish)
    assert plant.row("markers", chained)["state"] == "reworked"


def test_a_spot_nobody_can_find_becomes_a_question_and_comes_back_with_its_answer(plant, unit, chained):
    job = plant.zaneta.jobs(unit)[0]
    plant.zaneta.do(unit, "spot_not_found", {"job": job["id"], "marker": chained, "reason": "nothing there"})

    assert plant.zaneta.jobs(unit) == []
    question = plant.rows("questions", unit)[0]
    plant.ines.do(unit, "question_answered", {"question": question["id"], "answer": "look below the handle"})
    assert plant.zaneta.jobs(unit)[0]["reason"] == "look below the handle"


def test_no_flaw_is_proposed_by_a_technician_and_decided_by_an_inspector(plant, unit, chained):
    job = plant.zaneta.jobs(unit)[0]
    plant.zaneta.do(unit, "no_flaw_proposed", {"job": job["id"], "marker": chained, "reason": "a reflection"})
    assert plant.row("jobs", job["id"])["state"] == "cancelled"

    assert plant.zaneta.do(unit, "no_flaw_decided", {"marker": chained, "agreed": True}).code == "roles"
    plant.ines.do(unit, "no_flaw_decided", {"marker": chained, "agreed": True})
    assert plant.row("markers", chained)["state"] == "no_flaw"


def test_no_flaw_declined_goes_back_to_the_list(plant, unit, chained):
    job = plant.zaneta.jobs(unit)[0]
    plant.zaneta.do(unit, "no_flaw_proposed", {"job": job["id"], "marker": chained, "reason": "a reflection"})
    plant.ines.do(unit, "no_flaw_decided", {"marker": chained, "agreed": False})

    assert len(plant.zaneta.jobs(unit)) == 1


def test_waiting_for_a_part_holds_the_job_until_it_has_come(plant, unit, chained):
    job = plant.zaneta.jobs(unit)[0]
    plant.zaneta.do(unit, "waiting_for", {"job": job["id"], "what": "filler", "until": plant.journal.clock() + 1000})
    assert plant.zaneta.take(unit, job).outcome == "flagged"

    plant.zaneta.do(unit, "waiting_for", {"job": job["id"], "what": ""})
    assert plant.zaneta.take(unit, job).outcome == "applied"


def test_markers_of_one_part_and_method_share_a_job(plant, unit):
    walk = plant.ines.start_walk(unit)
    for number in range(1, 4):
        plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", f"B{number}", size=15)
    plant.ines.mark(unit, walk, "nib", "right.cab_door_lower", "B4", size=15)
    plant.ines.finish_walk(unit, walk)

    parts = sorted(job["part"] for job in plant.rows("jobs", unit) if job["step"] == 1)
    assert parts == ["cab_door_left", "cab_door_right"]


def test_a_sent_back_marker_is_open_with_its_return_counted_and_a_new_job(plant, unit):
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "swirl", "left.cab_door_lower", "B1", size=300)
    plant.ines.finish_walk(unit, walk)
    plant.per.work(unit, plant.per.jobs(unit)[0])
    plant.ines.do(unit, "marker_sent_back", {"marker": marker, "reason": "still there"})

    row = plant.row("markers", marker)
    assert (row["state"], row["returns"], row["attempt"]) == ("open", 1, 2)
    assert plant.per.jobs(unit)[0]["reason"] == "still there"


def test_a_fixer_cannot_clear_their_own_marker_in_any_later_attempt(plant, unit):
    plant.per.roles = ("technician", "inspector")
    plant.per.sign_in()
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "swirl", "left.cab_door_lower", "B1", size=300)
    plant.ines.finish_walk(unit, walk)
    plant.per.work(unit, plant.per.jobs(unit)[0])
    plant.ines.do(unit, "marker_sent_back", {"marker": marker, "reason": "still there"})
    plant.dmytro.departments = ("polish",)
    plant.dmytro.sign_in()
    plant.dmytro.work(unit, plant.dmytro.jobs(unit)[0])

    assert plant.per.do(unit, "marker_cleared", {"marker": marker}).code == "not_fixer"
    assert plant.ines.do(unit, "marker_cleared", {"marker": marker}).outcome == "applied"


def test_nothing_is_cleared_while_it_cures(plant, unit):
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "nib", "left.cab_door_lower", "B1", size=15)
    plant.ines.finish_walk(unit, walk)
    plant.per.work(unit, plant.per.jobs(unit)[0])
    wait = plant.journal.catalogue().methods[plant.row("markers", marker)["method"]].wait_minutes
    assert wait > 0

    early = plant.lukasz.do(unit, "marker_cleared", {"marker": marker})
    assert early.code == "cured"
    done = datetime.fromtimestamp(plant.rows("work", unit)[0]["at"] / 1000, UTC)
    until = done + timedelta(minutes=wait)
    assert early.reason == (
        f"A1 is still curing: Per Halvorsen has done “cut the nib and polish” there, {done:%Y-%m-%d %H:%M};"
        f" look at it again from {until:%Y-%m-%d %H:%M}."
    ).replace("A1", plant.row("markers", marker)["tag"])


def test_work_voids_the_looks_its_method_names(plant, unit):
    walk = plant.ines.start_walk(unit)
    plant.ines.mark(unit, walk, "swirl", "left.cab_door_lower", "B1", size=300)
    plant.ines.finish_walk(unit, walk)
    plant.per.work(unit, plant.per.jobs(unit)[0])

    voided = {look["zone"] for look in plant.rows("looks", unit) if look["voided"]}
    assert "left.cab_door_lower" in voided
    assert plant.row("units", unit)["stage"] == "to_look_again"


# ---------------------------------------------------------------------------------------------- no marker without its jobs, none with two


def live(plant, marker):
    """The chains a marker is in that are not over, each once."""
    sql = (
        "SELECT DISTINCT j.chain FROM job_markers m JOIN jobs j ON j.id = m.job WHERE m.marker = ? AND m.left_out = 0"
        " AND j.state IN ('ready', 'taken', 'waiting')"
    )
    return [row["chain"] for row in plant.journal.read().execute(sql, (marker,))]


def amend(plant, unit, marker, **changed):
    answer = plant.ines.do(unit, "marker_amended", {"marker": marker, **changed})
    assert answer.outcome == "applied", answer.reason


def test_an_observation_that_turns_out_to_be_more_gets_its_jobs_after_the_walk(plant, unit, chained):
    amend(plant, unit, chained, severity="S5")
    assert live(plant, chained) == []

    amend(plant, unit, chained, severity="S3")

    assert len(live(plant, chained)) == 1
    assert [job["department"] for job in plant.zaneta.jobs(unit)] == ["body"]


def test_an_amendment_while_the_walk_goes_on_plans_nothing(plant, unit):
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "scratch", "right.cab_door_lower", "B1", severity="S5")
    amend(plant, unit, marker, severity="S3")

    assert plant.rows("jobs", unit) == []


def test_what_waits_for_its_second_look_gets_no_new_jobs_by_an_amendment(plant, unit):
    walk = plant.ines.start_walk(unit)
    marker = plant.ines.mark(unit, walk, "scratch", "right.cab_door_lower", "B1", severity="S4")
    plant.ines.finish_walk(unit, walk)
    plant.ines.do(unit, "put_right_here", {"marker": marker, "how": "hand_polish"})

    amend(plant, unit, marker, method="dent_refinish", method_reason="the metal is bent, too")

    assert live(plant, marker) == []
    assert [job for job in plant.rows("jobs", unit) if job["state"] == "ready"] == []
    plant.lukasz.do(unit, "marker_sent_back", {"marker": marker, "reason": "still there"})
    assert [job["method"] for job in plant.zaneta.jobs(unit)] == ["dent_refinish"]


@pytest.fixture
def two(plant, unit):
    """Two swirls of one job on a walked unit, and the job."""
    walk = plant.ines.start_walk(unit)
    made = [plant.ines.mark(unit, walk, "swirl", "right.cab_door_lower", tag, size=300) for tag in ("B1", "B2")]
    plant.ines.finish_walk(unit, walk)
    return (*made, plant.per.jobs(unit)[0])


def test_two_who_cannot_find_one_spot_ask_once(plant, unit, two):
    marker, _, job = two
    body = {"job": job["id"], "marker": marker, "reason": "nothing there"}

    first, second = plant.per.do(unit, "spot_not_found", body), plant.thanh.do(unit, "spot_not_found", body)

    assert (first.outcome, second.code) == ("applied", "left_job")
    assert second.reason == "B1 has left this job already: an inspector has been asked about it."
    assert plant.thanh.do(unit, "no_flaw_proposed", body).code == "left_job"
    assert len(plant.rows("questions", unit)) == 1


def test_an_answer_does_not_plan_what_has_its_jobs_or_may_be_no_flaw(plant, unit, two):
    marker, _, job = two
    plant.per.do(unit, "spot_not_found", {"job": job["id"], "marker": marker, "reason": "nothing there"})
    plant.per.do(unit, "no_flaw_proposed", {"marker": marker, "reason": "a reflection"})
    question = plant.rows("questions", unit)[0]["id"]

    plant.ines.do(unit, "question_answered", {"question": question, "answer": "above the handle"})
    assert live(plant, marker) == []

    plant.ines.do(unit, "no_flaw_decided", {"marker": marker, "agreed": False})
    assert len(live(plant, marker)) == 1


def test_a_marker_does_not_join_a_chain_that_has_a_step_put_before_it(plant, unit, two):
    _, _, job = two
    body = {"job": job["id"], "method": "touch_in", "department": "paint", "reason": "broke through"}
    plant.per.do(unit, "step_inserted", body)
    fresh = plant.ines.mark(unit, None, "chip", "right.cab_door_lower", "B3", size=8)
    amend(plant, unit, fresh, method="touch_in", method_reason="the customer asked for it")

    assert job["chain"] not in live(plant, fresh)
    assert len(live(plant, fresh)) == 1


def test_a_job_sent_on_while_it_was_in_hand_leaves_its_markers_open(plant, unit, chained):
    job = plant.zaneta.jobs(unit)[0]
    plant.zaneta.take(unit, job)
    plant.zaneta.do(unit, "job_rerouted", {"job": job["id"], "department": "paint", "reason": "paint only"})

    assert plant.row("markers", chained)["state"] == "open"
    assert plant.ines.do(unit, "marker_withdrawn", {"marker": chained, "reason": "dust"}).outcome == "applied"
    assert verify(plant.journal.folder.path).clean
