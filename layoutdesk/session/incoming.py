"""What waits to be taken in: the drawing as it came, what is proposed to become of it, and what the person chose.

It is no part of the plan. Choices can be taken back one by one, as edits of a plan can.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from layoutdesk.geometry.vector import Vector

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Severity
    from layoutdesk.importers.linework import Linework
    from layoutdesk.importers.proposal import Becomes, Proposal

Way = Literal["own sheet", "beside", "newer issue"]
"""Where it goes: on a sheet of its own, beside what is there, or over it as a newer issue of the same drawing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """Where the drawing does not agree with itself, in words; ``at`` is the place on the ground (mm), if any."""

    severity: Severity
    title: str
    text: str
    at: Vector | None = None


@dataclass(frozen=True, slots=True)
class Agreement:
    """How many dimensions the drawing writes, how many are as drawn, and what does not agree."""

    written: int = 0
    agree: int = 0
    doubts: tuple[Doubt, ...] = ()

    @classmethod
    def told(cls, about: dict[str, Any]) -> Agreement:
        """Return it from what the second process tells."""
        doubts = tuple(
            Doubt(
                severity=d["severity"],
                title=d["title"],
                text=d["text"],
                at=None if d["at"] is None else (d["at"][0], d["at"][1]),
            )
            for d in about["doubts"]
        )
        return cls(about["written"], about["agree"], doubts)


@dataclass(frozen=True, eq=False)
class Arrival:
    """One drawing with its proposal. ``linework`` is None for a list of points."""

    path: Path
    linework: Linework | None
    proposal: Proposal
    agreement: Agreement = Agreement()

    @cached_property
    def counts(self) -> dict[str, Counter[Becomes]]:
        """Return of each group how many become what."""
        found: dict[str, Counter[Becomes]] = {group.key: Counter() for group in self.proposal.groups}
        for candidate in self.proposal.candidates:
            found.setdefault(candidate.group, Counter())[candidate.becomes] += 1
        return found

    @cached_property
    def members(self) -> dict[str, tuple[int, ...]]:
        """Return the candidates of each group, by index."""
        found: dict[str, list[int]] = {group.key: [] for group in self.proposal.groups}
        for index, candidate in enumerate(self.proposal.candidates):
            found.setdefault(candidate.group, []).append(index)
        return {key: tuple(indices) for key, indices in found.items()}

    @cached_property
    def total(self) -> Counter[Becomes]:
        """Return how many become what, all together."""
        return sum(self.counts.values(), Counter())


