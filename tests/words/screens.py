"""What a page says at one moment, as the browser has it, and which of it has bypassed the catalogue.

Everything is asked for in the language nobody speaks (pseudo.py), the plant's own language too, so that what the
journal keeps is in it as well. Then two plain Latin letters in a row are either the plant's own data or a bypass,
wherever they stand: between ⟦ and ⟧ a value may be a word that nobody translated.
"""

from __future__ import annotations

import re
from itertools import pairwise

from playwright.sync_api import Page

from tests.words.pseudo import KEY

FORMATS = "ru_RU"  # months and weekdays without a Latin letter, so that one put together in English is seen
SPOKEN = ("aria-label", "title", "placeholder", "alt")
# Not words: our own name, paper, and what stands for itself in every language.
NAMES = re.compile(r"\b(Lampwalk|A4|https?://[\w.:/-]+)\b|S[1-5]\b|ΔE00")
SAID = """(names) => {
  const said = [];
  const walker = document.createTreeWalker(document.documentElement, NodeFilter.SHOW_ELEMENT | NodeFilter.SHOW_TEXT);
  for (let node = walker.currentNode; node; node = walker.nextNode()) {
    if (node.nodeType === Node.TEXT_NODE) {
      if (!node.parentElement.closest('script, style') && node.data.trim()) said.push(node.data);
    } else for (const name of names) if (node.getAttribute(name)) said.push(node.getAttribute(name));
  }
  return said;
}"""
# Columns of what people wrote or what was brought in; their texts stand on pages as they are.
DATA = {
    "units": ("chassis", "plant", "build_number", "make", "model", "colour", "last_six", "place", "keys"),
    "people": ("name",),
    "tablets": ("letters", "name"),
    "markers": ("tag", "note"),
    "concessions": ("customer",),
}


def bypassed(texts: list[str], data: list[str]) -> list[str]:
    """The texts that hold two plain Latin letters in a row and are not the plant's own."""
    found = []
    for text in texts:
        left = NAMES.sub(" ", text)
        for known in data:
            left = left.replace(known, " ")
        if re.search(r"[A-Za-z]{2}", left):
            found.append(" ".join(text.split()))
    return sorted(set(found))


def data_of(journal) -> list[str]:
    """The plant's own texts, the longest first, so that none is cut by a shorter one in it."""
    texts = set()
    for table, columns in DATA.items():
        for row in journal.read().execute(f"SELECT {', '.join(columns)} FROM {table}"):
            texts |= {str(value) for value in row if value}
    # A chassis number shows its last six apart, or stands in its groups.
    cuts = (0, 3, 9, 11, 14, 17)
    whole = [text for text in texts if len(text) == 17]
    texts |= {text[:-6] for text in whole} | {text[a:b] for text in whole for a, b in pairwise(cuts)}
    return sorted((text for text in texts if len(text) > 1), key=len, reverse=True)


class Screens:
    """Looks at one page again and again, and gathers by moment what has bypassed the catalogue."""

    def __init__(self, page: Page, journal) -> None:
        self.page = page
        self.journal = journal
        self.found: dict[str, list[str]] = {}
        self.seen: set[str] = set()

    def look(self, moment: str) -> None:
        """Read all there is on the page now."""
        self.page.wait_for_timeout(150)
        texts: list[str] = self.page.evaluate(SAID, SPOKEN)
        self.seen |= set(texts)
        if found := bypassed(texts, data_of(self.journal)):
            self.found[moment] = found

    def tap(self, selector: str, moment: str = "") -> None:
        """Touch something; then, where the moment has a name, look."""
        self.page.locator(selector).first.tap()
        if moment:
            self.look(moment)

    def shut(self) -> None:
        """Close the sheet that lies over the page."""
        self.page.locator("dialog[open] .dialog-head button").last.tap()

    def says(self, text: str) -> bool:
        """Was this said at any moment, as the language nobody speaks says it?"""
        return any(text in one for one in self.seen)


def in_odd_words(page: Page, address: str) -> None:
    """Have a tablet asked for everything in the language nobody speaks."""
    cookies = {"language": KEY, "formats": FORMATS}
    page.context.add_cookies([{"name": name, "value": value, "url": address} for name, value in cookies.items()])
