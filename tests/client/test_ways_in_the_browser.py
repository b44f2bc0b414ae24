"""The bench's rules of open methods and of the clear-coat budget in Chromium: the same as trade/ways.py, case by case."""

import random

import pytest

from inspect_app.trade import catalogue as catalogues
from inspect_app.trade import selectors, ways
from inspect_app.trade.budget import FilmReading, Place, Removal, next_film, removal_of
from inspect_app.trade.selectors import Facts

from .conftest import by_text

BOOK = catalogues.builtin()
pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def page(bench_modules):
    """A page with the bench's modules at hand that holds the catalogue and the rules."""
    hold = "([catalogue, rules]) => void Object.assign(window, { catalogue, rules })"
    by_text(bench_modules, hold, [BOOK.to_json(), ways.to_json(BOOK)])
    return bench_modules


def cases(count):
    """Flaws of every kind with what may be known of them, the same on every run."""
    draw = random.Random(20261128)

    def one(*choices):
        return draw.choice([*choices, None])

    kinds = [kind for kind in BOOK.kinds if selectors.is_offered(kind)]
    for number in range(count):
        facts = {
            "kind": kinds[number % len(kinds)], "material": one("metal", "plastic"), "surface_class": one(*"ABCD"),
            "paint": one("ours", "maker"), "size": one(5, 15, 16, 60, 300), "count": one(1, 8, 9),
            "depth": one("clear", "base", "metal"), "on_edge": one(True, False), "horizontal": one(True, False),
            "cured": one(True, False), "nail_catches": one(True, False), "body_repaired": one(True, False),
            "driver_view": one(True, False), "traced": one(True, False),
        }  # fmt: skip
        done = [(draw.choice(["denib_polish", "flat_polish", "refinish", "clean_off"]), draw.choice(["polish", "paint"]),
                 one(0, 35), place(draw)) for _ in range(draw.randrange(6))]  # fmt: skip
        reading = one(
            {"method": "ultrasonic", "film": draw.choice([650, 1100]), "clear": one(330, 480), "after": one(0, 1)}
        )
        yield {"facts": facts, "here": one(place(draw)), "done": done, "reading": reading}


def place(draw):
    return {"view": "left", "x": draw.randrange(0, 1200, 100), "y": 0, "spread": draw.choice([0, 0, 400])}


def in_python(case):
    removals = [removal_of(BOOK.methods[key], who, film, Place(**at)) for key, who, film, at in case["done"]]
    known = [one for one in removals if one is not None]
    reading = None if case["reading"] is None else FilmReading(**case["reading"])
    here = None if case["here"] is None else Place(**case["here"])
    told = ways.ways(BOOK, Facts(**case["facts"]), here=here, removals=known, reading=reading)
    asks = [name for name, words in selectors.ASKS.items() if words in told.opened.asks]
    left = (
        None
        if told.left is None
        else [told.left.outcome, told.left.taken, told.left.attempts, told.left.text, told.left.more(40)]
    )
    return [list(told.opened.open), {k: list(v) for k, v in told.opened.barred.items()}, sorted(asks), left]


IN_THE_BROWSER = """async cases => {
  const [{ openMethods }, { moreOf, removalOf }] = await Promise.all([import('/rooms/rework/open.js'), import('/rooms/rework/film.js')]);
  return cases.map(({ facts, here, done, reading }) => {
    const removals = done.map(([key, who, film, at]) => removalOf(catalogue.methods[key], who, film, at)).filter(Boolean);
    const told = openMethods(catalogue, rules, facts, { here, removals, reading });
    const left = told.left && [told.left.outcome, told.left.taken, told.left.attempts, told.left.text, moreOf(told.left, 40)];
    return [told.open, told.barred, told.asks.sort(), left];
  });
}"""


def test_what_is_open_barred_and_asked_is_the_same_in_both(page):
    drawn = list(cases(1500))

    told = by_text(page, IN_THE_BROWSER, drawn)

    wanted = [in_python(case) for case in drawn]
    wrong = [(case, one, other) for case, one, other in zip(drawn, told, wanted, strict=True) if one != other]
    assert wrong[:1] == []
    assert {one[3][0] for one in wanted if one[3]} == {"open", "unsure", "spent"}  # the cases reach all of it
    assert sum("µm would be off" in str(one[1]) for one in wanted) > 9


NEXT = """cases => import('/rooms/rework/film.js').then(({ nextFilm }) => cases.map((lists) =>
  nextFilm(...lists.map((keys) => keys.map((key) => catalogue.methods[key])))))"""


def test_the_next_polish_of_a_spot_takes_the_same_in_both(page):
    draw = random.Random(29)
    drawn = [[draw.choices(list(BOOK.methods), k=draw.randrange(4)) for _ in range(2)] for _ in range(300)]

    wanted = [next_film(*([BOOK.methods[key] for key in keys] for keys in one)) for one in drawn]
    assert by_text(page, NEXT, drawn) == wanted
    assert {0, 20, 40, 100} <= set(wanted)


def test_a_spot_without_any_work_has_nothing_taken_off(page):
    case = {
        "facts": {"kind": "nib", "surface_class": "A", "paint": "maker"},
        "here": place(random.Random(1)),
        "done": [],
        "reading": None,
    }

    (told,) = by_text(page, IN_THE_BROWSER, [case])

    assert told[3][:3] == ["open", 0, 0]


def test_a_removal_of_nothing_is_none():
    assert removal_of(BOOK.methods["reseal"], "glass", None, None) is None
    assert removal_of(BOOK.methods["refinish"], "paint", None, None) == Removal(renews=True)
    assert removal_of(BOOK.methods["refinish"], "polish", None, None) is None
