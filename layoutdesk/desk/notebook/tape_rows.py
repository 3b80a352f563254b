"""The rows of the table of tapes: those that were taken, and those of the taping plan that are waited for."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.engine.layout import Layout
from layoutdesk.plan.model import Plan, Tape, TapeKind
from layoutdesk.units import parse_angle, parse_length

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import Proof, ProofTape, TapingPlan


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
    from layoutdesk.engine.proof.planned import planned_reading

    plan = layout.plan
    proved = {t.index: t for t in proof.tapes} if proof else {}
    trouble = dict(proof.trouble) if proof else {}
    open_for: dict[frozenset[str], list[int]] = defaultdict(list)
    for index, tape in enumerate(plan.tapes):
        if tape.kind == "distance":
            open_for[frozenset((tape.start, tape.end))].append(index)
    used: set[int] = set()
    rows: list[TapeRow] = []
    for start, end, planned in taping.pulls if taping else ():
        takers = open_for.get(frozenset((start, end)))
        row = TapeRow("", start, end, None, "distance", planned)
        if takers:
            taken = takers.pop(0)
            used.add(taken)
            row = replace(row, index=taken, tape=plan.tapes[taken])
        rows.append(row)
    for index, tape in enumerate(plan.tapes):
        if index not in used:
            planned_value = planned_reading(layout.points, tape.start, tape.end, tape.kind, tape.third)
            rows.append(TapeRow("", tape.start, tape.end, tape.third, tape.kind, planned_value, index, tape))
    return tuple(
        replace(row, key=key)
        if row.index is None
        else replace(row, key=key, proved=proved.get(row.index), trouble=trouble.get(row.index, ""))
        for key, row in zip(_keys(rows), rows, strict=True)
    )


def _keys(rows: Iterable[TapeRow]) -> Iterator[str]:
    """Yield a name for each row that stays when its tape is taken: its points, its kind, its number."""
    seen: Counter[str] = Counter()
    for row in rows:
        points = " ".join(sorted((row.start, row.end))) if row.kind == "distance" else f"{row.start} {row.end}"
        name = f"{row.kind} {points} {row.third or ''}"
        seen[name] += 1
        yield f"{name} {seen[name]}"


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
    value = row.proved.residual
    sign = "+" if value > 0 else "−"
    if row.kind == "right angle":
        return f"{sign}{abs(value):.2f}°"
    amount = text.small(abs(value))
    return amount if amount == text.small(0.0) else f"{sign}{amount}"
