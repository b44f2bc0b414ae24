"""What is sent is what was written, without comments and spaces: judged by Chromium and by another reader of JavaScript."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from pygments.lexers import JavascriptLexer
from pygments.token import Comment, Text, Whitespace

from inspect_app.rooms import edition
from inspect_app.rooms.joined import joined
from inspect_app.rooms.smaller import Unreadable, script, style

PACKAGE = Path(__file__).parents[2] / "inspect_app"
SCRIPTS = {path.relative_to(PACKAGE).as_posix(): path.read_text("utf-8") for path in PACKAGE.rglob("*.js")}
STYLES = sorted(PACKAGE.rglob("*.css"))

# Programs whose meaning hangs on a space, on the end of a line, or on what looks like a comment and is none.
PROGRAMS = {
    "export const a = 1 + +1 - -1; // +\nexport const b = 3 - - -1;": {"a": 3, "b": 2},
    "let n = 1;\nexport const a = n++ + ++n;\nexport const b = 1 .toFixed(1) + 2\n.toFixed(1);": {"a": 4, "b": "1.02.0"},
    "export const a = `x  ${ 'y' /* z */ }\n  // not a comment  ${`in ${ 1 }  side`}  `;": {"a": "x  y\n  // not a comment  in 1  side  "},
    "export const a = 'http://x  y'.replace(/ +/g, '/*') + \"it's // \";": {"a": "http://x/*yit's // "},
    "export const a = 8 / 2 / /* by */ 2, b = /[/*] +/.source.length / 2;": {"a": 2, "b": 3},
    "function f() {\n  return\n  7;\n}\nexport const a = typeof f();": {"a": "undefined"},
    "let x = 1\nlet y = 2\nx\n++\ny\nexport { x, y }": {"x": 1, "y": 3},
    "const s = 'ß–…';\nexport const a = s /* ü */ + 'ö' // é\n;": {"a": "ß–…ö"},
    "const of = [1, 2];\nexport const a = [];\nfor (const one of of) a.push(typeof one, void 0 ?? 'none');": {"a": ["number", "none"] * 2},
    "const o = { get\n x() { return 1; }, async  y() {} };\nexport const a = o?.x\n  ?.toFixed(0), b = 'x' in o ? .5 : 1;": {"a": "1", "b": 0.5},
    "class A { static #n = 1; static  get n() { return A.#n; } }\nexport const a = A.n, b = 5 in [ , 1] || 3;": {"a": 1, "b": 3},
}  # fmt: skip
RUN = """async (texts) => Promise.all(texts.map(async (text) => {
  const module = await import(`data:text/javascript;charset=utf-8,${encodeURIComponent(text)}`);
  return { ...module };
}))"""
RULES = """([plain, sent]) => [plain, sent].map((text) => {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(text);
  return [...sheet.cssRules].map((rule) => rule.cssText);
})"""


@pytest.mark.browser
def test_programs_mean_what_they_meant(chromium: Any) -> None:
    page = chromium.new_page()

    for texts in (list(PROGRAMS), [script(text) for text in PROGRAMS]):
        assert page.evaluate(RUN, texts) == list(PROGRAMS.values())
    page.close()


def words(text: str) -> list[tuple[str, str]]:
    """What Pygments, which is not ours and is no tree-sitter, reads in a script, comments and spaces left out."""
    nothing = (Comment, Whitespace, Text)
    return [
        (str(kind), word) for kind, word in JavascriptLexer().get_tokens(text) if not any(kind in n for n in nothing)
    ]


@pytest.mark.parametrize("place", sorted(SCRIPTS))
def test_another_reader_finds_the_very_same_words_in_what_is_sent(place: str) -> None:
    assert words(script(SCRIPTS[place])) == words(SCRIPTS[place])


def test_a_joined_file_keeps_no_comment_and_no_indent_and_half_its_weight() -> None:
    plain = joined(SCRIPTS)["client/all.js"]

    sent = script(plain)

    assert "@typedef" in plain
    assert "@typedef" not in sent
    assert "\n " not in sent
    assert len(sent) < 0.6 * len(plain)
    assert script(sent) == sent


def test_what_is_no_javascript_is_refused() -> None:
    with pytest.raises(Unreadable):
        script("const a = ;")
    with pytest.raises(Unreadable):
        script("const a = '\0';")


@pytest.mark.browser
def test_chromium_reads_the_same_rules_in_every_style(chromium: Any) -> None:
    page = chromium.new_page()

    for path in STYLES:
        plain, sent = page.evaluate(RULES, [path.read_text("utf-8"), style(path.read_text("utf-8"))])
        assert plain, path
        # What holds a var() is kept as it was written, but for the spaces after commas.
        assert [rule.replace(", ", ",") for rule in sent] == [rule.replace(", ", ",") for rule in plain], path
    page.close()


@pytest.mark.browser
def test_chromium_reads_the_same_rules_where_spaces_and_quotes_matter(chromium: Any) -> None:
    text = """/* { */ a :hover > b ~ c + d, e  f { width: calc(1px + 2 * (3px - 1px)); --odd: a  b ; content: "; /* x */ }" }
      @media (min-width: 10px) and (max-width : 20px) { [data-a="b  c"]::before { content: 'it\\'s  } '; margin: 0 -1px  auto } }"""
    page = chromium.new_page()

    plain, sent = page.evaluate(RULES, [text, style(text)])

    assert [rule.replace("a  b", "a b") for rule in plain] == sent
    assert len(sent) == 2
    assert len(style(text)) < 0.85 * len(text)
    page.close()


def test_the_edition_sends_them_so() -> None:
    assert edition.assets()["rooms/walk/walk.css"].content.decode() == style(
        (PACKAGE / "rooms/walk/walk.css").read_text("utf-8")
    )
