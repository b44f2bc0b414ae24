"""A sheet speaks the plant's language and writes as the plant does.

The check: in the pseudo-language every letter of ours has an accent, so that a word in plain letters is either the
plant's own data or has bypassed the catalogue. The reader is poppler's pdftotext.
"""

import re
from dataclasses import fields, is_dataclass, replace

import pytest

from inspect_app.sheet.data import Photo, Speech
from inspect_app.sheet.gauge import make_gauge_card
from inspect_app.sheet.make import make_sheet
from inspect_app.sheet.pool import SheetPool
from inspect_app.words import speaking
from inspect_app.words.languages import languages
from tests.words.pseudo import KEY, PLAIN, write

from .samples import STATES, marker, sheet

WORD = re.compile(rf"[{PLAIN}]{{2,}}")
IDS = {"basis", "key", "outline", "speech", "state", "verdict", "view", "walk"}  # what they name is said in words


def given(value):
    """Every text of the data that stands on the sheet as it is."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for one in value:
            yield from given(one)
    elif is_dataclass(value):
        for field in fields(value):
            if field.name not in IDS and not (isinstance(value, Photo) and field.name == "role"):
                yield from given(getattr(value, field.name))


@pytest.fixture
def told(tmp_path):
    """A sheet with everything on it, of a plant that speaks the pseudo-language."""
    photos = tuple(Photo(role=role, state=state) for role, state in (("found", "awaited"), ("after", "refused")))
    markers = (*(marker(n, state=state, basis=("assumed", "judged", "")[n % 3]) for n, state in enumerate(STATES)),)
    verdicts = ("within", "over", "unmeasured", "no_limit")
    markers = tuple(
        replace(one, verdict=verdicts[n % 4], returns=n % 3, escape=n == 1) for n, one in enumerate(markers)
    )
    crowd = tuple(marker(20 + n, view="left") for n in range(12))
    data = sheet(
        (replace(markers[0], photos=photos), *markers[1:], *crowd, marker(40, x=None, y=None)), builtin_limits=True
    )
    return replace(data, speech=Speech(language=KEY, words=str(write(tmp_path / "words").parent)))


def plain(pdf, words, data):
    """Words in plain letters that are not the data's."""
    own = {word for text in given(data) for word in WORD.findall(text)}
    drawn = " ".join(one["label"] for one in (data.outline, *data.outline["views"]))
    labels = {*WORD.findall(drawn), *WORD.findall(drawn.upper())}
    return {word for word in WORD.findall(words(pdf, "-layout")) if word not in own | labels}


def test_every_word_of_a_sheet_that_is_not_data_is_in_the_language_of_the_plant(told, words):
    pdf = make_sheet(told)

    assert plain(pdf, words, told) == set()
    assert "ŔÉĜÍŚŤÉŔ" in words(pdf).upper()  # "Register of markers"


def test_the_same_check_finds_words_in_english(told, words):
    assert {"Register", "Gates", "page"} <= plain(make_sheet(replace(told, speech=Speech())), words, told)


def test_a_reader_is_told_the_language_of_the_file(told, read):
    assert read(make_sheet(told)).trailer["/Root"]["/Lang"] == KEY


def test_the_drawing_process_speaks_it_too(told):
    with SheetPool() as pool:
        assert pool.submit(told).result(300) == make_sheet(told)


def test_dates_are_written_as_the_plant_writes_them(words):
    data = sheet((marker(0),), timezone="Europe/Vienna")  # made at 08:00 UTC on 23 November
    text = words(make_sheet(replace(data, speech=Speech(formats="de_DE"))))

    assert "23.11.2026, 09:00" in text  # DIN 1355-1 and the Unicode CLDR's medium form
    assert "2026-11-23 09:00" not in text.replace("2026-11-23 9:10", "")
    assert "year-month-day" not in text


def test_a_language_there_is_no_file_for_is_english(told, words):
    assert "Register of markers" in words(make_sheet(replace(told, speech=replace(told.speech, language="xx"))))


def test_the_gauge_card_speaks_the_language_of_whoever_prints_it(tmp_path, words, read):
    spoken = languages(write(tmp_path).parent)[KEY].translations
    with speaking(spoken):
        pdf = make_gauge_card(plant="Halden yard", language=KEY)

    assert set(WORD.findall(words(pdf))) == {"Halden", "yard"}
    assert read(pdf).trailer["/Root"]["/Lang"] == KEY
