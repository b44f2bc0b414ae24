"""Clusters: what lies together surely, what only perhaps, and that every row of the table can decide something."""

from dataclasses import replace
from math import cos, pi, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_app.trade import catalogue as catalogues
from inspect_app.trade import cluster_rows, limits, outline
from inspect_app.trade.cluster_rows import Cluster, allowed_on
from inspect_app.trade.clusters import Spot, acceptable, clusters, over_count

CATALOGUE = catalogues.builtin()
ROWS = cluster_rows.builtin()
SQUARE = Cluster(
    surface_class="C", within="square", reach=1000, max_count=3, kinds=("nib", "chip"), text="", origin="test"
)
CIRCLE = replace(SQUARE, within="circle")


def nib(tag, x=0, y=0, **more):
    return Spot(**{"id": tag, "kind": "nib", "surface_class": "C", "view": "left", "x": x, "y": y, "size": 5} | more)


def found(*spots, rows=(SQUARE,), **more):
    return [(one.outcome, "".join(one.markers)) for one in clusters(CATALOGUE, spots, rows=rows, **more)]


def test_four_nibs_within_100_mm_are_rejected_together_in_words():
    # "More than 3 flaws of acceptable size in 100 × 100 mm" on the class in plain view: common practice, no source.
    row = replace(SQUARE, surface_class="A")
    four = [
        nib(tag, x, y, surface_class="A")
        for tag, x, y in (("a", 0, 0), ("b", 1000, 0), ("c", 0, 1000), ("d", 500, 500))
    ]

    (told,) = clusters(CATALOGUE, four, rows=(row,))

    assert (told.outcome, told.markers, told.count) == ("over", ("a", "b", "c", "d"), 4)
    assert told.text == "dirt nib: 4 within 100 mm on a class A part; the limit is 3"
    assert clusters(CATALOGUE, four[:3], rows=(row,)) == ()
    assert clusters(CATALOGUE, [*four[:3], nib("d", 1001, 500, surface_class="A")], rows=(row,)) == ()


def test_every_marker_of_every_crowded_place_is_rejected_and_no_other():
    row = [nib(tag, 400 * place, 0) for place, tag in enumerate("abcdef")]
    three = [nib("x", 9000), nib("y", 9100), nib("z", 9200)]

    assert found(*row, *three) == []
    assert found(*row, *three, rows=(replace(SQUARE, reach=1200),)) == [("over", "abcdef")]


def test_a_marker_that_stands_for_several_counts_as_many():
    assert found(nib("a", count=3)) == []
    assert found(nib("a", count=3), nib("b", 900)) == [("over", "ab")]


@pytest.mark.parametrize("change", [{"view": "rear"}, {"surface_class": "B"}, {"size": 20}, {"size": None}, {"severity": "S2"}, {"severity": "S1"}, {"x": None, "y": None}])  # fmt: skip
def test_another_view_or_class_or_what_is_rejected_anyway_does_not_count(change):
    assert found(nib("a"), nib("b"), nib("c"), nib("d")) == [("over", "abcd")]
    assert found(nib("a"), nib("b"), nib("c"), nib("d", **change)) == []


def test_what_is_placed_by_a_finger_cannot_be_sure_and_is_asked_for():
    three = [nib("a"), nib("b", 200), nib("c", 400)]

    (told,) = clusters(CATALOGUE, [*three, nib("d", 1500, spread=1000)], rows=(SQUARE,))

    assert (told.outcome, told.place) == ("unsure", ("d",))
    assert told.text == (
        "dirt nib: perhaps 4 within 100 mm on a class C part, where the limit is 3; place d finely"
    )  # fmt: skip
    assert found(*three, nib("d", 200, spread=100)) == [("over", "abcd")]
    assert found(*three, nib("d", 1500, spread=400)) == []


def test_a_sure_crowd_does_not_hide_one_that_is_not():
    sure = [nib(tag, 10 * place) for place, tag in enumerate("abcd")]
    perhaps = [nib(tag, 50_000 + 350 * place, spread=30) for place, tag in enumerate("efgh")]

    assert found(*sure, *perhaps) == [("over", "abcd"), ("unsure", "abcdefgh")]


