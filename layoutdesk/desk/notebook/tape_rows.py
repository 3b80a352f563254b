"""The rows of the table of tapes: those that were taken, and those of the taping plan that are waited for."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.engine.layout import Layout
from layoutdesk.plan.model import Plan, Tape, TapeKind
from layoutdesk.units import parse_angle, parse_length

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import Proof, ProofTape, TapingPlan


_CHECKED: Final = 1e-4
"""A measure with less than this share of an error showing is checked by no other."""


@dataclass(frozen=True, slots=True)
class TapeRow:
    """One row: a measure that was taken (``tape``, at ``index`` in the plan), or a distance that is waited for.

    ``key`` stays the same when the row is taken; ``planned`` is mm or degrees, None where the drawing says
    nothing; ``proved`` is what became of the measure; ``trouble`` why it cannot be used.
    """

    key: str
    start: str
    end: str
    third: str | None
    kind: TapeKind
    planned: float | None
    index: int | None = None
    tape: Tape | None = None
    proved: ProofTape | None = None
    trouble: str = ""

    @property
    def suspect(self) -> bool:
        """Return whether the measure is likely misread, or cannot be used at all."""
        return bool(self.trouble) or (self.proved is not None and self.proved.suspect)


def tape_rows(layout: Layout, proof: Proof | None, taping: TapingPlan | None) -> tuple[TapeRow, ...]:
    """Return all rows: the tapes of the printed sheet in its order, taken or not, then all others as they came."""
    tapes = layout.plan.tapes
    open_for: dict[frozenset[str], list[int]] = defaultdict(list)
    for index, tape in enumerate(tapes):
        if tape.kind == "distance":
            open_for[frozenset((tape.start, tape.end))].append(index)
    used: set[int] = set()
    # From, to, third, kind and the place in the plan of each row.
    order: list[tuple[str, str, str | None, TapeKind, int | None]] = []
    for start, end, _ in taping.pulls if taping else ():
        takers = open_for.get(frozenset((start, end)))
        taken = takers.pop(0) if takers else None
        if taken is not None:
            used.add(taken)
        order.append((start, end, None, "distance", taken))
    order += [(t.start, t.end, t.third, t.kind, k) for k, t in enumerate(tapes) if k not in used]
    proved = {t.index: t for t in proof.tapes} if proof else {}
    trouble = dict(proof.trouble) if proof else {}
    planned = _Planned(layout)
    seen: Counter[str] = Counter()
    rows = []
    for start, end, third, kind, taken in order:
        # A key stays when the tape of its row is taken: the points, the kind, and the number among the same.
        ends = f"{min(start, end)} {max(start, end)}" if kind == "distance" else f"{start} {end}"
        name = f"{kind} {ends} {third or ''}"
        seen[name] += 1
        rows.append(
            TapeRow(
                f"{name} {seen[name]}",
                start,
                end,
                third,
                kind,
                planned.reading(start, end, kind, third),
                taken,
                None if taken is None else tapes[taken],
                None if taken is None else proved.get(taken),
                "" if taken is None else trouble.get(taken, ""),
            )
        )
    return tuple(rows)


def follows_the_sheet(rows: Sequence[TapeRow]) -> bool:
    """Return whether the tapes of the printed sheet are being typed in its order, and some are still to come."""
    taken = [row.index is not None for row in rows]
    return any(taken) and False in taken and True not in taken[taken.index(False) :]


class _Planned:
    """Gives what measures are planned to read; of thousands of distances without a search for each."""

    def __init__(self, layout: Layout) -> None:
        self._points = layout.points
        self._at = dict(zip(layout.points.ids, layout.points.xy.tolist(), strict=True))

    def reading(self, start: str, end: str, kind: TapeKind, third: str | None) -> float | None:
        """Return what a measure is planned to read, in mm or degrees; None when it cannot be."""
        if kind == "distance":
            a, b = self._at.get(start), self._at.get(end)
            return math.dist(a, b) if a is not None and b is not None else None
        from layoutdesk.engine.proof.planned import planned_reading

        return planned_reading(self._points, start, end, kind, third)


def read_value(text: str, row: TapeRow, plan: Plan) -> float:
    """Return what was typed into a row, in mm or degrees.

    Raises:
        LengthError: when it is no length, or no angle.
    """
    return parse_angle(text) if row.kind == "right angle" else parse_length(text, plan.units)


def shown(value: float | None, row: TapeRow, text: LengthText) -> str:
    """Return a value of a row for the eye."""
    if value is not None and row.kind == "right angle":
        return f"{value:.2f}°"
    return text(value)


def exact(row: TapeRow, text: LengthText) -> str:
    """Return what was taken as text to edit; nothing for a row that waits."""
    if row.tape is None:
        return ""
    return f"{row.tape.distance:g}°" if row.kind == "right angle" else text.exact(row.tape.distance)


def off(row: TapeRow, text: LengthText) -> str:
    """Return what a measure is off after adjusting, with its sign."""
    if row.tape is None:
        return ""
    if row.trouble:
        return "not used"
    if row.proved is None or row.proved.residual != row.proved.residual:
        return "–"
    if row.proved.redundancy < _CHECKED and abs(row.proved.residual) < 0.05:
        return "–"  # nothing checks it: it would be nought whatever was read
    value = row.proved.residual
    sign = "+" if value > 0 else "−"
    if row.kind == "right angle":
        return f"{sign}{abs(value):.2f}°"
    amount = text.small(abs(value))
    return amount if amount == text.small(0.0) else f"{sign}{amount}"


Called = Callable[[str], str]
"""Gives what a point is called by its id."""


def first_end(row: TapeRow, called: Called) -> str:
    """Return from where a measure goes: a point, the line or string that it is measured from, or a corner."""
    if row.third is None:
        return called(row.start)
    return f"at {called(row.start)}" if row.kind == "right angle" else f"{called(row.start)}–{called(row.third)}"


def other_end(row: TapeRow, called: Called) -> str:
    """Return where a measure goes to; for a right angle the ends of its legs."""
    if row.kind == "right angle" and row.third is not None:
        return f"{called(row.end)}–{called(row.third)}"
    return called(row.end)


def measure_words(row: TapeRow, called: Called) -> str:
    """Return what a measure is, in words."""
    start, end, third = called(row.start), called(row.end), called(row.third or "")
    match row.kind:
        case "square":
            return f"{end} square from the line {start} to {third}"
        case "string":
            return f"{end} beside the string from {start} to {third}"
        case "right angle":
            return f"right angle at {start}, from {end} to {third}"
    return f"tape {start} to {end}"
