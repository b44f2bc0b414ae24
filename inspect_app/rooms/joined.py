"""Modules joined for the way to the tablet: one file for client/, one for each room, where seventy small ones were.

Each module becomes a function in its file, run when it is first needed, in the order in which the browser would have
run it. Under its own address a module is still there with all it exports, in two lines that take it from the joined
file, so that whoever imports it, from wherever, gets the one that is running. Nothing is renamed, nothing left out.

It is no bundler: it knows the few forms of import and export that our modules keep to, each at the start of a line, and
refuses any other (`Unjoinable`). Bindings are handed over when a module has run; so there may be no circles and no
`export let`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from posixpath import dirname, join, normpath, relpath

ALL = "all.js"  # in client/ and in each room's folder; no module may have this name
SHARED = f"client/{ALL}"
APART = ("client/desk",)  # folders of client/ in a file of their own: most pages need them, those that mark do not
HEAD = """const made = {}, all = {};
export const add = (more) => void Object.assign(all, more);
export const need = (place) => made[place] ??= all[place]();
"""
_IMPORT = re.compile(r"""^import (?:(\{[^}]*\}|\* as [\w$]+) from )?"(\.[^"]+)";[ \t]*$""", re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async function|function|class|const) ([\w$]+))", re.MULTILINE)
_LIST = re.compile(r"^export \{([\w$,\s]*)\};[ \t]*$", re.MULTILINE)
_OTHER = re.compile(r"^(?:import|export)\b.*$|\bawait import\(|\bimport\.meta\b", re.MULTILINE)


class Unjoinable(ValueError):
    """A module that cannot be joined to others; the message says which and why."""


@dataclass(frozen=True, kw_only=True)
class Module:
    """One module: the places it imports in their order, the names it exports, and its text as a function's body."""

    place: str
    imports: tuple[str, ...]
    exports: tuple[str, ...]
    body: str

    @property
    def home(self) -> str:
        """The folder it is joined in: `client` for what pages share, its room's, or one of APART."""
        folder = "/".join(dirname(self.place).split("/")[:2])
        return folder if folder.startswith("rooms/") or folder in APART else "client"


def joined(scripts: Mapping[str, str]) -> dict[str, str]:
    """Return what is sent instead of these scripts (text by place): the joined files, and a way to each module.

    Raises Unjoinable.
    """
    modules = {place: read(place, text) for place, text in scripts.items()}
    for module in modules.values():
        _check(module, modules)
    _refuse_circles(modules)
    homes: dict[str, list[Module]] = {"client": []}
    for module in modules.values():
        homes.setdefault(module.home, []).append(module)
    files = {f"{home}/{ALL}": _file(home, those, modules) for home, those in homes.items()}
    return {**files, **{place: _way_to(module) for place, module in modules.items()}}


def read(place: str, text: str) -> Module:
    """Return a module with its imports and exports rewritten; raise Unjoinable for a form that is not known."""
    imports: list[str] = []

    def taken(found: re.Match[str]) -> str:
        target = normpath(join(dirname(place), found[2]))
        imports.append(target)
        names = (found[1] or "").removeprefix("* as ").replace(" as ", ": ")
        return f'const {names} = need("{target}");' if names else f'need("{target}");'

    body = _IMPORT.sub(taken, text)
    listed = [name.strip() for found in _LIST.finditer(body) for name in found[1].split(",") if name.strip()]
    exports = (*(found[1] for found in _EXPORT.finditer(body)), *listed)
    body = _EXPORT.sub("", _LIST.sub("", body))
    if other := _OTHER.search(body):
        raise Unjoinable(f"{place} says '{other[0].strip()[:60]}', which joined.py does not know")
    return Module(place=place, imports=tuple(imports), exports=exports, body=body)


def _check(module: Module, modules: Mapping[str, Module]) -> None:
    if module.place == f"{module.home}/{ALL}":
        raise Unjoinable(f"{module.place} has the name of the joined file; give it another")
    for target in module.imports:
        if target not in modules:
            raise Unjoinable(f"{module.place} imports {target}, which is not there")
        home = modules[target].home
        if home.startswith("rooms/") and home != module.home:
            raise Unjoinable(f"{module.place} imports {target} of another room")
        if home in APART and module.home == "client":
            raise Unjoinable(f"{module.place} imports {target}, which some pages do not have")


def _refuse_circles(modules: Mapping[str, Module]) -> None:
    done: set[str] = set()

    def visit(place: str, way: tuple[str, ...]) -> None:
        if place in way:
            raise Unjoinable(f"{place} imports itself by way of {way[-1]}")
        if place not in done:
            for target in modules[place].imports:
                visit(target, (*way, place))
            done.add(place)

    for place in modules:
        visit(place, ())


def _file(home: str, those: Iterable[Module], modules: Mapping[str, Module]) -> str:
    others = {modules[target].home for module in those for target in module.imports} - {home, "client"}
    head = "".join(f'import "{_from(home, f"{other}/{ALL}")}";\n' for other in sorted(others))
    head += HEAD if home == "client" else f'import {{ add, need }} from "{_from(home, SHARED)}";\n'
    told = ",\n".join(
        f'"{module.place}": () => {{\n{module.body}\nreturn {{ {", ".join(module.exports)} }};\n}}' for module in those
    )
    return f"{head}add({{\n{told}\n}});\n"


def _way_to(module: Module) -> str:
    folder = dirname(module.place)
    own = "" if module.home == "client" else f'import "{_from(folder, f"{module.home}/{ALL}")}";\n'
    names = f"export const {{ {', '.join(module.exports)} }} = " if module.exports else ""
    return f'{own}import {{ need }} from "{_from(folder, SHARED)}";\n{names}need("{module.place}");\n'


def _from(folder: str, place: str) -> str:
    way = relpath(place, folder)
    return way if way.startswith(".") else f"./{way}"
