"""A newer issue of the drawing while it is held against the plan: its changes, and which of them are picked."""

from __future__ import annotations

from base64 import b64decode
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

from layoutdesk.plan.edits.revising import Change, revise
from layoutdesk.plan.model import Plan

if TYPE_CHECKING:
    from layoutdesk.importers.linework import Progress
    from layoutdesk.importers.revision import Revision


def compare_plans(order: dict[str, Any], _: Progress) -> tuple[dict[str, Any], bytes]:
    """Return the comparison of two plans: what the second process does when it is ordered to ``compare``."""
    import msgspec

    from layoutdesk.importers.revision import compare
    from layoutdesk.plan.file import plan_from_json

    plan = plan_from_json(b64decode(order["plan"]), "the plan")
    newer = plan_from_json(b64decode(order["newer"]), "the newer issue")
    return {}, msgspec.msgpack.encode(compare(plan, newer, marks=order["marks"]))


def revision_from_bytes(data: bytes) -> Revision:
    """Return the comparison that :func:`compare_plans` made."""
    import msgspec

    from layoutdesk.importers.revision import Revision

    return msgspec.msgpack.decode(data, type=Revision)


class Revising:
    """The changes of a newer issue, which of them are picked, and which one is looked at.

    Watchers are called once after every change of these. All changes are picked to begin with.
    """

    def __init__(self, plan: Plan, revision: Revision) -> None:
        self._watchers: list[Callable[[], None]] = []
        self.plan, self.revision = plan, revision
        self.changes = revision.changes
        self.picked = frozenset(change.id for change in self.changes)
        self.looked_at: str | None = None
        self._after: tuple[frozenset[str], Plan] | None = None

    def watch(self, watcher: Callable[[], None]) -> None:
        """Have ``watcher`` called after every change."""
        self._watchers.append(watcher)

    def change(self, change_id: str) -> Change | None:
        """Return a change by id."""
        return next((c for c in self.changes if c.id == change_id), None)

    @property
    def after(self) -> Plan:
        """Return the plan as it would be with what is picked."""
        if self._after is None or self._after[0] != self.picked:
            self._after = (self.picked, self.taken(self.plan))
        return self._after[1]

    def taken(self, plan: Plan) -> Plan:
        """Return a plan with what is picked taken over.

        Raises:
            EditError: when the plan has changed so that this cannot be done any more.
        """
        return revise(plan, self.revision.newer, [c for c in self.changes if c.id in self.picked])

    def pick(self, ids: Iterable[str], *, on: bool) -> None:
        """Pick changes, or let them go."""
        named = frozenset(ids)
        picked = self.picked | named if on else self.picked - named
        if picked != self.picked:
            self.picked = picked
            self._tell()

    def look_at(self, change_id: str | None) -> None:
        """Remember which change is looked at."""
        if change_id != self.looked_at:
            self.looked_at = change_id
            self._tell()

    def _tell(self) -> None:
        for watcher in tuple(self._watchers):
            watcher()