class Incoming:
    """The drawing that waits, what of it is picked and pointed at, and the steps of choosing.

    Watchers are called once after every change. ``scale_said`` is the scale that the person gave or confirmed, in
    mm a drawing unit; None while the guess stands.
    """

    def __init__(self) -> None:
        self._watchers: list[Callable[[], None]] = []
        self.arrival: Arrival | None = None
        self.picked: frozenset[int] = frozenset()
        self.hovered: int | None = None
        self.doubt: Doubt | None = None
        self.scale_said: float | None = None
        self.way: Way = "own sheet"
        self._undo: list[tuple[str, Proposal]] = []
        self._redo: list[tuple[str, Proposal]] = []

    def watch(self, watcher: Callable[[], None]) -> None:
        """Have ``watcher`` called after every change."""
        self._watchers.append(watcher)

    @property
    def waiting(self) -> bool:
        """Return whether there is anything to take in."""
        return self.arrival is not None

    @property
    def scale_known(self) -> bool:
        """Return whether the scale is sure, or was said by the person."""
        return self.arrival is not None and (self.scale_said is not None or self.arrival.proposal.scale.sure)

    @property
    def undo_label(self) -> str | None:
        """Return the name of the choice that undo would take back, or None."""
        return self._undo[-1][0] if self._undo else None

    @property
    def redo_label(self) -> str | None:
        """Return the name of the choice that redo would bring again, or None."""
        return self._redo[-1][0] if self._redo else None

    # ---- coming and going

    def arrive(self, arrival: Arrival, way: Way) -> None:
        """Lay out another drawing."""
        self._clear()
        self.arrival, self.way = arrival, way
        self._tell()

    def propose(self, arrival: Arrival, scale_said: float | None) -> None:
        """Show the same drawing at another scale; what was chosen for its things stays where they are the same."""
        if self.arrival is not None:
            arrival = replace(arrival, proposal=_chosen_again(self.arrival.proposal, arrival.proposal, self._undo))
        self._clear()
        self.arrival, self.scale_said = arrival, scale_said
        self._tell()

    def confirm_scale(self) -> None:
        """Take the guessed scale as right."""
        if self.arrival is not None and not self.scale_known:
            self.scale_said = self.arrival.proposal.scale.scale
            self._tell()

    def leave(self) -> None:
        """Put the drawing away; nothing of it is kept."""
        self._clear()
        self.arrival = None
        self._tell()

    def go(self, way: Way) -> None:
        """Choose where it goes."""
        if way != self.way:
            self.way = way
            self._tell()

    # ---- choosing

    def choose(
        self,
        becomes: Becomes,
        *,
        group: str | None = None,
        layer: str | None = None,
        picked: Collection[int] = (),
    ) -> int:
        """Have a group, a layer or some things become this; return how many of them cannot."""
        if self.arrival is None:
            return 0
        before = self.arrival.proposal
        after = before.choose(becomes, group=group, layer=layer, picked=picked)
        asked = [
            c
            for i, c in enumerate(before.candidates)
            if i in picked or c.group == group or (layer is not None and c.layer == layer)
        ]
        changed = any(
            a is not b and a.becomes != b.becomes for a, b in zip(after.candidates, before.candidates, strict=True)
        )
        if changed:
            self._undo.append((f"Make it {becomes}", before))
            self._redo.clear()
            self.arrival = replace(self.arrival, proposal=after)
            self._tell()
        return sum(becomes not in c.can_become for c in asked)

    def undo(self) -> None:
        """Take the last choice back."""
        self._step(self._undo, self._redo)

    def redo(self) -> None:
        """Bring the last choice again."""
        self._step(self._redo, self._undo)

    def _step(self, take: list[tuple[str, Proposal]], give: list[tuple[str, Proposal]]) -> None:
        if take and self.arrival is not None:
            label, proposal = take.pop()
            give.append((label, self.arrival.proposal))
            self.arrival = replace(self.arrival, proposal=proposal)
            self._tell()

    # ---- picking and pointing

    def pick(self, indices: Iterable[int], *, add: bool = False) -> None:
        """Pick these things; with ``add`` those that are picked already are let go and the others join."""
        new = frozenset(indices)
        picked = self.picked ^ new if add and len(new) == 1 else self.picked | new if add else new
        if picked != self.picked:
            self.picked = picked
            self._tell()

    def hover(self, index: int | None, doubt: Doubt | None = None) -> None:
        """Remember what lies under the pointer."""
        if (index, doubt) != (self.hovered, self.doubt):
            self.hovered, self.doubt = index, doubt
            self._tell()

    def _clear(self) -> None:
        self.picked, self.hovered, self.doubt, self.scale_said = frozenset(), None, None, None
        self._undo.clear()
        self._redo.clear()

    def _tell(self) -> None:
        for watcher in tuple(self._watchers):
            watcher()


def _chosen_again(old: Proposal, new: Proposal, steps: list[tuple[str, Proposal]]) -> Proposal:
    """Return the new proposal with the choices that the person made on the old one."""
    if not steps:
        return new
    first = steps[0][1].candidates
    chosen = {
        after.shapes: after.becomes
        for before, after in zip(first, old.candidates, strict=True)
        if after.shapes and before.becomes != after.becomes
    }
    return replace(
        new,
        candidates=tuple(
            replace(c, becomes=chosen[c.shapes]) if c.shapes in chosen and chosen[c.shapes] in c.can_become else c
            for c in new.candidates
        ),
    )
