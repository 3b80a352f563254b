"""The bar schedule: what is cut and bent for the piers of each detail, a row for each kind of piece."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # scipy loads late
    from layoutdesk.engine.holes.entries import PierSteel, Section, SteelList


@dataclass(frozen=True, slots=True)
class ScheduleRow:
    """Pieces of one kind in the piers of one detail: lengths in mm, masses in kg.

    Attributes:
        what: such as ``bar`` or ``hoop``.
        size: of the bar.
        each: how many a pier has.
        count: how many all these piers have.
        cut: the length that each is cut to before it is bent.
        bent: what it measures over all once it is bent, None where it is not known.
        mass: of all of them.
        piers: labels of the piers.
    """

    what: str
    size: str
    each: int
    count: int
    cut: float
    bent: float | None
    mass: float
    piers: tuple[str, ...]


def schedule(steel: SteelList, section: Section) -> tuple[ScheduleRow, ...]:
    """Return the bar schedule of one detail; piers whose pieces are alike share their rows."""
    alike: dict[object, list[PierSteel]] = {}
    for pier in steel.piers:
        if pier.detail == section.detail and pier.kinds:
            alike.setdefault(pier.kinds, []).append(pier)
    return tuple(
        ScheduleRow(
            what=kind.what,
            size=kind.bar.name,
            each=kind.count,
            count=kind.count * len(piers),
            cut=kind.cut,
            bent=_bent(kind.what, section) if len(alike) == 1 else None,
            mass=kind.mass * len(piers),
            piers=tuple(pier.label for pier in piers),
        )
        for piers in alike.values()
        for kind in piers[0].kinds
    )


def _bent(what: str, section: Section) -> float | None:
    """Return what a piece measures over all: hoops across, bars from end to end."""
    if what.startswith("hoop"):
        return section.hoop_width or None
    if what.startswith("bar") and section.bars:
        return section.bars[0].bottom - section.bars[0].top
    return None
