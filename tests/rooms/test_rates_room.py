"""Rates: what is counted, on which vans, and how it is told."""

from __future__ import annotations

import csv
import io
from datetime import UTC, datetime

import pytest
from desk import Desk, fault_beside, said

from inspect_app.rooms.rates.sheet import COLUMNS, harmless

ZONE = "left.sliding_door_lower"  # class A


@pytest.fixture
def maud(client_as):
    return Desk(client_as("maud"))


class Made:
    """Six vans walked for the first time: 12 marks stand, 10 made by paint and 2 by handling; more that do not count."""

    def __init__(self, plant):
        self.plant, self.marks = plant, []
        self.units = [plant.unit(f"{600_000 + number}") for number in range(6)]
        for number, unit in enumerate(self.units):
            walk = plant.ines.start_walk(unit)
            kinds = ("nib", "nib") if number else ("dent", "dent")
            self.marks += [plant.ines.mark(unit, walk, kind, ZONE, f"B{n}", size=15) for n, kind in enumerate(kinds, 1)]
            if number == 5:
                self.not_counted(unit, walk)
            plant.ines.finish_walk(unit, walk)
        self.judge()

    def not_counted(self, unit, walk):
        """A note, a withdrawn mark and one joined to another."""
        ines = self.plant.ines
        ines.mark(unit, walk, "nib", ZONE, "B3", size=15, severity="S5")
        gone, double = (ines.mark(unit, walk, "nib", ZONE, tag, size=15) for tag in ("B4", "B5"))
        ines.do(unit, "marker_withdrawn", {"marker": gone, "reason": "dust on the lamp"})
        ines.do(unit, "marker_joined", {"marker": double, "into": self.marks[-1]})

    def judge(self):
        """A person judges three of paint's nibs: they stay paint's, but no longer only by assumption."""
        for marker in self.marks[2:5]:
            unit = self.plant.row("markers", marker)["unit"]
            self.plant.ines.do(unit, "origin_revised", {"marker": marker, "origin": "paint"})


def table(client, query="") -> list[dict[str, str]]:
    answer = client.get(f"/rates.csv{query}")
    assert answer.status_code == 200, said(answer)
    return list(csv.DictReader(io.StringIO(answer.data.decode("utf-8-sig"))))


def line(rows, by, key) -> dict[str, str]:
    return next(row for row in rows if (row["by"], row["key"]) == (by, key))


def test_the_rates_are_those_worked_out_by_hand(plant, maud):
    Made(plant)

    rows = table(maud)

    # 10 marks on 6 vans: 10 / 6 = 1.6667; Garwood's ends for 10 are 4.795389 and 18.390356 (Pearson and Hartley,
    # Biometrika Tables vol. 1, table 40, print 4.80 and 18.39), so over 6 vans 0.7992 and 3.0651. 7 of 10 are assumed.
    paint = line(rows, "origin", "paint")
    assert (paint["marks"], paint["n"], paint["rate"], paint["assumed_share"]) == ("10", "6", "1.6667", "0.7000")
    assert float(paint["low"]) == pytest.approx(4.795389 / 6, abs=5e-5)
    assert float(paint["high"]) == pytest.approx(18.390356 / 6, abs=5e-5)
    # 2 marks on 6 vans: the tables print 0.24 and 7.22 for 2.
    dent = line(rows, "kind", "dent")
    assert dent["rate"] == "0.3333"
    assert float(dent["low"]) == pytest.approx(0.24 / 6, abs=0.005)
    assert float(dent["high"]) == pytest.approx(7.22 / 6, abs=0.005)


def test_each_grouping_holds_every_mark_once(plant, maud):
    made = Made(plant)

    rows = table(maud)

    for by in ("origin", "department", "kind", "class"):
        assert sum(int(row["marks"]) for row in rows if row["by"] == by) == len(made.marks), by


def test_notes_withdrawn_and_joined_marks_are_left_out_and_named(plant, maud):
    Made(plant)

    told = maud.words("/rates")

    assert "2.0 marks a van (1.0 to 3.5, 6 vans)" in told  # 12 / 6; Garwood for 12 is 6.20 to 20.96
    assert "Not counted: 2 withdrawn, joined to another or no flaw; 1 only noted (S5)." in told


def test_escapes_are_counted_apart(plant, maud):
    units = Made(plant).units
    clean = plant.unit("700000")
    plant.ines.finish_walk(clean, plant.ines.start_walk(clean))
    assert plant.ines.sign(clean).outcome == "applied"
    plant.lukasz.mark(clean, None, "nib", ZONE, "C1", size=15)

    told = maud.words("/rates")

    assert f"n = {len(units) + 1} vans" in told
    assert "1 found after signing (escapes)" in told
    assert "1.7 marks a van" in told  # 12 / 7


def test_marks_of_a_later_walk_do_not_raise_the_rate_of_the_first(plant, maud):
    made = Made(plant)
    walk = plant.lukasz.start_walk(made.units[0], "second")
    plant.lukasz.mark(made.units[0], walk, "run", ZONE, "C1", size=200)

    told = maud.words("/rates")

    assert "2.0 marks a van" in told
    assert "1 found on a later walk" in told


