"""Which methods are open: the rules of the trade one by one, and what holds for all of them. Common practice, no source."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.trade import catalogue as catalogues
from inspect_app.trade import selectors
from inspect_app.trade.rule_rows import Bar, Offer
from inspect_app.trade.selectors import Facts, fact_of, open_methods

BOOK = catalogues.builtin()
RULES = selectors.builtin()
POLISHES = {"denib_polish", "flat_polish", "machine_polish"}


def told(**facts):
    return open_methods(BOOK, Facts(**facts))


@pytest.mark.parametrize("kind", ["flaking", "cracking", "blister"])
def test_adhesion_loss_is_never_touched_in_or_polished(kind):
    for material, way in (("plastic", "strip_refinish"), ("metal", "refinish")):
        found = told(kind=kind, material=material)

        assert found.open == (way,)
        assert {*POLISHES, "touch_in", "spot_repair"} <= set(found.barred)
        assert found.barred["touch_in"][0].startswith("paint that lets go is never polished or touched in")


@pytest.mark.parametrize("kind", ["shade", "two_lights"])
def test_a_colour_that_is_off_repaints_the_trim_and_not_the_body(kind):
    trim = told(kind=kind, material="plastic", paint="ours")
    body = told(kind=kind, material="metal", paint="maker")
    mended = told(kind=kind, material="metal", paint="ours", body_repaired=True)

    assert "strip_refinish" in trim.open
    assert trim.barred == {"blend_neighbour": ("a repainted trim is never blended into the body",)}
    assert body.open == ()
    assert "repaint the trim beside it" in body.barred["refinish"][0]
    assert "blend_neighbour" in mended.open
    assert told(kind=kind, material="metal", paint="ours", body_repaired=False).open == ("refinish",)


@pytest.mark.parametrize(
    ("change", "closed"),
    [
        ({}, set()),
        ({"size": 15}, set()),
        ({"size": 16}, {"denib_polish"}),
        ({"count": 8}, set()),
        ({"count": 9}, {"denib_polish"}),
        ({"on_edge": True}, {"denib_polish", "flat_polish"}),
        ({"depth": "base"}, {"denib_polish", "flat_polish"}),
        ({"cured": False}, {"denib_polish", "flat_polish"}),
        ({"clear_left": 400}, set()),  # 40 µm: flatting takes 10 of them, and 30 must stay
        ({"clear_left": 399}, {"flat_polish"}),
        ({"clear_left": 339}, {"denib_polish", "flat_polish"}),
        ({"clear_left": 339, "surface_class": "C"}, set()),
        ({"film": 690}, {"denib_polish", "flat_polish"}),
        ({"horizontal": True}, {"spot_repair"}),
        ({"film": 3001}, {"spot_repair"}),
        ({"spent": "12 µm are gone"}, {"denib_polish", "flat_polish"}),
    ],
)  # fmt: skip
def test_a_nib_by_size_count_depth_edge_and_film(change, closed):
    plain = {"kind": "nib", "material": "metal", "surface_class": "A", "size": 8, "count": 3, "depth": "clear", "on_edge": False,
             "cured": True, "clear_left": 500, "film": 1100, "horizontal": False}  # fmt: skip
    found = told(**plain | change)

    assert set(found.barred) == {"strip_refinish"} | closed
    assert found.asks == ()


def test_a_scratch_by_nail_and_layer():
    scratch = {"kind": "scratch", "material": "metal", "surface_class": "B", "size": 30, "clear_left": 500}

    assert told(**scratch, nail_catches=False, depth="clear").open[0] == "machine_polish"
    assert told(**scratch, nail_catches=True, depth="clear").open[0] == "flat_polish"
    assert told(**scratch, nail_catches=True, depth="primer").open[:2] == ("touch_in", "spot_repair")
    assert told(**scratch, nail_catches=True, depth="metal").open == ("rust_treat",)


def test_a_trim_is_painted_whole_and_glass_in_the_drivers_view_is_not_polished():
    assert "spot_repair" in told(kind="chip", material="plastic", surface_class="A").barred
    assert told(kind="glass_scratch", driver_view=True).open == ("glass_renewal",)
    assert told(kind="glass_scratch", driver_view=False, nail_catches=False).open == ("glass_polish", "glass_renewal")
    assert told(kind="leak", traced=False).open == ("leak_trace",)


def test_what_is_not_known_takes_nothing_away_and_is_asked_for():
    found = told(kind="scratch", material="metal", surface_class="B")

    assert {"machine_polish", "flat_polish", "touch_in", "spot_repair", "refinish"} <= set(found.open)
    assert "Does a fingernail catch in it?" in found.asks
    assert "How deep does it go: clear, base, primer or through?" in found.asks
    assert told(kind="clip").asks == ()


def meeting(bar, kind):
    """Facts that meet all conditions of a bar."""
    wanted = {}
    for name, value in bar.when.items():
        met = {"over": lambda v: v + 1, "below": lambda v: v - 1}.get(
            name.rpartition("_")[2], lambda v: v[0] if isinstance(v, tuple) else v
        )
        wanted[fact_of(name)] = met(value)
    return Facts(kind=kind, **wanted)


@pytest.mark.parametrize("bar", RULES.bars, ids=lambda bar: bar.sentence)
def test_every_bar_bars_something_that_is_offered(bar):
    barred = [
        method
        for kind in bar.kinds or BOOK.kinds
        for method, reasons in open_methods(BOOK, meeting(bar, kind)).barred.items()
        if bar.sentence in reasons
    ]

    assert set(barred) <= set(bar.methods)
    assert set(barred) == set(bar.methods)


FACTS = st.builds(
    Facts,
    kind=st.sampled_from(sorted(BOOK.kinds)),
    material=st.sampled_from(["metal", "plastic", "glass", None]),
    surface_class=st.sampled_from(["A", "B", "C", None]),
    paint=st.sampled_from(["ours", "maker", None]),
    size=st.none() | st.integers(0, 100),
    count=st.none() | st.integers(1, 20),
    depth=st.sampled_from(["clear", "base", "primer", "metal", None]),
    clear_left=st.none() | st.integers(0, 600),
    film=st.none() | st.integers(0, 4000),
    on_edge=st.none() | st.booleans(),
    horizontal=st.none() | st.booleans(),
    cured=st.none() | st.booleans(),
    nail_catches=st.none() | st.booleans(),
    body_repaired=st.none() | st.booleans(),
    driver_view=st.none() | st.booleans(),
)


@given(
    FACTS,
    st.sampled_from(["size", "count", "depth", "clear_left", "film", "on_edge", "horizontal", "cured", "nail_catches"]),
)
def test_every_method_offered_is_open_or_barred_and_a_fact_forgotten_opens_no_fewer(facts, name):
    found, less = open_methods(BOOK, facts), open_methods(BOOK, replace(facts, **{name: None}))
    offered = {method for offer in RULES.offers if facts.kind in offer.kinds for method in offer.methods}

    assert set(found.open) | set(found.barred) == offered
    assert not set(found.open) & set(found.barred)
    assert all(found.barred.values())
    assert set(found.open) <= set(less.open)


@given(FACTS.filter(lambda facts: facts.clear_left is not None))
def test_more_clear_closes_nothing(facts):
    more = open_methods(BOOK, replace(facts, clear_left=facts.clear_left + 100))

    assert set(open_methods(BOOK, facts).open) <= set(more.open)


@pytest.mark.parametrize("kind", BOOK.kinds.values(), ids=lambda kind: kind.key)
def test_the_usual_method_of_every_kind_is_open_where_nothing_speaks_against_it(kind):
    facts = Facts(kind=kind.key, driver_view=True, surface_class="C")

    assert (
        kind.method
        in open_methods(BOOK, replace(facts, material="plastic" if kind.method == "strip_refinish" else None)).open
    )
    assert kind.method_for("metal") in open_methods(BOOK, replace(facts, material="metal")).open


def test_the_rules_have_no_fault():
    assert selectors.faults(BOOK, RULES) == []


BAR = Bar(methods=("touch_in",), kinds=("chip",), when={"size_over": 5}, sentence="too large", origin="test")


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        (replace(RULES, bars=(replace(BAR, methods=("magic",)),)), "bar 1 names the method 'magic', which does not exist"),
        (replace(RULES, bars=(replace(BAR, kinds=("moon",)),)), "bar 1 names the kind 'moon', which does not exist"),
        (replace(RULES, bars=(replace(BAR, kinds=(), when={}),)), "bar 1 would bar its methods for everything; give it kinds or conditions"),
        (replace(RULES, bars=(replace(BAR, origin=""),)), "bar 1 does not say where it comes from; fill in its origin"),
        (replace(RULES, bars=(replace(BAR, when={"mood": True}),)), "bar 1 has the condition 'mood', which asks about nothing known"),
        (replace(RULES, bars=(replace(BAR, when={"size_over": -1}),)), "bar 1 has the condition 'size_over', which needs a number of zero or more"),
        (replace(RULES, bars=(replace(BAR, methods=("reseal",)),)), "bar 1 never fires: none of its methods is offered for its kinds"),
        (replace(RULES, offers=RULES.offers[1:]), "no offer names the kind 'nib'; say which methods come into question"),
        (replace(RULES, offers=(*RULES.offers, Offer(kinds=("nib",), methods=("magic",)))), f"offer {len(RULES.offers) + 1} names the method 'magic', which does not exist"),
    ],
)  # fmt: skip
def test_a_fault_of_the_rules_is_said_in_words(changed, fault):
    assert fault in selectors.faults(BOOK, changed)


def test_rules_that_cannot_be_read_or_do_not_know_a_kind_are_named():
    with pytest.raises(catalogues.CatalogueError, match=r"^selectors: bars.0.sentence: field required"):
        selectors.load({"offers": [], "bars": [{"methods": [], "origin": ""}]})
    with pytest.raises(
        catalogues.CatalogueError, match=r"^the selectors offer no method for 'nib'; add a row of offers"
    ):
        open_methods(BOOK, Facts(kind="nib"), replace(RULES, offers=()))
    with pytest.raises(catalogues.CatalogueError, match="there is no kind 'crumb'"):
        told(kind="crumb")
