"""The open plan and its Layout: the one place through which a plan changes."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from layoutdesk.plan.model import Plan
from layoutdesk.session.history import History

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Layout

Watcher = Callable[[], None]


class Document:
    """One open plan with its history, its file and its Layout.

    Watchers are called once after every change, in the order in which they were added; they read the new
    state and must not apply edits. The Layout is derived when it is first asked for after a change.
    """

    def __init__(self, plan: Plan | None = None, path: Path | None = None) -> None:
        opened = Plan() if plan is None else plan
        self._history = History(opened, saved=opened)
        self._layout: Layout | None = None
        self._layout_of: Plan | None = None
        self._watchers: list[Watcher] = []
        self.path = path

    @property
    def plan(self) -> Plan:
        """Return the plan as it stands."""
        return self._history.plan

    @property
    def layout(self) -> Layout:
        """Return what follows from the plan as it stands."""
        if self._layout is None or self._layout_of is not self.plan:
            from layoutdesk.engine.derive import derive

            self._layout, self._layout_of = derive(self.plan), self.plan
        return self._layout

    @property
    def changed(self) -> bool:
        """Return whether there is anything unsaved."""
        return self._history.changed

    @property
    def undo_label(self) -> str | None:
        """Return the name of what undo would take back, or None."""
        return self._history.undo_label

    @property
    def redo_label(self) -> str | None:
        """Return the name of what redo would bring again, or None."""
        return self._history.redo_label

    def watch(self, watcher: Watcher) -> None:
        """Have ``watcher`` called after every change."""
        self._watchers.append(watcher)

    def apply(self, label: str, edit: Callable[[Plan], Plan], *, merge: object = None) -> None:
        """Carry out an edit as one step to undo; an edit that changes nothing leaves no step.

        Args:
            label: the gesture's name, as Undo shows it: ``Move P4``.
            edit: takes the plan as it stands and returns the new one.
            merge: steps with the same key in a row become one, as while dragging.

        Raises:
            EditError: from the edit; the plan is then unchanged.
        """
        after = edit(self.plan)
        if after is self.plan or after == self.plan:
            return
        self._history.push(label, after, merge)
        self._tell()

    def end_merge(self) -> None:
        """End a drag: the next edit starts a step of its own."""
        self._history.end_merge()

    def undo(self) -> None:
        """Take the last step back, if there is one."""
        if self._history.undo():
            self._tell()

    def redo(self) -> None:
        """Bring the last step again, if there is one."""
        if self._history.redo():
            self._tell()

    def replace(self, plan: Plan, path: Path | None, *, unsaved: bool = False) -> None:
        """Open another plan with a new history.

        Args:
            plan: the plan.
            path: where it is saved, or is to be saved.
            unsaved: whether it is in no file yet, as one that was recovered or imported.
        """
        self._history = History(plan, saved=None if unsaved else plan)
        self.path = path
        self._tell()

    def mark_saved(self, path: Path) -> None:
        """Remember that the plan as it stands is in ``path``."""
        self.path = path
        self._history.mark_saved()
        self._tell()

    def _tell(self) -> None:
        for watcher in tuple(self._watchers):
            watcher()
