"""A layout that has worked out holes, steel, sawing and the order, as their pages need it."""

from __future__ import annotations

from typing import Protocol

from layoutdesk.engine.layout import (
    ConcreteOrder,
    HoleCover,
    HoleRow,
    Layout,
    Opening,
    Section,
    SteelList,
)


class HoleLayout(Layout, Protocol):
    """What the pages of holes ask for."""

    @property
    def sections(self) -> tuple[Section, ...]:
        """Return the sections of the details."""
        ...

    @property
    def order(self) -> ConcreteOrder:
        """Return the concrete order."""
        ...

    @property
    def steel(self) -> SteelList:
        """Return the steel of the job."""
        ...

    @property
    def openings(self) -> tuple[Opening, ...]:
        """Return the openings."""
        ...

    @property
    def holes(self) -> tuple[HoleRow, ...]:
        """Return the holes."""
        ...

    @property
    def covers(self) -> tuple[HoleCover, ...]:
        """Return the covers."""
        ...
