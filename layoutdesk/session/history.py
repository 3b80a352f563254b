"""Undo and redo: a list of plans, one entry per gesture, without limit."""

from __future__ import annotations

from dataclasses import dataclass

from layoutdesk.plan.model import Plan


@dataclass(frozen=True, slots=True)
class Entry:
    """A plan and the name of the gesture that made it."""

    label: str
    plan: Plan


class History:
    """The plans so far. Plans are immutable and share what an edit did not touch, so keeping all is cheap.

    ``saved`` is the plan that the file holds; None when no file holds it, as after a recovery.
    """

    def __init__(self, plan: Plan, *, saved: Plan | None) -> None:
        self._entries = [Entry("", plan)]
        self._index = 0
        self._saved = saved
        self._open: object = None

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
        """Return whether the plan differs from what was last saved, however it came to be as it is."""
        return self.plan is not self._saved and self.plan != self._saved

    def push(self, label: str, plan: Plan, merge: object = None) -> None:
        """Put a new plan on top and drop what could have been redone.

        While one ``merge`` key is pushed again and again, the top entry is replaced: a drag or a run of nudges
        is one step to undo, and none when it ends where it began. Undo, redo, saving and :meth:`end_merge` end
        the run.
        """
        del self._entries[self._index + 1 :]
        if merge is not None and merge == self._open:
            if plan == self._entries[self._index - 1].plan:
                del self._entries[self._index]
                self._index -= 1
                self._open = None
            else:
                self._entries[self._index] = Entry(label, plan)
            return
        self._entries.append(Entry(label, plan))
        self._index += 1
        self._open = merge

    def end_merge(self) -> None:
        """Close the top entry, so that the next push with the same key starts a new one."""
        self._open = None

    def undo(self) -> bool:
        """Step back; return whether there was anything to take back."""
        if not self._index:
            return False
        self._index -= 1
        self._open = None
        return True

    def redo(self) -> bool:
        """Step forward; return whether there was anything to bring again."""
        if self._index + 1 >= len(self._entries):
            return False
        self._index += 1
        self._open = None
        return True

    def mark_saved(self) -> None:
        """Remember the plan as it stands as the saved one."""
        self._saved = self.plan
        self._open = None