SPOTS = st.lists(st.tuples(st.integers(0, 25), st.integers(0, 25), st.sampled_from([0, 0, 60, 200])), max_size=8)
TURNS = st.lists(st.tuples(st.floats(0, 1), st.floats(0, 2 * pi)), min_size=8, max_size=8)


@given(SPOTS, TURNS, st.sampled_from([SQUARE, CIRCLE]))
@settings(max_examples=400, deadline=None)
def test_no_place_within_the_spreads_contradicts_a_verdict(places, turns, row):
    # Wherever each marker really lies: what is surely a crowd is one, and where nothing was found there is none.
    spots = [nib(str(n), 100 * x, 100 * y, spread=spread) for n, (x, y, spread) in enumerate(places)]
    told = clusters(CATALOGUE, spots, rows=(row,))
    real = {
        spot.id: (spot.x + far * spot.spread * cos(turn), spot.y + far * spot.spread * sin(turn))
        for spot, (far, turn) in zip(spots, turns, strict=False)
    }
    busiest = limits.busiest_circle if row.within == "circle" else limits.busiest_square

    for one in told:
        if one.outcome == "over":
            count = busiest([real[tag] for tag in one.markers], 1000 * (1 + 1e-9))[0]
            assert count >= one.count > 3
    if not told:
        assert busiest(list(real.values()), 1000 * (1 - 1e-9))[0] <= 3
    if all(spot.spread == 0 for spot in spots):
        assert [one.count for one in told] == [count for count in [busiest(list(real.values()), 1000)[0]] if count > 3]


def test_a_pair_too_near_is_rejected_as_a_pair():
    told = clusters(
        CATALOGUE, [nib("a", surface_class="A"), nib("b", 2000, surface_class="A"), nib("c", 5000, surface_class="A")]
    )

    assert [(one.row.within, one.markers) for one in told] == [("pair", ("a", "b"))]
    assert told[0].text == "dirt nib: two lie 200 mm apart on a class A part; the limit is 300 mm or more"


@pytest.mark.parametrize(
    ("x", "spread", "outcomes"),
    [(2999, 0, ["over"]), (3000, 0, []), (2800, 100, ["over"]), (2900, 100, ["unsure"]), (3099, 100, ["unsure"]), (3100, 100, [])],
)  # fmt: skip
def test_a_pair_is_as_sure_as_its_places(x, spread, outcomes):
    pair = [nib("a", surface_class="A"), nib("b", x, surface_class="A", spread=spread)]

    told = clusters(CATALOGUE, pair, rows=ROWS[:1])

    assert [one.outcome for one in told] == outcomes
    assert all(one.place == ("b",) and one.text.endswith("place b finely") for one in told if one.outcome == "unsure")


@pytest.mark.parametrize(("x", "spread", "said"), [(2999, 0, "two lie 299 mm"), (2874, 200, "two lie about 290 mm")])
def test_a_distance_is_said_no_finer_than_it_is_known(x, spread, said):
    pair = [nib("a", surface_class="A"), nib("b", x, surface_class="A", spread=spread)]

    (told,) = clusters(CATALOGUE, pair, rows=ROWS[:1])

    assert said in told.text


def test_two_in_one_marker_are_a_pair():
    (told,) = clusters(CATALOGUE, [nib("a", surface_class="A", count=2)], rows=ROWS[:1])

    assert told.text == "dirt nib: 2 in one place on a class A part; the limit is 300 mm or more apart"


def test_raking_light_has_its_own_column():
    row = replace(SQUARE, raking_max_count=5)
    plain = [nib(tag) for tag in "abc"]
    faint = [nib(tag, raking=True) for tag in "defg"]

    assert found(*plain, *faint[:2], rows=(row,)) == []
    assert found(*plain, *faint[:3], rows=(row,)) == [("over", "abcdef")]
    assert found(*plain, nib("x"), *faint[:1], rows=(row,)) == [("over", "abcx")]
    assert found(*faint, rows=(SQUARE,)) == [("over", "defg")]


