"""What the program proposes to make of a foreign drawing, and what the person makes of the proposal.

A proposal is a value: a choice makes a new one. Nothing of it is in a plan until :func:`plan_of` has made a plan
of it and that is taken in. Coordinates are millimetres on the ground.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Final, Literal

from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.linework import Passed
from layoutdesk.plan.model import Chain, Written
from layoutdesk.units import Units

Becomes = Literal["pier", "wall", "beam line", "slab", "keep-out", "attachment", "control point", "spot", "nothing"]
BECOMES: Final[tuple[Becomes, ...]] = (
    "pier",
    "wall",
    "beam line",
    "slab",
    "keep-out",
    "attachment",
    "control point",
    "spot",
    "nothing",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One thing of the drawing that may become a piece of the plan.

    ``run`` is its line or outline in order (empty for a bare point); ``centre`` its middle, and for a circle or a
    block the place that is meant. ``size`` is the diameter, or the side of a square, 0 when it is neither.
    ``height`` is its elevation where a table says it: of a spot, or of the ground at a pier.
    ``shapes`` are its shapes by index in the linework: pointing at one of them points at the candidate. ``why``
    says in a few words what speaks for it. ``sure`` runs from 0 to 1.
    """

    becomes: Becomes
    group: str
    layer: str
    centre: Vector
    run: tuple[Vector, ...] = ()
    closed: bool = False
    size: float = 0.0
    height: float | None = None
    square: bool = False
    mark: str = ""
    shapes: tuple[int, ...] = ()
    why: str = ""
    sure: float = 0.5

    @property
    def can_become(self) -> tuple[Becomes, ...]:
        """Return what this can be: a spot needs a height, a line two ends, an outline three corners."""
        kinds: list[Becomes] = ["pier", "attachment", "control point"]
        if self.height is not None:
            kinds += ["spot"]
        if len(self.run) >= 2:
            kinds += ["wall"]
        if len(self.run) == 2 or (len(self.run) > 2 and not self.closed):
            kinds += ["beam line"]
        if len(self.run) >= 3:
            kinds += ["slab", "keep-out"]
        return (*(k for k in BECOMES if k in kinds), "nothing")


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Candidates that look alike and lie on one layer: ``what`` says so, as ``circles Ø 12"``."""

    key: str
    what: str
    layer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleGuess:
    """How many millimetres on the ground one drawing unit is, and what speaks for it.

    ``agree`` of ``written`` dimensions in lengths say so. ``sure`` is False when the person must be asked.
    """

    scale: float
    why: str
    agree: int = 0
    written: int = 0
    sure: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What would be made of a drawing at a scale.

    ``written`` and ``chains`` are already in millimetres on the ground; the dimensions that agree are among them.
    ``units`` is how its lengths are written. ``shift`` was added to all coordinates, for a drawing that lies too
    far from its own zero. ``passed`` holds what the reader and the recogniser passed over.
    """

    name: str
    scale: ScaleGuess
    candidates: tuple[Candidate, ...] = ()
    groups: tuple[Group, ...] = ()
    written: tuple[Written, ...] = ()
    chains: tuple[Chain, ...] = ()
    shift: Vector = (0.0, 0.0)
    passed: tuple[Passed, ...] = ()
    notes: tuple[str, ...] = ()
    units: Units = "mm"

    def choose(
        self, becomes: Becomes, *, group: str | None = None, layer: str | None = None, picked: Collection[int] = ()
    ) -> Proposal:
        """Return the proposal with what a group, a layer, or some candidates (by index) become changed.

        What cannot become that (a lone circle no wall) stays as it is.
        """
        chosen = frozenset(picked)
        return replace(
            self,
            candidates=tuple(
                replace(c, becomes=becomes)
                if (index in chosen or c.group == group or c.layer == layer) and becomes in c.can_become
                else c
                for index, c in enumerate(self.candidates)
            ),
        )

    def count(self, becomes: Becomes) -> int:
        """Return how many candidates become this."""
        return sum(c.becomes == becomes for c in self.candidates)


def proposal_to_bytes(proposal: Proposal) -> bytes:
    """Return a proposal in a form that goes from one process to another."""
    import msgspec

    return msgspec.msgpack.encode(proposal)


def proposal_from_bytes(data: bytes) -> Proposal:
    """Return the proposal that :func:`proposal_to_bytes` was given."""
    import msgspec

    return msgspec.msgpack.decode(data, type=Proposal)
