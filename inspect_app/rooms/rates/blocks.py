"""From grouped flaws to the blocks of the page: one question each, its lines, its sentence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from inspect_app.journal.queries.rates import Flaws
from inspect_app.rates.table import Line, Row, line, lines
from inspect_app.rates.words import line_words, sentence
from inspect_app.trade.catalogue import Catalogue
from inspect_app.words import N_
from inspect_app.words import gettext as _

NOT_FLAWS = ("withdrawn", "no_flaw")
QUESTIONS = {
    "origin": (N_("Which department makes the marks?"), N_("%(name)s makes most: %(line)s.")),
    "department": (N_("Which department puts them right?"), N_("%(name)s has most to put right: %(line)s.")),
    "kind": (N_("What is found?"), N_("%(name)s is found most: %(line)s.")),
    "class": (N_("Where does it show?"), N_("%(name)s has most: %(line)s.")),
}
HEADS = {"origin": N_("Made by"), "department": N_("Put right by"), "kind": N_("Kind"), "class": N_("Surface class")}


@dataclass(frozen=True, kw_only=True)
class Block:
    """One question: `by` is what the lines tell apart, `none` the labels without a mark, `assumed` how many are."""

    by: str
    question: str
    head: str
    sentence: str
    lines: Sequence[Line]
    labels: Mapping[str, str]
    none: Sequence[str]
    assumed: str = ""


@dataclass(frozen=True, kw_only=True)
class Told:
    """The whole page: `units` were walked for the first time in the period, `whole` is the line over all marks."""

    units: int
    whole: Line
    blocks: Sequence[Block]
    apart: Sequence[str]

    @property
    def lead(self) -> str:
        """The one sentence at the top."""
        text = line_words(self.whole)
        return f"{text[:1].upper()}{text[1:]}."


def tell(flaws: Sequence[Flaws], units: int, catalogue: Catalogue, only: Mapping[str, str]) -> Told:
    """Count what was found on first walks and stands as a flaw; name what is left out. `only` narrows to its keys."""
    chosen = [one for one in flaws if all(key_of(one, by) == key for by, key in only.items())]
    counted = [one for one in chosen if counts(one)]
    labels = label_tables(catalogue)
    short = {key: _(one.short) for key, one in catalogue.departments.items()}
    spoken = {**labels, "origin": short, "department": short}
    total = sum(one.flaws for one in counted)
    return Told(
        units=units,
        whole=line(Row(key="all", count=total, exposure=units)),
        blocks=[_block(by, counted, units, labels[by], spoken[by]) for by in QUESTIONS if by not in only],
        apart=list(_apart(chosen)),
    )


def counts(one: Flaws) -> bool:
    """Whether flaws of this description belong to the rate: first walk, a flaw, no note, no escape."""
    return not _left_out(one)


def key_of(one: Flaws, by: str) -> str:
    """What a flaw is counted under."""
    return str(one.surface_class if by == "class" else getattr(one, by))


def label_tables(catalogue: Catalogue) -> dict[str, dict[str, str]]:
    """Labels for every key that can be counted."""
    departments = {key: _(one.label) for key, one in catalogue.departments.items()}
    return {
        "origin": departments,
        "department": departments,
        "kind": {key: _(one.label) for key, one in catalogue.kinds.items()},
        "class": {
            key: _("class %(letter)s, %(label)s", letter=key, label=_(one.label))
            for key, one in catalogue.classes.items()
        },
    }


def _block(
    by: str, counted: Sequence[Flaws], units: int, labels: Mapping[str, str], spoken: Mapping[str, str]
) -> Block:
    number: Counter[str] = Counter()
    assumed: Counter[str] = Counter()
    for one in counted:
        number[key_of(one, by)] += one.flaws
        assumed[key_of(one, by)] += one.flaws if by == "origin" and one.basis == "assumed" else 0
    rows = [Row(key=key, count=number[key], exposure=units, assumed_count=assumed[key]) for key in number]
    question, says = QUESTIONS[by]
    made = lines(rows)
    none = [] if by == "kind" else [label for key, label in labels.items() if key not in number]
    said = sentence(made, labels=spoken, says=says)
    return Block(
        by=by,
        question=_(question),
        head=_(HEADS[by]),
        sentence=said,
        lines=made,
        labels=labels,
        none=none,
        assumed=_assumed(assumed.total(), number.total()) if by == "origin" else "",
    )


def _assumed(assumed: int, total: int) -> str:
    """How many origins nobody has judged."""
    if not total:
        return ""
    if not assumed:
        return _("Every one of these origins was judged by a person.")
    return _(
        "%(assumed)s of these %(total)s origins are only assumed from the kind of mark; people judged the others.",
        assumed=assumed,
        total=total,
    )


def _apart(chosen: Sequence[Flaws]) -> list[str]:
    """What is not in the rate, and how many there are of it, the weightiest first."""
    number: Counter[str] = Counter()
    for one in chosen:
        number[_left_out(one)] += one.flaws
    return [_(why, n=number[why]) for why in APART if number[why]]


APART = (
    N_("%(n)s found after signing (escapes)"),
    N_("%(n)s withdrawn, joined to another or no flaw"),
    N_("%(n)s only noted (S5)"),
    N_("%(n)s found as it came in"),
    N_("%(n)s marked outside a walk"),
    N_("%(n)s found on a later walk"),
)


def _left_out(one: Flaws) -> str:
    escape, no_flaw, note, incoming, outside, later = APART
    if one.found == "escape":
        return escape
    if one.state in NOT_FLAWS or one.joined:
        return no_flaw
    if one.severity == "S5":
        return note
    return "" if one.found == "first" else {"incoming": incoming, "none": outside}.get(one.found, later)
