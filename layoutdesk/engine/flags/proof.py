"""Checks of what was measured on site: misread tapes, stakes to move, places that are not determined."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from layoutdesk.engine.flags.facts import Facts, Kind, Who, each, mm
from layoutdesk.engine.layout import Flag
from layoutdesk.engine.proof.entries import Proof
from layoutdesk.plan.model import Tape

UNUSABLE: Final = Kind("tape-unusable", "warning", "proof")
SUSPECT: Final = Kind("tape-suspect", "warning", "proof")
DISAGREE: Final = Kind("tapes-disagree", "warning", "proof")
MOVE: Final = Kind("stake-to-move", "warning", "proof")
SWAPPED: Final = Kind("stakes-swapped", "warning", "proof")
UNDETERMINED: Final = Kind("stake-not-determined", "note", "proof")


def check(facts: Facts) -> Iterator[Flag]:
    """Yield what the proof finds; nothing when nothing was measured."""
    proof = facts.proof
    if proof is None:
        return
    yield from _unusable(facts, proof)
    yield from _suspects(facts, proof)
    if proof.passes is False and not proof.suspects and proof.weighted > proof.high:
        text = (
            f"The measures differ from each other more than their tapes explain: {proof.weighted:.1f} where at most"
            f" {proof.high:.1f} is usual, and no single one is to blame; check their classes, or tape again."
        )
        yield DISAGREE.flag("The measures do not agree", text)
    for pair in proof.swapped:
        yield SWAPPED.flag("Stakes were set out in the wrong places", pair.says, *pair.ids)
    yield from _stakes(facts, proof)


def _unusable(facts: Facts, proof: Proof) -> Iterator[Flag]:
    trouble = proof.trouble
    yield from each(
        UNUSABLE,
        range(len(trouble)),
        _by_tape(facts, [index for index, _ in trouble]),
        lambda k: ("A measure cannot be used", trouble[k][1]),
        lambda names: (
            f"{len(trouble)} measures cannot be used",
            f"The measures {names} cannot be used; the first: {trouble[0][1]}",
        ),
    )


def _suspects(facts: Facts, proof: Proof) -> Iterator[Flag]:
    suspects = proof.suspects
    yield from each(
        SUSPECT,
        range(len(suspects)),
        _by_tape(facts, [one.index for one in suspects]),
        lambda k: ("A measure is likely misread", suspects[k].says),
        lambda names: (
            f"{len(suspects)} measures are likely misread",
            f"The measures {names} are likely misread; the first: {suspects[0].says}",
        ),
    )


def _stakes(facts: Facts, proof: Proof) -> Iterator[Flag]:
    points = proof.points
    tolerance = mm(facts.plan.proof.tolerance, facts)
    swapped = {one for pair in proof.swapped for one in pair.ids}

    def who(k: int) -> tuple[str, tuple[str, ...]]:
        return points[k].label, (points[k].id,)

    moves = [k for k, point in enumerate(points) if point.verdict == "move" and point.id not in swapped]
    yield from each(
        MOVE,
        moves,
        who,
        lambda k: (f"{points[k].label} must move", points[k].says),
        lambda names: (
            f"{len(moves)} stakes must move",
            f"{names} are out by more than the tolerance of {tolerance}; the moves stand in the table.",
        ),
    )
    lost = [k for k, point in enumerate(points) if point.verdict == "not determined" and point.kind == "pier"]
    yield from each(
        UNDETERMINED,
        lost,
        who,
        lambda k: (f"{points[k].label} is not determined", points[k].says),
        lambda names: (f"{len(lost)} stakes are not determined", f"The measures do not say where {names} stand."),
    )


def _by_tape(facts: Facts, indices: Sequence[int]) -> Who:
    """Return what gives the label of a measure, and its points."""
    points, tapes = facts.points, facts.plan.tapes

    def label(point: str) -> str:
        row = points.find(point)
        return points.labels[row] if row >= 0 else point

    def who(k: int) -> tuple[str, tuple[str, ...]]:
        tape: Tape = tapes[indices[k]]
        known = [point for point in (tape.start, tape.end, tape.third) if point and points.find(point) >= 0]
        return f"{label(tape.start)} to {label(tape.end)}", tuple(known)

    return who
