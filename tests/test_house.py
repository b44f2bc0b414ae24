"""The house itself: which way the imports run, where SQL may stand, how long a file may be, what no file may hold."""

from __future__ import annotations

import ast
import re
import subprocess
from collections.abc import Iterator
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "inspect_app"
MODULES = sorted(PACKAGE.rglob("*.py"))
TEMPLATES = sorted(PACKAGE.rglob("*.html"))

# What each part may import of the others. The arrows run one way: rooms → journal, photos, sheet, rates → trade.
# The words are under all of them: a sentence is said where it is known.
ARROWS = {
    "words": set(),
    "trade": {"words"},
    "rates": {"words"},
    "serving": {"words"},
    "client": set(),
    "photos": {"words", "trade"},
    "sheet": {"words", "trade", "photos"},
    "journal": {"words", "trade", "photos"},
    "rooms": {"words", "trade", "rates", "photos", "sheet", "journal"},
}
PURE = {"trade", "rates"}
# What the pure parts may not know: the web, the database, the time of day.
IMPURE = {"flask", "flask_wtf", "werkzeug", "wtforms", "sqlite3", "sqlite_utils", "time", "requests"}


@cache
def nodes(module: Path) -> tuple[ast.AST, ...]:
    """Everything a module is made of."""
    return tuple(ast.walk(ast.parse(module.read_text("utf-8"))))


def imports(module: Path) -> Iterator[str]:
    """Every module a file imports, also inside functions; not what is for the type checker alone."""
    typing_only = {
        id(inner)
        for node in nodes(module)
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"
        for inner in ast.walk(node)
    }
    for node in nodes(module):
        if id(node) in typing_only:
            continue
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            yield node.module
            yield from (f"{node.module}.{name.name}" for name in node.names)


def part_of(dotted: str) -> str | None:
    """The part of the house a dotted name belongs to, or None."""
    head, _, rest = dotted.partition(".")
    part = rest.partition(".")[0]
    return part if head == "inspect_app" and part in ARROWS else None


