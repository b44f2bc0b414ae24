"""Scripts and styles without what only people need: comments, indents, spaces.

Not one word of the code is changed, moved or renamed, so that what runs on a tablet is what was written, and a fault
reported from there names the functions we know. (A minifier that rewrites code was tried: it put a variable's use
before its declaration.) What is a comment, a text or a pattern in a script is for a parser to say: tree-sitter's.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from typing import Any

Span = tuple[int, int, bool]  # from, to, whether it is a comment
HELD = "\0"  # stands for a text, a pattern or a template while spaces around it are judged
_CSS = re.compile(r"""/\*.*?\*/|"(?:[^"\\]|\\.)*"|'(?:[^'\\]|\\.)*'""", re.DOTALL)

_LINE = re.compile(r"[ \t]*\n\s*")
# After these no statement can end, and before those none can begin: the end of a line says nothing there.
_OPEN_LINE = re.compile(r"(?<=[{;,(\[:?&|=])\n|\n(?=[})\]:?&|])|(?<!\d)\n(?=\.)")
_SPACE = re.compile(r"(?<=(.))[ \t]+(?=(.))")
_WORD = re.compile(r"[\w$\0]")
_CSS_SPACE = re.compile(r"\s*([{};,>])\s*|(?<=:)\s+")


class Unreadable(ValueError):
    """A text that the parser does not take for a script."""


def script(text: str) -> str:
    """Return a module without comments and needless spaces; raise Unreadable for what is no JavaScript."""
    code, held = _taken_out(text, _script_spans(text))
    code = _OPEN_LINE.sub("", _LINE.sub("\n", code.strip()))
    return _put_back(_SPACE.sub(lambda found: " " if _parts(found[1], found[2]) else "", code), held)


def style(text: str) -> str:
    """Return a style sheet without comments and needless spaces."""
    spans = ((found.start(), found.end(), found[0].startswith("/*")) for found in _CSS.finditer(text))
    code, held = _taken_out(text, spans)
    code = _CSS_SPACE.sub(lambda found: found[1] or "", re.sub(r"\s+", " ", code.strip()))
    return _put_back(code.replace(";}", "}"), held)


def _parts(before: str, after: str) -> bool:
    """Whether two characters would run together without the space between them."""
    if after == ".":
        return before.isdigit()
    return (
        bool(_WORD.match(before) and after != HELD and _WORD.match(after)) or before == after or "/" in (before, after)
    )


def _taken_out(text: str, spans: Iterable[Span]) -> tuple[str, list[str]]:
    """Return the code with a mark for each text in it and a space or a new line for each comment; and the texts."""
    pieces: list[str] = []
    held: list[str] = []
    at = 0
    for start, end, comment in spans:
        pieces.append(text[at:start])
        inside = text[start:end]
        if comment:
            pieces.append("\n" if "\n" in inside else " ")
        else:
            pieces.append(HELD)
            held.append(inside)
        at = end
    return "".join([*pieces, text[at:]]), held


def _put_back(code: str, held: list[str]) -> str:
    texts = iter(held)
    return re.sub(HELD, lambda _: next(texts), code)


def _script_spans(text: str) -> list[Span]:
    """Where comments, texts, patterns and templates stand, the outermost only, in characters."""
    content = text.encode()
    parser, query = _reader()
    root = parser.parse(content).root_node
    if root.has_error or HELD in text:
        raise Unreadable("the parser does not take it for JavaScript")
    found = sorted((node.start_byte, -node.end_byte, kind == "comment") for kind, node in _caught(query, root))
    spans: list[Span] = []
    at = end = 0  # the bytes up to `end` are `at` characters
    for start, negative, comment in found:
        if start < end:
            continue
        first = at + len(content[end:start].decode())
        at, end = first + len(content[start:-negative].decode()), -negative
        spans.append((first, at, comment))
    return spans


def _caught(query: Any, root: Any) -> Iterable[tuple[str, Any]]:
    from tree_sitter import QueryCursor

    for kind, nodes in QueryCursor(query).captures(root).items():
        for node in nodes:
            yield kind, node


@cache
def _reader() -> tuple[Any, Any]:
    import tree_sitter_javascript
    from tree_sitter import Language, Parser, Query

    language = Language(tree_sitter_javascript.language())
    return Parser(language), Query(language, "(comment) @comment [(string) (regex) (template_string)] @text")
