"""Attachment and Control point: gestures of a single place."""

from __future__ import annotations

from layoutdesk.gestures.drawing import Drawing
from layoutdesk.gestures.gesture import Field, Ghost, Outcome
from layoutdesk.plan import edits
from layoutdesk.plan.model import ATTACHMENT_KINDS, AttachmentKind


class AttachmentGesture(Drawing):
    """Marks where a beam meets the house."""

    name = "Attachment"

    @property
    def doing(self) -> str:
        """Return what is set."""
        return "Attachment at"

    @property
    def hint(self) -> str:
        """Return where to click."""
        return "Click on a wall, or type where it is · Enter to set"

    @property
    def _kind(self) -> AttachmentKind:
        value = self._chosen.get("kind", ATTACHMENT_KINDS[0])
        return next((k for k in ATTACHMENT_KINDS if k == value), ATTACHMENT_KINDS[0])

    def _own_fields(self) -> tuple[Field, ...]:
        return (self._choice("kind", ATTACHMENT_KINDS, ATTACHMENT_KINDS[0]),)

    def _take(self) -> Outcome:
        at, kind = self._at, self._kind
        self._next(None)
        return Outcome("Set attachment", lambda plan: edits.add_attachment(plan, at, kind=kind), select_new=True)

    def _ghosts(self) -> tuple[Ghost, ...]:
        return (Ghost("attachment", (self._at,)),) if self._shows else ()


class ControlGesture(Drawing):
    """Marks a point that can be found again and taped from."""

    name = "Control point"

    @property
    def doing(self) -> str:
        """Return what is set."""
        return "Control point at"

    @property
    def hint(self) -> str:
        """Return where to click."""
        return "Click a corner of the house or a nail in a hub · Enter to set"

    def _take(self) -> Outcome:
        at = self._at
        self._next(None)
        return Outcome("Set control point", lambda plan: edits.add_control(plan, at), select_new=True)

    def _ghosts(self) -> tuple[Ghost, ...]:
        return (Ghost("control", (self._at,)),) if self._shows else ()
