"""What the person is looking at: selection, page, hovered piece. Never in the plan, never in the file."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from layoutdesk.session.traced import PageKey, Traced

Page = Literal["plan", "control", "stakes", "levels", "piers", "proof", "buy", "sheets", "incoming"]
"""The pages of the notebook that exist so far, in the order of the job, and the one where a drawing comes in."""


class ViewState:
    """Selection, page and hover, with one announcement for each change.

    ``selected`` is ordered as picked; ids that the plan no longer has are dropped by :meth:`keep_only`.
    ``bay`` is the id of the bay that the Stakes page shows, or None; ``tape`` the two points of a tape that the
    Proof page shows. ``traced`` holds the lines of drawings under
    the sheet, as they are read.
    """

    def __init__(self) -> None:
        self._watchers: list[Callable[[], None]] = []
        self.selected: tuple[str, ...] = ()
        self.page: Page = "plan"
        self.hovered: str | None = None
        self.bay: str | None = None
        self.tape: tuple[str, str] | None = None
        self.traced: dict[PageKey, Traced] = {}

    def watch(self, watcher: Callable[[], None]) -> None:
        """Have ``watcher`` called after every change."""
        self._watchers.append(watcher)

    def select(self, ids: Iterable[str]) -> None:
        """Select just these pieces."""
        chosen = tuple(dict.fromkeys(ids))
        if chosen != self.selected:
            self.selected = chosen
            self._tell()

    def toggle(self, piece_id: str) -> None:
        """Add a piece to the selection, or take it out."""
        if piece_id in self.selected:
            self.select(i for i in self.selected if i != piece_id)
        else:
            self.select((*self.selected, piece_id))

    def keep_only(self, existing: Iterable[str]) -> None:
        """Drop what no longer exists from the selection, and from under the pointer."""
        have = set(existing)
        selected = tuple(i for i in self.selected if i in have)
        hovered = self.hovered if self.hovered in have else None
        if (selected, hovered) != (self.selected, self.hovered):
            self.selected, self.hovered = selected, hovered
            self._tell()

    def hover(self, piece_id: str | None) -> None:
        """Remember what lies under the pointer."""
        if piece_id != self.hovered:
            self.hovered = piece_id
            self._tell()

    def turn_to(self, page: Page) -> None:
        """Open a page of the notebook."""
        if page != self.page:
            self.page = page
            self._tell()

    def show_bay(self, bay_id: str | None) -> None:
        """Show a bay's diagonals on the sheet."""
        if bay_id != self.bay:
            self.bay = bay_id
            self._tell()

    def show_tape(self, ends: tuple[str, str] | None) -> None:
        """Show a tape on the sheet, from point to point."""
        if ends != self.tape:
            self.tape = ends
            self._tell()

    def _tell(self) -> None:
        for watcher in tuple(self._watchers):
            watcher()
