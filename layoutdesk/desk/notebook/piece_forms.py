"""The forms of the pieces that can be picked: one class a kind, all filled from the plan and its Layout."""

from __future__ import annotations

from typing import cast

from PySide6.QtWidgets import QPushButton

from layoutdesk.desk.notebook.cards import stacked
from layoutdesk.desk.notebook.form import Form, Places, button_row
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.engine.layout import Layout
from layoutdesk.plan import edits
from layoutdesk.plan.model import (
    ATTACHMENT_KINDS,
    KEEPOUT_KINDS,
    Attachment,
    AttachmentKind,
    BeamLine,
    Control,
    Keepout,
    KeepoutKind,
    Piece,
    Pier,
    Side,
    Slab,
    SpotHeight,
    Wall,
    places_of,
)
from layoutdesk.session.document import Document

NO_LINE = "none"


def kind_of(piece: Piece) -> str:
    """Return what a piece is called."""
    names: dict[type[Piece], str] = {
        Wall: "Wall",
        Attachment: "Attachment",
        BeamLine: "Beam line",
        Control: "Control point",
        Slab: "Slab",
        Keepout: "Keep-out",
        SpotHeight: "Spot",
        Pier: "Pier",
    }
    return names[type(piece)]


class PieceForm(Form):
    """A form on one piece: its name first, its places last."""

    def __init__(self, document: Document, name_caption: str = "Name") -> None:
        super().__init__(document)
        self._name = self.text_row(name_caption, self._rename)
        self.places = Places(document)
        self.make_rows()
        self.add(self.places)

    def make_rows(self) -> None:
        """Make the rows between name and places."""

    def fill(self, piece: Piece, layout: Layout) -> None:
        """Show a piece."""
        self.piece_id = piece.id
        self._name.show_text(piece.label if isinstance(piece, Pier) else piece.id)
        self.fill_rows(piece, layout)
        at = places_of(piece)
        self.places.show_places(piece.id, self.captions(piece, len(at)), at, layout)

    def fill_rows(self, piece: Piece, layout: Layout) -> None:
        """Show what stands between name and places."""

    def captions(self, piece: Piece, count: int) -> tuple[str, ...]:
        """Return what the places are called."""
        if isinstance(piece, BeamLine):
            return ("start", "end")
        return ("at",) if count == 1 else tuple(f"corner {k + 1}" for k in range(count))

    def _rename(self, name: str) -> None:
        piece = self.piece_id
        self.do(f"Rename {piece}", lambda p: edits.rename(p, piece, name))


class PierForm(PieceForm):
    """Mark, beam line and detail of a pier."""

    def __init__(self, document: Document) -> None:
        super().__init__(document, "Mark")

    def make_rows(self) -> None:
        """Make the rows."""
        self._line = self.choice_row("Beam line", self._set_line)
        self._detail = self.choice_row("Detail", self._set_detail)

    def fill_rows(self, piece: Piece, layout: Layout) -> None:
        """Show beam line and detail."""
        pier = cast("Pier", piece)
        plan = layout.plan
        self._line.show_choice([(None, NO_LINE), *((line.id, line.id) for line in plan.lines)], pier.line)
        self._detail.show_choice([(None, NO_LINE), *((d.id, d.id) for d in plan.details)], pier.detail)

    def _set_line(self, key: object) -> None:
        pier = self.piece_id
        self.do(f"Beam line of {pier}", lambda p: edits.assign_line(p, [pier], cast("str | None", key)))

    def _set_detail(self, key: object) -> None:
        pier = self.piece_id
        self.do(f"Detail of {pier}", lambda p: edits.assign_detail(p, [pier], cast("str | None", key)))


class AttachmentForm(PieceForm):
    """Kind of an attachment."""

    def make_rows(self) -> None:
        """Make the rows."""
        self._kind = self.choice_row("Kind", self._set_kind)

    def fill_rows(self, piece: Piece, layout: Layout) -> None:
        """Show the kind."""
        del layout
        self._kind.show_choice([(k, k) for k in ATTACHMENT_KINDS], cast("Attachment", piece).kind)

    def _set_kind(self, key: object) -> None:
        piece, kind = self.piece_id, cast("AttachmentKind", key)
        self.do(f"Kind of {piece}", lambda p: edits.set_attachment_kind(p, piece, kind))


class LineForm(PieceForm):
    """Attachment of a beam line."""

    def make_rows(self) -> None:
        """Make the rows."""
        self._attachment = self.choice_row("Attachment", self._set_attachment)

    def fill_rows(self, piece: Piece, layout: Layout) -> None:
        """Show the attachment."""
        offered = [(None, NO_LINE), *((a.id, f"{a.id}, {a.kind}") for a in layout.plan.attachments)]
        self._attachment.show_choice(offered, cast("BeamLine", piece).attachment)

    def _set_attachment(self, key: object) -> None:
        line = self.piece_id
        self.do(f"Attachment of {line}", lambda p: edits.attach_line(p, line, cast("str | None", key)))


