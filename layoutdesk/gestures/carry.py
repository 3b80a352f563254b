"""Carry out what a gesture asks for."""

from __future__ import annotations

from layoutdesk.gestures.gesture import Outcome
from layoutdesk.session.document import Document
from layoutdesk.session.viewstate import ViewState


def carry_out(outcome: Outcome | None, document: Document, view: ViewState) -> None:
    """Apply an outcome's edit as one step to undo, then select what it says.

    Raises:
        EditError: from the edit; plan and selection are then unchanged.
    """
    if outcome is None:
        return
    before = document.plan
    if outcome.edit is not None:
        document.apply(outcome.label, outcome.edit, merge=outcome.merge)
    if outcome.select_new:
        from layoutdesk.plan.edits import added

        view.select(added(before, document.plan))
    elif outcome.select is not None:
        view.select(outcome.select)
