"""The press: what is signed becomes a sheet, unchangeable, whatever stops or crashes on the way."""

import io
import os
import re
import signal
import stat
import threading
from concurrent.futures import Future

import pytest
from pypdf import PdfReader
from signed_units import concession, issued, late_marker, looked_again, put_right, ready, sheet_file, sign, walked

from inspect_app import create_app
from inspect_app.rooms.signoff.press import Press
from inspect_app.sheet.data import SheetError
from tests.pdf_text import words


@pytest.fixture
def house(app):
    return app.extensions["lampwalk"]


@pytest.fixture
def unit(plant):
    return ready(plant)


def test_the_sheet_says_which_unit_which_revision_what_was_found_and_who_did_what(app, client_as, unit):
    sign(client_as("ines"), unit)
    told = words(sheet_file(app, issued(app, unit)).read_bytes())

    for wanted in (
        "047 312",
        "ZZBRT6L10KA047312",
        "HB-101",
        "revision A",
        "B1",
        "B2",
        "polishing swirls",
        "Ines Okafor",
    ):
        assert wanted in told
    assert "Łukasz Brandt" in told  # who cleared
    assert "Żaneta Kowal" in told  # who pushed the dent
    assert "By PIN and signature." in told


def test_both_papers_are_made_in_the_sizes_of_iso_216_and_ansi(app, client_as, unit):
    sign(client_as("ines"), unit)
    row = issued(app, unit)

    sizes = {
        paper: tuple(round(float(edge)) for edge in PdfReader(sheet_file(app, row, paper)).pages[0].mediabox[2:])
        for paper in ("a4", "letter")
    }
    assert sizes == {"a4": (595, 842), "letter": (612, 792)}  # 210 × 297 mm and 8.5 × 11 in, in points of 1/72 in


def test_a_stored_sheet_is_named_by_its_content_and_for_reading_only(app, client_as, unit):
    import hashlib

    sign(client_as("ines"), unit)
    file = sheet_file(app, issued(app, unit))

    assert file.stem == hashlib.sha256(file.read_bytes()).hexdigest()
    assert stat.S_IMODE(file.stat().st_mode) == 0o400
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700
    assert [name for name in os.listdir(file.parent) if not name.endswith(".pdf")] == []


def test_a_sheet_is_handed_out_by_name_to_those_who_are_signed_in(app, client_as, unit):
    client = client_as("per")
    sign(client_as("ines"), unit)
    row = issued(app, unit)

    a4 = client.get(f"/sheets/{unit}/A.pdf")
    letter = client.get(f"/sheets/{unit}/A.pdf?paper=letter")

    assert a4.headers["X-Lampwalk-File"] == f"sheets/{row['a4']}.pdf"
    assert letter.headers["X-Lampwalk-File"] == f"sheets/{row['letter']}.pdf"
    assert a4.headers["Content-Disposition"] == 'inline; filename="047312_HB-101_A.pdf"'
    assert a4.mimetype == "application/pdf"
    assert app.test_client().get(f"/sheets/{unit}/A.pdf", headers={"X-Lampwalk": "1"}).status_code == 401
    assert client.get(f"/sheets/{unit}/B.pdf").status_code == 404
    assert client.get(f"/sheets/{unit}/A.pdf?paper=a3").status_code == 422


def set_paper(plant, paper: str) -> None:
    """Set the plant's paper, as its settings page does."""
    plant.journal.record_server("plant", "setting_changed", {"name": "paper", "value": paper})


def pages_in(app, folder_path: str) -> tuple[int, ...]:
    """The size of the first page of a file of the data folder, in points."""
    file = app.extensions["lampwalk"].journal.folder.path / folder_path
    return tuple(round(float(edge)) for edge in PdfReader(file).pages[0].mediabox[2:])


def test_a_sheet_opens_in_the_paper_its_plant_had_when_it_was_signed(app, plant, client_as, unit):
    set_paper(plant, "letter")
    client = client_as("ines")
    sign(client, unit)
    issued(app, unit)
    set_paper(plant, "a4")  # from now on; what was signed stays as it was

    opened, a4 = client.get(f"/sheets/{unit}/A.pdf"), client.get(f"/sheets/{unit}/A.pdf?paper=a4")

    assert pages_in(app, opened.headers["X-Lampwalk-File"]) == (612, 792)  # 8.5 × 11 in, in points of 1/72 in
    assert opened.headers["Content-Disposition"] == 'inline; filename="047312_HB-101_A.pdf"'
    assert pages_in(app, a4.headers["X-Lampwalk-File"]) == (595, 842)
    assert a4.headers["Content-Disposition"] == 'inline; filename="047312_HB-101_A_a4.pdf"'
    page = client.get(f"/sign-off/{unit}").text
    assert re.findall(r'href="(/sheets/[^"]+)">([^<]+)<', page) == [
        (f"/sheets/{unit}/A.pdf", "Open US Letter"),
        (f"/sheets/{unit}/A.pdf?paper=a4", "A4"),
    ]