class SlabForm(PieceForm):
    """Thickness of a slab."""

    def make_rows(self) -> None:
        """Make the rows."""
        self._thickness = self.length_row("Thickness", self._set_thickness)

    def fill_rows(self, piece: Piece, layout: Layout) -> None:
        """Show the thickness."""
        self._thickness.show_length(cast("Slab", piece).thickness, LengthText.of(layout.plan))

    def _set_thickness(self, value: float) -> None:
        slab = self.piece_id
        self.do(f"Thickness of {slab}", lambda p: edits.set_thickness(p, slab, value))


class KeepoutForm(PieceForm):
    """Kind of a keep-out."""

    def make_rows(self) -> None:
        """Make the rows."""
        self._kind = self.choice_row("Kind", self._set_kind)

    def fill_rows(self, piece: Piece, layout: Layout) -> None:
        """Show the kind."""
        del layout
        self._kind.show_choice([(k, k) for k in KEEPOUT_KINDS], cast("Keepout", piece).kind)

    def _set_kind(self, key: object) -> None:
        piece, kind = self.piece_id, cast("KeepoutKind", key)
        self.do(f"Kind of {piece}", lambda p: edits.set_keepout_kind(p, piece, kind))


class WallForm(PieceForm):
    """House side of a wall."""

    def make_rows(self) -> None:
        """Make the rows."""
        self._side = self.choice_row("House lies", self._set_side)

    def fill_rows(self, piece: Piece, layout: Layout) -> None:
        """Show the house side."""
        del layout
        sides = [("left", "left of it, as drawn"), ("right", "right of it, as drawn")]
        self._side.show_choice(sides, cast("Wall", piece).house_side)

    def _set_side(self, key: object) -> None:
        wall, side = self.piece_id, cast("Side", key)
        self.do(f"House side of {wall}", lambda p: edits.set_house_side(p, wall, side))


class ManyForm(Form):
    """What can be done to several pieces at once."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self._ids: tuple[str, ...] = ()
        self._line = self.choice_row("Beam line", self._set_line)
        self._detail = self.choice_row("Detail", self._set_detail)
        for row in (self._line, self._detail):
            row.box.setPlaceholderText("different ones")
        self._station = QPushButton("Same station")
        self._station.setToolTip("Bring all to the station of the one picked first")
        self._station.clicked.connect(self._on_station)
        self._offset = QPushButton("Same offset")
        self._offset.setToolTip("Bring all to the offset of the one picked first")
        self._offset.clicked.connect(self._on_offset)
        self._equal = QPushButton("Space equally")
        self._equal.setToolTip("Leave the two that are farthest apart, and space the others equally between them")
        self._equal.clicked.connect(self._on_equal)
        self._buttons = stacked(button_row(self._station, self._offset), button_row(self._equal), spacing=2)
        self.add(self._buttons)

    def fill(self, pieces: list[Piece], layout: Layout) -> None:
        """Show several pieces."""
        self._ids = tuple(p.id for p in pieces)
        piers = [p for p in pieces if isinstance(p, Pier)]
        plan = layout.plan
        for row in (self._line, self._detail):
            row.setVisible(bool(piers))
        lines, details = {p.line for p in piers}, {p.detail for p in piers}
        line = next(iter(lines)) if len(lines) == 1 else "?"
        detail = next(iter(details)) if len(details) == 1 else "?"
        self._line.show_choice([(None, NO_LINE), *((x.id, x.id) for x in plan.lines)], line)
        self._detail.show_choice([(None, NO_LINE), *((d.id, d.id) for d in plan.details)], detail)
        points = sum(isinstance(p, Pier | Attachment | Control | SpotHeight) for p in pieces)
        self._buttons.setVisible(points > 1)
        for button in (self._station, self._offset):
            button.setEnabled(layout.frame is not None)
        self._equal.setEnabled(points > 2)

    def _piers(self) -> list[str]:
        mine = set(self._ids)
        return [p.id for p in self.document.plan.piers if p.id in mine]

    def _set_line(self, key: object) -> None:
        piers = self._piers()
        self.do("Beam line of the picked piers", lambda p: edits.assign_line(p, piers, cast("str | None", key)))

    def _set_detail(self, key: object) -> None:
        piers = self._piers()
        self.do("Detail of the picked piers", lambda p: edits.assign_detail(p, piers, cast("str | None", key)))

    def _on_station(self) -> None:
        ids = self._ids
        self.try_to("Align by station", lambda p: edits.align(p, ids, by="station"))

    def _on_offset(self) -> None:
        ids = self._ids
        self.try_to("Align by offset", lambda p: edits.align(p, ids, by="offset"))

    def _on_equal(self) -> None:
        ids = self._ids
        self.try_to("Space equally", lambda p: edits.space_equally(p, ids))