def test_a_part_has_a_count_and_a_share_of_a_square_metre():
    part = replace(SQUARE, within="part", reach=None, max_count=2)
    share = replace(SQUARE, within="m2", reach=None, max_count=4)
    three = [nib(tag, 9000 * place, spread=5000) for place, tag in enumerate("abc")]

    assert found(*three, rows=(part,)) == [("over", "abc")]
    assert found(*three, rows=(share,), area_cm2=7000) == [("over", "abc")]
    assert found(*three, rows=(share,), area_cm2=7500) == []
    assert found(*three, rows=(share,)) == []
    assert clusters(CATALOGUE, three, rows=(share,), area_cm2=1000)[0].text == (
        "dirt nib: 3 on this class C part; the limit for its size is 2"
    )


@pytest.mark.parametrize(("per_m2", "area", "most"), [(4, 0.16, 2), (4, 0.5, 2), (4, 2.4, 9), (4, 0.74999, 2), (10, 0.35, 3), (1, 0.01, 2)])  # fmt: skip
def test_a_share_is_rounded_down_but_always_two(per_m2, area, most):
    assert allowed_on(per_m2, area) == most


def witness(row, raking_column):
    """Markers that every other limit lets through, as many as the counts allow, laid out for this row to count them."""
    spots = []
    for key in row.kinds:
        limit = limits.limit_for(CATALOGUE, key, row.surface_class)
        raking = limit.max_size == 0 or raking_column
        size = limits.allowed_size(limit, raking=raking)
        alone = row.within == "square" and any(
            key in one.kinds for one in ROWS if one.within == "pair" and one.surface_class == row.surface_class
        )
        for number in range(1 if alone else limit.max_count or 9):
            if size:
                step = 10 if row.within == "square" else 1500 if row.within == "pair" else 4000
                spots.append(Spot(id=f"{key}{number}", kind=key, surface_class=row.surface_class, view="left", x=step * len(spots), y=0, size=size, raking=raking))  # fmt: skip
    return spots


@pytest.mark.parametrize(
    ("row", "raking"),
    [(row, raking) for row in ROWS for raking in ([False, True] if row.raking_max_count else [False])],
    ids=lambda value: f"{value.surface_class}-{value.within}" if isinstance(value, Cluster) else str(value),
)
def test_every_row_rejects_something_that_all_other_limits_let_through(row, raking):
    spots = witness(row, raking)
    if row.within == "m2":
        spots = spots[:5] if row.surface_class == "A" else spots  # on half a square metre five are too many
    area = 5000 if row.within == "m2" else 24_000

    for spot in spots:
        others = sum(other.kind == spot.kind for other in spots) - 1
        told = limits.verdict(
            CATALOGUE, spot.kind, spot.surface_class, size=spot.size, others=others, raking=spot.raking
        )
        assert told.outcome == "within", told.text
        assert acceptable(CATALOGUE, spot)
    deciding = {(one.row.within, one.row.surface_class) for one in clusters(CATALOGUE, spots, area_cm2=area)}
    assert (row.within, row.surface_class) in deciding
    if row.within in ("pair", "m2"):
        assert deciding == {(row.within, row.surface_class)}
    if row.raking_max_count and raking:
        (told,) = [one for one in clusters(CATALOGUE, spots, area_cm2=area, rows=(row,)) if one.outcome == "over"]
        assert told.count > row.raking_max_count


def test_the_table_has_no_fault_and_says_where_it_comes_from():
    smallest = min(part.area_cm2 for part in outline.builtin().parts if part.area_cm2) / 10_000

    assert cluster_rows.faults(CATALOGUE, ROWS, smallest) == []


