"""Undo and redo: a list of plans, one entry per gesture, without limit."""

from __future__ import annotations

from dataclasses import dataclass

from layoutdesk.plan.model import Plan


@dataclass(frozen=True, slots=True)
class Entry:
    """A plan and the name of the gesture that made it; equal ``merge`` keys in a row become one entry."""

    label: str
    plan: Plan
    merge: object = None


class History:
    """The plans so far. Plans are immutable and share what an edit did not touch, so keeping all is cheap."""

    def __init__(self, plan: Plan) -> None:
        self._entries = [Entry("", plan)]
        self._index = 0
        self._saved = 0

    @property
    def plan(self) -> Plan:
        """Return the plan as it stands."""
        return self._entries[self._index].plan

    @property
    def undo_label(self) -> str | None:
        """Return the name of what undo would take back, or None."""
        return self._entries[self._index].label if self._index else None

    @property
    def redo_label(self) -> str | None:
        """Return the name of what redo would bring again, or None."""
        after = self._index + 1
        return self._entries[after].label if after < len(self._entries) else None

    @property
    def changed(self) -> bool:
        """Return whether the plan differs from what was last saved."""
        return self._index != self._saved and self.plan != self._saved_plan

    @property
    def _saved_plan(self) -> Plan | None:
        return self._entries[self._saved].plan if self._saved >= 0 else None

    def push(self, label: str, plan: Plan, merge: object = None) -> None:
        """Put a new plan on top and drop what could have been redone.

        With a ``merge`` key that equals the top entry's, the top entry is replaced: a drag or a run of nudges
        is one step to undo. An entry that was saved is never merged into.
        """
        top = self._entries[self._index]
        del self._entries[self._index + 1 :]
        if self._saved > self._index:
            self._saved = -1
        if merge is not None and top.merge == merge and self._index and self._saved != self._index:
            self._entries[self._index] = Entry(label, plan, merge)
            return
        self._entries.append(Entry(label, plan, merge))
        self._index += 1

    def end_merge(self) -> None:
        """Close the top entry, so that the next push with the same key starts a new one."""
        top = self._entries[self._index]
        self._entries[self._index] = Entry(top.label, top.plan)

    def undo(self) -> bool:
        """Step back; return whether there was anything to take back."""
        if not self._index:
            return False
        self._index -= 1
        return True

    def redo(self) -> bool:
        """Step forward; return whether there was anything to bring again."""
        if self._index + 1 >= len(self._entries):
            return False
        self._index += 1
        return True

    def mark_saved(self) -> None:
        """Remember the plan as it stands as the saved one."""
        self._saved = self._index