def test_a_sheet_of_a_plant_that_never_chose_its_paper_opens_as_a4(app, client_as, unit):
    sign(client_as("ines"), unit)
    row = issued(app, unit)

    assert row["paper"] == "a4"
    assert row["bytes"] == sheet_file(app, row).stat().st_size


def test_the_real_server_sends_the_stored_bytes(app, plant, client_as, served, unit):
    import urllib.request

    client = client_as("ines")
    sign(client, unit)
    row = issued(app, unit)
    cookie = client.get_cookie("lampwalk").value

    request = urllib.request.Request(f"{served}/sheets/{unit}/A.pdf", headers={"Cookie": f"lampwalk={cookie}"})
    with urllib.request.urlopen(request) as answer:
        assert answer.read() == sheet_file(app, row).read_bytes()


def test_a_sheet_that_a_stop_left_is_made_at_the_next_start(app, plant, client_as, unit, monkeypatch):
    monkeypatch.setattr(Press, "submit", lambda *_: None)  # the server is killed right after it answered
    sign(client_as("ines"), unit)
    monkeypatch.undo()
    folder = app.extensions["lampwalk"].journal.folder.path
    (folder / "sheets" / "draft-left").write_bytes(b"%PDF-1.4 half")
    app.extensions["lampwalk"].close()

    again = create_app(folder)
    app.extensions["lampwalk"] = again.extensions["lampwalk"]  # which the fixture closes at the end
    again.extensions["lampwalk"].open()

    assert "047 312" in words(sheet_file(again, issued(again, unit)).read_bytes())
    assert not (folder / "sheets" / "draft-left").exists()


def test_reopening_leads_to_b_and_a_is_served_as_it_was(app, plant, client_as, unit):
    inspector, manager = client_as("lukasz"), client_as("maud")
    sign(inspector, unit)
    before = sheet_file(app, issued(app, unit)).read_bytes()
    late_marker(plant, unit)
    manager.post(f"/sign-off/{unit}/reopen", json={"reason": "A chip found at hand-over."})
    question = plant.rows("questions", unit)[0]["id"]
    inspector.post(f"/sign-off/{unit}/questions/{question}", json={"answer": "It is put right now."})
    marker = plant.rows("markers", unit)[-1]["id"]
    manager.post(f"/concessions/{concession(plant, unit, marker, reason='It is under the wiper.')}/agree", json={})
    plant.lukasz.confirm(unit)

    assert sign(inspector, unit).json["revision"] == "B"
    second = words(sheet_file(app, issued(app, unit, "B")).read_bytes())
    assert sheet_file(app, issued(app, unit, "A")).read_bytes() == before
    for wanted in ("revision B", "found after signing", "It is under the wiper.", "A chip found at hand-over."):
        assert wanted in second
    assert "B9" not in words(before)


def test_a_sheet_made_late_still_says_what_held_at_its_signing(app, plant, client_as, unit, monkeypatch, house):
    monkeypatch.setattr(Press, "submit", lambda *_: None)
    sign(client_as("ines"), unit)
    late_marker(plant, unit)
    client_as("maud").post(f"/sign-off/{unit}/reopen", json={"reason": "A chip."})
    put_right(plant, unit)
    monkeypatch.undo()

    house.press.submit(unit, "A")
    told = words(sheet_file(app, issued(app, unit)).read_bytes())

    assert "B9" not in told
    assert "found after signing" not in told
    assert "B2" in told


class Failing:
    """A pool whose first papers fail."""

    def __init__(self, fails: int):
        self.left = fails
        self.asked = 0

    def submit(self, data, paper="a4"):
        self.asked += 1
        answer: Future[bytes] = Future()
        if self.left:
            self.left -= 1
            answer.set_exception(SheetError("The drawing process stopped."))
        else:
            answer.set_result(b"%PDF-1.4 " + paper.encode())
        return answer

    def close(self):
        """Nothing to end."""


def pressed(house, pool) -> Press:
    """Put a press with this pool into the house."""
    house.press.close()
    house._press = Press(house.journal, house.photos, pool)
    return house._press


def settle(press: Press) -> None:
    """Wait until the press has nothing to do."""
    done = threading.Event()
    press._thread.submit(done.set)
    assert done.wait(60)


def test_a_sheet_that_fails_once_is_tried_again(house, plant, client_as, unit):
    press = pressed(house, Failing(1))
    sign(client_as("ines"), unit)
    settle(press)

    assert plant.rows("sheets", unit)[0]["state"] == "issued"
    assert press.trouble(unit, "A") is None


def test_a_sheet_that_fails_twice_stays_in_the_making_and_can_be_asked_for_again(house, plant, client_as, unit):
    press, client = pressed(house, Failing(2)), client_as("ines")
    sign(client, unit)
    settle(press)

    page = client.get(f"/sign-off/{unit}").text
    assert plant.rows("sheets", unit)[0]["state"] == "making"
    assert "The drawing process stopped." in page
    assert "Make it again" in page
    assert client.get(f"/sheets/{unit}/A.pdf").status_code == 404
    assert client.post(f"/sheets/{unit}/A/make").status_code == 200
    settle(press)
    assert plant.rows("sheets", unit)[0]["state"] == "issued"


