"""What was said once is said again as it would be put together now: in the language and with the figures of whoever reads."""

from gettext import NullTranslations

from inspect_app.words import gettext as _
from inspect_app.words import speaking
from inspect_app.words.figures import tenths, writing
from inspect_app.words.remembered import remembered


class Shouting(NullTranslations):
    """A language of capitals, for the test only."""

    def gettext(self, message):
        """Say it loudly, names of values left as they are."""
        return message.replace("wide", "WIDE")


def sayer():
    said = []

    @remembered
    def width(amount, *, exact=True):
        said.append(amount)
        return _("%(n)s mm wide", n=tenths(amount)) if exact else _("wide")

    return width, said


def test_it_is_put_together_once():
    width, said = sayer()

    assert [width(8), width(8), width(12), width(8)] == ["0.8 mm wide", "0.8 mm wide", "1.2 mm wide", "0.8 mm wide"]
    assert said == [8, 12]


def test_another_language_gets_its_own_words_and_the_first_keeps_its():
    width, _said = sayer()

    assert width(8) == "0.8 mm wide"
    with speaking(Shouting()):
        assert width(8) == "0.8 mm WIDE"
    assert width(8) == "0.8 mm wide"


def test_figures_are_written_as_the_reader_writes_them():
    width, _said = sayer()

    assert width(8) == "0.8 mm wide"
    with writing("de_DE"):  # CLDR: German has a comma
        assert width(8) == "0,8 mm wide"
    assert width(8) == "0.8 mm wide"


def test_what_is_asked_by_name_counts_too():
    width, _said = sayer()

    assert (width(8, exact=False), width(8)) == ("wide", "0.8 mm wide")
