"""Adhesion: two scales that count in opposite ways, by the shares of the surface in the standards."""

import pytest

from inspect_app.trade.adhesion import adhesion, tape_class, to_iso
from inspect_app.trade.catalogue import CatalogueError


# ISO 2409, table of classes: 0 none, 1 up to 5 %, 2 from 5 to 15, 3 from 15 to 35, 4 from 35 to 65, 5 worse.
@pytest.mark.parametrize(
    ("share", "grade"),
    [(0, 0), (0.1, 1), (5, 1), (5.1, 2), (15, 2), (16, 3), (35, 3), (36, 4), (65, 4), (65.1, 5), (100, 5)],
)
def test_a_share_of_the_surface_has_its_class(share, grade):
    assert tape_class(share) == grade


# ASTM D3359, method B: 5B none, 4B less than 5 %, 3B 5 to 15, 2B 15 to 35, 1B 35 to 65, 0B more.
def test_the_american_scale_counts_the_other_way():
    assert [to_iso("ASTM D3359", grade) for grade in (5, 4, 3, 2, 1, 0)] == [0, 1, 2, 3, 4, 5]
    assert [to_iso("ISO 2409", grade) for grade in range(6)] == list(range(6))


@pytest.mark.parametrize(
    ("scale", "grade", "surface_class", "outcome", "text"),
    [
        ("ISO 2409", 1, "A", "within", "ISO 2409 1 on class A: within 1"),
        ("ISO 2409", 2, "A", "over", "ISO 2409 2 on class A: worse than 1; it goes back to what holds"),
        ("ISO 2409", 2, "C", "within", "ISO 2409 2 on class C: within 2"),
        ("ASTM D3359", 4, "A", "within", "ASTM D3359 4B on class A: within 4B"),
        ("ASTM D3359", 3, "B", "over", "ASTM D3359 3B on class B: worse than 4B; it goes back to what holds"),
    ],
)
def test_adhesion_is_judged_on_its_class(scale, grade, surface_class, outcome, text):
    told = adhesion(scale, grade, surface_class)

    assert (told.outcome, told.text) == (outcome, text)


def test_a_thick_film_is_not_judged_by_cuts():
    assert adhesion("ISO 2409", 0, "A", film=2500).outcome == "within"
    assert adhesion("ISO 2409", 0, "A", film=2501).text == "a cross-cut says nothing above 250 µm of film"


@pytest.mark.parametrize(
    ("scale", "grade", "surface_class", "sentence"),
    [
        ("thumb", 1, "A", "adhesion is graded by ISO 2409 or ASTM D3359"),
        ("ISO 2409", 6, "A", r"ISO 2409 has the grades 0 to 5 \(got 6\)"),
        ("ISO 2409", -1, "A", r"ISO 2409 has the grades 0 to 5 \(got -1\)"),
        ("ISO 2409", 1, "E", "there is no adhesion limit for class 'E'; add one to readings.toml"),
    ],
)
def test_what_has_no_grade_is_said_in_a_sentence(scale, grade, surface_class, sentence):
    with pytest.raises((ValueError, CatalogueError), match=f"^{sentence}"):
        adhesion(scale, grade, surface_class)


@pytest.mark.parametrize("share", [-1, 101])
def test_a_share_lies_between_nothing_and_all(share):
    with pytest.raises(ValueError, match=r"^the share that came off lies between 0 and 100 %"):
        tape_class(share)
