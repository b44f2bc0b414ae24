"""Where somebody chose otherwise than the rules say, in the words of the sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from inspect_app.sheet import data as said
from inspect_app.trade.outline_model import part_label
from inspect_app.words import gettext as _
from inspect_app.words import midway

if TYPE_CHECKING:
    from inspect_app.rooms.signoff.sheet_data import Telling


@dataclass
class OverrideWords:
    """Says the choices that were made against a rule or a sum, each with its reason."""

    telling: Telling

    def overrides(self) -> Iterator[said.Override]:
        """A row for each choice, the oldest first; a plan has one for every part that goes otherwise."""
        for event in self.telling.found.otherwise:
            body, resolved = event["body"], event["resolved"]
            for what, reason in self._told(event["type"], body, resolved):
                yield said.Override(what=what, reason=reason, person=self.telling.name(event["person"]), at=event["at"])

    def _told(self, kind: str, body: Mapping[str, Any], resolved: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
        if kind == "plan_accepted":
            for one in body["otherwise"]:
                part = _(part_label(one["part"]))
                if one["chosen"] == "refinish":
                    yield _("Plan: %(part)s refinished whole", part=part), one["reason"]
                else:
                    yield _("Plan: %(part)s repaired spot by spot", part=part), one["reason"]
        elif kind == "part_refitted":
            if body.get("reason"):
                label = resolved.get("piece") or _("a part")
                yield _("%(part)s refitted beside paint of another mix", part=_(label)), body["reason"]
        else:
            reason = body.get("reason") if kind == "method_chosen" else body.get("method_reason")
            if reason:
                tags = [self.telling.tags.get(one, "") for one in resolved.get("markers") or [body.get("marker")]]
                yield self._method(", ".join(filter(None, tags)), body.get("method"), resolved.get("barred")), reason

    def _method(self, tags: str, key: str | None, barred: str | None) -> str:
        found = self.telling.catalogue.methods.get(key or "")
        method = midway(_(found.label)) if found else _("the method planned")
        if barred:
            return _("By “%(method)s”, barred: %(barred)s", method=method, barred=barred)
        return _("%(tags)s by “%(method)s”", tags=tags, method=method)