@pytest.mark.parametrize(
    ("rows", "fault"),
    [
        ([replace(SQUARE, max_count=9)], "has a count of 9 that can never fire: other limits let no more than 9 through"),
        ([replace(SQUARE, kinds=("nib",), max_count=6)], "has a count of 6 that can never fire: other limits let no more than 6 through"),
        ([replace(SQUARE, surface_class="A", kinds=("nib",), max_count=1), ROWS[0]], "has a count of 1 that can never fire: other limits let no more than 1 through"),
        ([SQUARE, replace(SQUARE, within="part", reach=None)], "has a count of 3 that can never fire: a part may have no more than 3"),
        ([replace(SQUARE, within="m2", reach=None, max_count=20), replace(SQUARE, within="part", reach=None)], "can never fire: the smallest part has less than its share of 20 anyway"),
        ([replace(SQUARE, raking_max_count=3)], "has a raking figure that never fires: it must be larger than the other"),
        ([replace(SQUARE, kinds=("leak",))], "has a count of 3 that can never fire: other limits let no more than 0 through"),
        ([replace(SQUARE, kinds=("moon",))], "names the kind 'moon', which does not exist"),
        ([replace(SQUARE, kinds=())], "names no kind"),
        ([replace(SQUARE, surface_class="E")], "names a surface class that does not exist"),
        ([replace(SQUARE, reach=None)], "must have a reach"),
        ([replace(SQUARE, reach=0)], "needs a reach above zero"),
        ([replace(SQUARE, within="part")], "has a reach, but does not ask where flaws lie"),
        ([replace(SQUARE, max_count=0)], "must allow one at least; where none is allowed a limit says so"),
        ([replace(SQUARE, within="pair", max_count=2)], "must allow one"),
        ([replace(SQUARE, origin=" ")], "does not say where its values come from; fill in its origin"),
    ],
)  # fmt: skip
def test_a_fault_of_a_row_is_said_in_words(rows, fault):
    row = rows[0]

    assert f"cluster 1 (class {row.surface_class}, {row.within}) {fault}" in cluster_rows.faults(CATALOGUE, rows)


def test_a_row_that_only_the_milder_paint_lets_anything_reach_can_fire():
    few = replace(
        CATALOGUE.limits[0], kinds=("nib",), surface_class="C", max_size=15, max_count=2, raking_max_size=None
    )
    book = replace(CATALOGUE, limits=(few, replace(few, paint="maker", max_count=6)))
    row = replace(SQUARE, kinds=("nib",))

    assert cluster_rows.faults(book, [row]) == []
    assert cluster_rows.faults(replace(book, limits=(few,)), [row]) != []
    four = [nib(tag, paint="maker") for tag in "abcd"]
    assert [one.markers for one in clusters(book, four, rows=[row])] == [("a", "b", "c", "d")]


def test_a_row_that_cannot_be_read_is_named():
    with pytest.raises(catalogues.CatalogueError, match=r"^cluster 1: within: input should be 'square', 'circle'"):
        cluster_rows.load([{"surface_class": "A", "within": "star", "kinds": ["nib"], "text": "", "origin": ""}])


@pytest.mark.parametrize("change", [{"count": 0}, {"spread": -1}, {"y": None}])
def test_a_marker_that_makes_no_sense_is_named(change):
    with pytest.raises(catalogues.CatalogueError, match=r"^the marker 'a' needs a count of one or more"):
        found(nib("a", **change))
    with pytest.raises(catalogues.CatalogueError, match="there is no kind 'crumb' in this catalogue"):
        found(nib("a", kind="crumb"))


def test_more_of_a_kind_than_its_limit_on_one_part_are_over_together_whatever_their_sizes():
    # Six nibs of 1.5 mm on a part that is seldom seen: common practice, no source.
    many = [nib(tag, 5000 * place, size=None if tag == "c" else 10) for place, tag in enumerate("abcdef")]
    others = [nib("x", kind="chip", size=5), nib("y", surface_class="B")]

    assert over_count(CATALOGUE, [*many, *others]) == ()
    [told] = over_count(CATALOGUE, [*many, nib("g", 40_000), *others])
    assert (told.markers, told.count) == (tuple("abcdefg"), 7)
    assert told.text == "dirt nib: 7 on this class C part; the limit is 6"
    assert over_count(CATALOGUE, [nib("a", count=9)]) == ()  # said of the one marker when it was made