def test_asking_twice_makes_it_once(house, client_as, unit):
    press, client = pressed(house, pool := Failing(0)), client_as("ines")
    sign(client, unit)
    client.post(f"/sheets/{unit}/A/make")
    client.post(f"/sheets/{unit}/A/make")
    settle(press)

    assert pool.asked == 2  # one for each paper


def test_a_drawing_process_that_is_killed_is_replaced(app, house, plant, client_as, unit):
    sign(client_as("ines"), unit)
    issued(app, unit)
    other = ready(plant, "118940")
    worker = next(iter(house.press._pool._executor._processes.values()))
    os.kill(worker.pid, signal.SIGKILL)

    sign(client_as("ines"), other)

    assert issued(app, other)["state"] == "issued"


def test_verify_is_clean_after_signing_and_names_a_sheet_that_was_touched(app, plant, client_as, unit):
    from inspect_app.journal.verify import verify

    sign(client_as("ines"), unit)
    file = sheet_file(app, issued(app, unit))
    assert verify(plant.journal.folder.path).clean

    file.chmod(0o600)
    file.write_bytes(file.read_bytes() + b"\n")

    assert "sheet A" in verify(plant.journal.folder.path).sentence


def test_photos_concessions_and_questions_are_on_the_sheet(app, plant, client_as, house):
    from sample_units.hands import new_id

    unit = plant.unit("203377")
    swirl, scratch = walked(
        plant,
        unit,
        ("swirl", "left.sliding_door_lower", {"size": 300}),
        ("scratch", "rear.door_left_upper", {"severity": "S4"}),
    )
    plant.ines.do(unit, "photo_added", {"photo": new_id(), "marker": swirl, "role": "found"})
    client_as("maud").post(f"/concessions/{concession(plant, unit, scratch)}/agree", json={})
    put_right(plant, unit)
    looked_again(plant, unit)
    plant.ines.confirm(unit)
    sign(client_as("ines"), unit)

    told = words(sheet_file(app, issued(app, unit)).read_bytes())
    for wanted in ("awaited", "Mr Holm", "by telephone", "Only seen from below.", "conceded", "Maud Esterházy"):
        assert wanted in told


def test_stored_photos_are_printed_with_their_marker_before_and_after(app, plant, client_as):
    from PIL import Image

    from sample_units.hands import new_id

    unit = plant.unit()
    swirl = walked(plant, unit, ("swirl", "left.sliding_door_lower", {"size": 300}))[0]
    job, client = plant.per.jobs(unit)[0], client_as("per")
    found, after = new_id(), new_id()
    plant.ines.do(unit, "photo_added", {"photo": found, "marker": swirl, "role": "found"})
    plant.per.do(unit, "photo_added", {"photo": after, "job": job["id"], "role": "after"})
    for key, colour in ((found, (90, 110, 130)), (after, (60, 80, 100))):
        file = io.BytesIO()
        Image.new("RGB", (800, 600), colour).save(file, "JPEG")
        assert client.put(f"/photos/{key}", data=file.getvalue()).status_code == 200
    ring = {"form": "ring", "x": 300, "y": 300, "x2": 500, "y2": 600}
    arrow = {"form": "arrow", "x": 900, "y": 100, "x2": 600, "y2": 400}
    assert plant.ines.do(unit, "photo_marked", {"photo": found, "marks": [ring, arrow]}).outcome == "applied"
    put_right(plant, unit)
    looked_again(plant, unit)
    plant.ines.confirm(unit)
    sign(client_as("ines"), unit)

    pages = PdfReader(sheet_file(app, issued(app, unit))).pages
    assert sum(len(page.images) for page in pages) == 2
    drawn = b"".join(page.get_contents().get_data() for page in pages)
    assert drawn.count(b"1 1 1 RG") > 0  # the light rim under the wax stands nowhere else on this sheet
    told = words(sheet_file(app, issued(app, unit)))
    assert ("before" in told, "after" in told, "awaited" in told) == (True, True, False)


def test_a_tablet_passed_over_is_told_on_the_sheet_with_who_said_so_and_why(app, plant, client_as, unit):
    plant.journal.note("INSERT INTO seen_by VALUES (?, ?, ?, 0, 1)", (plant.lukasz.tablet, unit, plant.journal.clock()))
    body = {"tablet": plant.lukasz.tablet, "reason": "Its battery is flat."}
    client_as("maud").post(f"/sign-off/{unit}/gates/marks", json=body)
    sign(client_as("ines"), unit)

    told = words(sheet_file(app, issued(app, unit)).read_bytes())

    assert "overridden" in told
    assert "Its battery is flat." in told
    assert "Maud Esterházy" in told