def test_a_van_whose_walk_is_not_finished_counts_neither_above_nor_below(plant, maud):
    Made(plant)
    unit = plant.unit("700000")
    plant.ines.mark(unit, plant.ines.start_walk(unit), "nib", ZONE, "B1", size=15)

    assert "2.0 marks a van (1.0 to 3.5, 6 vans)" in maud.words("/rates")


def test_vans_of_another_period_are_not_counted(plant, maud):
    Made(plant)

    told = maud.words("/rates?from=2020-01-01&to=2020-02-01")

    assert "Nothing to count in these days." in told
    assert table(maud, "?from=2020-01-01&to=2020-02-01") == []


def test_both_days_of_a_period_belong_to_it_by_the_plants_midnight(plant, maud):
    Made(plant)
    today = datetime.fromtimestamp(plant.journal.clock() / 1000, UTC).date()

    assert "n = 6 vans" in maud.words(f"/rates?from={today}&to={today}")


def test_a_van_walked_for_the_first_time_twice_counts_once(plant, maud):
    made = Made(plant)
    plant.lukasz.finish_walk(made.units[0], plant.lukasz.start_walk(made.units[0]))

    assert "n = 6 vans" in maud.words("/rates")


def test_below_five_vans_no_rate_is_told_but_the_count_is(plant, maud):
    unit = plant.unit()
    walk = plant.ines.start_walk(unit)
    plant.ines.mark(unit, walk, "nib", ZONE, "B1", size=15)
    plant.ines.finish_walk(unit, walk)

    told, paint = maud.words("/rates"), line(table(maud), "origin", "paint")

    assert "only 1 van, a rate needs 5" in told
    assert (paint["marks"], paint["rate"], paint["not_shown"]) == ("1", "", "only 1 van, a rate needs 5")


def test_the_page_narrows_to_one_department_and_back(plant, maud):
    Made(plant)

    page = maud.get("/rates?origin=handling")

    assert "0.33 marks a van" in said(page)
    assert "Which department makes the marks?" not in said(page)
    assert [row["key"] for row in table(maud, "?origin=handling") if row["by"] == "kind"] == ["dent"]


def test_every_sentence_has_its_plot_and_its_table(plant, maud):
    Made(plant)

    page = maud.get("/rates")

    assert page.text.count('<svg xmlns="http://www.w3.org/2000/svg" class="rate-plot"') == 4
    assert page.text.count('<table class="ruled">') == 4
    assert "Paint makes most: 1.7 marks a van (0.80 to 3.1, 6 vans)" in said(page)
    assert "9 of these 12 origins are only assumed" in said(page)
    assert " style=" not in page.text


@pytest.mark.parametrize(
    ("query", "field", "sentence"),
    [
        ("?from=soon&to=2026-03-14", "from", "'From' is not a day (got 'soon')"),
        ("?from=2026-02-30&to=2026-03-14", "from", "'From' is not a day"),
        ("?from=1026-02-03&to=2026-03-14", "from", "'From' lies in the year 1026"),
        ("?from=2026-03-14&to=2026-03-01", "to", "'To' lies before 'From'"),
    ],
)
def test_a_period_that_is_none_is_said_beside_its_field(maud, query, field, sentence):
    answer = maud.get(f"/rates{query}")

    assert answer.status_code == 422
    assert sentence in fault_beside(answer, field)
    assert maud.get(f"/rates.csv{query}").status_code == 422


def test_what_the_catalogue_has_not_cannot_be_narrowed_to(maud):
    assert maud.get("/rates?origin=%3Cscript%3E").status_code == 404


@pytest.mark.parametrize("name", ["ines", "per"])
def test_rates_belong_to_managers(client_as, name):
    desk = Desk(client_as(name))

    assert [desk.get(f"/rates{more}").status_code for more in ("", ".csv", "/gaps.csv")] == [403, 403, 403]


# The characters a spreadsheet begins a formula with: OWASP, CSV injection.
@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", " =1", "\uff1d1"])
def test_no_cell_of_the_csv_can_be_a_formula(cell):
    assert harmless(cell) == f"'{cell}"
    assert harmless("dirt nib") == "dirt nib"


def test_the_csv_says_its_period_and_has_the_columns_it_names(plant, maud):
    Made(plant)

    answer = maud.get("/rates.csv?from=2020-01-01&to=2030-01-01")

    assert answer.mimetype == "text/csv"
    assert answer.headers["Content-Disposition"] == 'attachment; filename="rates_2020-01-01_2030-01-01.csv"'
    rows = table(maud, "?from=2020-01-01&to=2030-01-01")
    assert tuple(rows[0]) == COLUMNS
    assert {(row["from"], row["to"]) for row in rows} == {("2020-01-01", "2030-01-01")}


def test_counting_reads_markers_from_one_index_and_never_scans_them(plant):
    from inspect_app.journal.queries.rates import FLAWS

    plan = [
        row["detail"] for row in plant.journal.read().execute(f"EXPLAIN QUERY PLAN {FLAWS}", {"start": 0, "end": 1})
    ]

    assert any("SEARCH m USING COVERING INDEX" in step for step in plan), plan
    assert not any(step.startswith("SCAN") and step.split()[1] in ("m", "markers", "walks") for step in plan), plan


def test_the_page_alone_asks_for_scipy(plant, client_as):
    import subprocess
    import sys

    code = "import sys, inspect_app.rooms.rates.routes; print('scipy' in sys.modules)"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=120, check=True)

    assert ran.stdout.strip() == "False"