@cache
def tracked() -> list[Path]:
    """Files that git keeps, or would keep, and that can be read as text."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    if listed.returncode != 0:
        pytest.skip("this is no checkout of the repository")
    files = (ROOT / name for name in listed.stdout.splitlines())
    return [file for file in files if file.is_file() and b"\0" not in file.read_bytes()[:4096]]


@pytest.mark.parametrize("part", ARROWS)
def test_imports_run_one_way(part: str) -> None:
    strays = [
        f"{module.relative_to(ROOT)} imports {name}"
        for module in sorted((PACKAGE / part).rglob("*.py"))
        for name in imports(module)
        if part_of(name) not in {None, part} | ARROWS[part]
    ]

    assert strays == []


@pytest.mark.parametrize("part", sorted(PURE))
def test_the_pure_parts_know_no_web_no_database_and_no_clock(part: str) -> None:
    strays = [
        f"{module.relative_to(ROOT)} imports {name}"
        for module in sorted((PACKAGE / part).rglob("*.py"))
        for name in imports(module)
        if name.partition(".")[0] in IMPURE
    ]
    clocks = [
        f"{module.relative_to(ROOT)} asks for the time"
        for module in sorted((PACKAGE / part).rglob("*.py"))
        if re.search(r"\b(datetime\.now|date\.today|datetime\.utcnow)\(", module.read_text("utf-8"))
    ]

    assert strays + clocks == []


# What a script names of other files: imports, also in the types of its comments.
SCRIPT_IMPORTS = re.compile(r"""(?:\bfrom\s+|\bimport\s*\(?\s*)["'](\.[^"']+)["']""")
ROOM_SCRIPT = re.compile(r"""room_url\(\s*['"](\w+)['"]\s*,\s*['"][\w./]+\.js['"]""")


def script_strays(package: Path) -> list[str]:
    """Scripts that name what is not theirs: a room knows itself and client/, client/ knows itself alone."""
    strays = []
    for script in sorted(package.rglob("*.js")):
        inside = script.relative_to(package).parts
        own = package.joinpath(*inside[: 2 if inside[0] == "rooms" else 1])
        for name in SCRIPT_IMPORTS.findall(script.read_text("utf-8")):
            target = (script.parent / name).resolve()
            if not target.is_file():
                strays.append(f"{'/'.join(inside)} imports {name}, which is not there")
            elif not any(target.is_relative_to(home) for home in (own, package / "client")):
                strays.append(f"{'/'.join(inside)} imports {name}")
    return strays


def test_no_rooms_script_imports_another_rooms() -> None:
    assert script_strays(PACKAGE) == []


def test_the_search_for_strays_among_the_scripts_finds_them(tmp_path: Path) -> None:
    for name, text in {
        "client/el.js": 'import("../rooms/walk/walk.js")',
        "rooms/walk/walk.js": 'import { el } from "../../client/el.js";\nimport "./gone.js";',
        "rooms/again/again.js": '/** @typedef {import("../walk/walk.js").Walk} Walk */\nimport { a } from "../walk/walk.js";',
    }.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text)

    assert [stray.split()[0] for stray in script_strays(tmp_path)] == [
        "client/el.js", "rooms/again/again.js", "rooms/again/again.js", "rooms/walk/walk.js",
    ]  # fmt: skip


def test_a_rooms_page_names_its_own_scripts_and_the_shared_ones_alone() -> None:
    named = [
        (template.relative_to(PACKAGE).as_posix(), room)
        for template in TEMPLATES
        for room in ROOM_SCRIPT.findall(template.read_text("utf-8"))
    ]

    assert named
    assert [
        f"{template} names a script of {room}" for template, room in named if f"rooms/{room}/" not in template
    ] == []


SQL_WRITES = re.compile(
    r"\b(INSERT (OR \w+ )?INTO|UPDATE \w+ SET|DELETE FROM|CREATE (TABLE|INDEX)|ALTER TABLE|DROP )", re.S
)
SQL_READS = re.compile(r"\bSELECT\b.+\bFROM\b", re.S)


def texts(module: Path) -> Iterator[str]:
    """Every string of a module that is not a docstring."""
    docs = {
        id(node.body[0].value)
        for node in nodes(module)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    for node in nodes(module):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
            yield node.value
        elif isinstance(node, ast.JoinedStr):
            yield "".join(part.value if isinstance(part, ast.Constant) else "x" for part in node.values)


def sql_outside() -> list[str]:
    """Modules outside the journal that hold SQL, each with its first words."""
    found = []
    for module in MODULES:
        if module.is_relative_to(PACKAGE / "journal"):
            continue
        for text in texts(module):
            if SQL_READS.search(text) or SQL_WRITES.search(text):
                found.append(f"{module.relative_to(ROOT).as_posix()}: {' '.join(text.split())[:60]}")
    return found


def test_sql_stands_in_the_journal_alone() -> None:
    assert sql_outside() == []


def test_the_search_for_sql_finds_what_it_is_for() -> None:
    # A check that cannot fail is a defect: the journal itself is full of what is searched for.
    texts_of_journal = [text for module in (PACKAGE / "journal").rglob("*.py") for text in texts(module)]

    assert any(SQL_READS.search(text) for text in texts_of_journal)
    assert any(SQL_WRITES.search(text) for text in texts_of_journal)


CODE = {".py", ".js", ".css", ".html", ".sh"}
LONGEST = {".html": 120}


def test_no_file_has_grown_beyond_what_one_reads_at_a_sitting() -> None:
    long = [
        f"{file.relative_to(ROOT)} has {lines} lines (at most {most})"
        for file in tracked()
        if file.suffix in CODE and file.relative_to(ROOT).parts[0] != "docs"
        for lines, most in [(len(file.read_text("utf-8").splitlines()), LONGEST.get(file.suffix, 400))]
        if lines > most
    ]

    assert long == []


# Spelled apart with a dot in the middle, so that this file does not hold what it looks for.
FORBIDDEN = {
    "a path of the machine it was written on": "/wo·rk/ /ro·ot/ /tmp/br·ief",
    "the host of a registry": "pyp·i.org python·hosted.org npm·js.org npm·js.com deb.deb·ian.org",
    "papers that are not part of this project": "trans·cript seed·_document ../sh·ared check-·values.md",
}


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_file_names(what: str) -> None:
    found = [
        f"{file.relative_to(ROOT)}: {word}"
        for file in tracked()
        for text in [file.read_text("utf-8", errors="replace").lower()]
        for word in FORBIDDEN[what].replace("·", "").split()
        if word.replace("_", " ") in text
    ]

    assert found == []


class Markup(HTMLParser):
    """Collects what a strict Content-Security-Policy would not run."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = dict(attrs)
        if tag == "style":
            self.found.append(f"line {self.getpos()[0]}: <style>")
        if tag == "script" and "src" not in names and names.get("type") != "application/json":
            self.found.append(f"line {self.getpos()[0]}: a script without a file")
        self.found += [
            f"line {self.getpos()[0]}: {name}=" for name in names if name == "style" or name.startswith("on")
        ]

    handle_startendtag = handle_starttag


JINJA = re.compile(r"\{%.*?%\}|\{#.*?#\}|\{\{.*?\}\}", re.S)


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_a_template_holds_no_inline_script_or_style(template: Path) -> None:
    read = Markup()
    read.feed(JINJA.sub("", template.read_text("utf-8")))

    assert read.found == []


def test_the_search_for_inline_scripts_finds_them() -> None:
    read = Markup()
    read.feed('<p style="color:red" onclick="go()">x</p><script>go()</script><style>p{}</style>')

    assert len(read.found) == 4


def test_no_script_writes_a_style_attribute_into_markup() -> None:
    scripts = [file for file in PACKAGE.rglob("*") if file.suffix in {".js", ".svg", ".py"}]
    found = [file.relative_to(ROOT) for file in scripts if re.search(r"""\bstyle=\\?["']""", file.read_text("utf-8"))]

    assert scripts
    assert found == []
