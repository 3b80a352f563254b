"""What is cast into the top of a pier: a post, or the base of a column."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final, cast

from layoutdesk.desk.notebook.form import Form
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.errors import EditError
from layoutdesk.plan import edits
from layoutdesk.plan.model import CastInKind, Detail, Plan
from layoutdesk.session.document import Document

_KINDS: Final = (("", "nothing"), ("base", "a column base"), ("post", "a post"))


class CastInForm(Form):
    """What is cast into one detail, and how big it is."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.kind = self.choice_row("Cast in", self._set_kind)
        self.across = self.length_row("Its width", self._length("width"))
        self.along = self.length_row("Its other side", self._length("depth"))
        self.foot = self.length_row("Reaches below the top", self._length("foot"))

    def fill(self, detail: Detail, plan: Plan) -> None:
        """Show what is cast into a detail."""
        self.piece_id = detail.id
        cast_in, text = detail.cast_in, LengthText.of(plan)
        self.kind.show_choice(_KINDS, cast_in.kind if cast_in else "")
        for row, value in (
            (self.across, cast_in.width if cast_in else None),
            (self.along, cast_in.depth if cast_in else None),
            (self.foot, cast_in.foot if cast_in else None),
        ):
            row.setVisible(cast_in is not None)
            row.show_length(value, text)

    def _set_kind(self, key: object) -> None:
        detail_id = self.piece_id
        detail = self.document.plan.detail(detail_id)
        now = detail.cast_in if detail is not None else None
        start = now or edits.usual_cast_in(self.document.plan.units)
        new = replace(start, kind=cast("CastInKind", key)) if key else None
        self.do(f"What is cast into {detail_id}", lambda p: edits.set_cast_in(p, detail_id, new))

    def _length(self, field: str) -> Callable[[float], None]:
        def put(value: float) -> None:
            detail_id = self.piece_id
            detail = self.document.plan.detail(detail_id)
            if detail is None or detail.cast_in is None:
                raise EditError("nothing is cast in any more")
            new = replace(detail.cast_in, **{field: value})  # type: ignore[arg-type]
            self.do(f"What is cast into {detail_id}", lambda p: edits.set_cast_in(p, detail_id, new))

        return put
