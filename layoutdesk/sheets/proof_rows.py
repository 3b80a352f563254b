"""The rows of the proof sheet's tables: stakes with their moves, and measures with what became of them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from layoutdesk.engine.layout import Layout
from layoutdesk.plan.model import Plan, Tape
from layoutdesk.sheets.flag_words import SIGN
from layoutdesk.sheets.numbers import fine_parts, parts, said, small_parts, within_parts
from layoutdesk.sheets.table import Cell, Column, Figure, Row, Words

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import HouseFound, Proof, ProofPoint, ProofTape

STAKE_COLUMNS: Final = (
    Column("stake", "start", weight="black", least=14.0),
    Column("verdict", "start", weight="bold", least=26.0, scale=0.85, grows=True),
    Column("along the baseline", least=24.0),
    Column("away from the house", least=24.0),
    Column("out", weight="semibold", scale=0.85, least=16.0),
    Column("sure to, 95 %", weight="semibold", scale=0.85, least=18.0),
)
MEASURE_COLUMNS: Final = (
    Column("no.", weight="regular", scale=0.85, least=9.0),
    Column("measure", "start", weight="bold", grows=True, scale=0.9, least=30.0),
    Column("class", "middle", weight="regular", scale=0.85),
    Column("read"),
    Column("reduced", weight="regular"),
    Column("adjusted", weight="regular"),
    Column("off", weight="semibold"),
    Column("would show", weight="regular", scale=0.8),
)
CORRECTION_COLUMNS: Final = (
    Column("no.", weight="regular", scale=0.85, least=9.0),
    Column("measure", "start", weight="bold", scale=0.9, least=24.0),
    Column("taken down", "start", weight="regular", scale=0.85, grows=True),
    Column("slope", weight="semibold"),
    Column("temperature", weight="semibold"),
    Column("pull", weight="semibold"),
)
BOTH_COLUMNS: Final = (
    Column("stake", "start", weight="black", least=14.0, grows=True),
    Column("station, drawn", weight="regular"),
    Column("offset, drawn", weight="regular"),
    Column("station, held"),
    Column("offset, held"),
)
HOUSE_COLUMNS: Final = (
    Column("side of a wall", "start", weight="bold", grows=True),
    Column("off square, first end", least=24.0),
    Column("off square, other end", least=24.0),
    Column("turned", weight="regular"),
)
_WAYS: Final = {True: ("on", "away"), False: ("back", "toward")}


def stake_rows(plan: Plan, proof: Proof) -> list[Row]:
    """Return a row for every point that is not held where it is drawn."""
    return [_stake(plan, point) for point in proof.points if not point.held]


def _stake(plan: Plan, point: ProofPoint) -> Row:
    if point.found is None or not math.isfinite(point.out + point.semi_major):
        return (point.label, Words(f"**{point.verdict}:** {point.says}", columns=5), None, None, None, None)
    moves: tuple[Cell, Cell, Cell]
    if point.kind == "control":
        moves = (Words("**control point** as found: it is not moved", columns=3), None, None)
    else:
        moves = (point.verdict, _move(plan, point.along, 0), _move(plan, point.away, 1))
    return (
        point.label,
        *moves,
        Figure(small_parts(plan, point.out)),
        Figure(within_parts(plan, point.semi_major), before="± "),
    )


def _move(plan: Plan, mm: float, axis: int) -> Figure:
    """Return one part of a move as a length, with its way before it; a move of nothing has none."""
    shown = small_parts(plan, abs(mm))
    nothing = shown == small_parts(plan, 0.0)
    return Figure(shown, before="" if nothing else f"{_WAYS[mm > 0][axis]} ")


def measure_rows(plan: Plan, proof: Proof, labels: Mapping[str, str]) -> list[Row]:
    """Return a row for every measure, numbered as on the page Proof; a suspect one has a sign."""
    return [_measure(plan, tape, labels) for tape in proof.tapes]


def _measure(plan: Plan, tape: ProofTape, labels: Mapping[str, str]) -> Row:
    number = str(tape.index + 1)
    lengths: tuple[Cell, ...]
    if tape.kind == "right angle":
        lengths = (
            *(f"{value:.2f}°" for value in (tape.read, tape.reduced, tape.adjusted)),
            f"{tape.residual:+.2f}°".replace("-", "−"),
        )
    else:
        lengths = (
            *(Figure(parts(plan, value)) for value in (tape.read, tape.reduced, tape.adjusted)),
            Figure(small_parts(plan, tape.residual)),
        )
    return (
        f"{SIGN} {number}" if tape.suspect else number,
        what_was_measured(tape, labels),
        plan.tapes[tape.index].tape_class,
        *lengths,
        f"{max(0.0, min(1.0, tape.redundancy)):.0%}".replace("%", " %"),
    )


def correction_rows(plan: Plan, proof: Proof, labels: Mapping[str, str]) -> list[Row]:
    """Return a row for every measure that was corrected: what was taken down with it, and what each adds."""
    return [
        (
            str(tape.index + 1),
            what_was_measured(tape, labels),
            taken_down,
            *(
                Figure(fine_parts(plan, mm)) if mm else "–"
                for mm in (tape.by_slope, tape.by_temperature, tape.by_pull)
            ),
        )
        for tape in proof.tapes
        if (taken_down := _taken_down(plan, plan.tapes[tape.index]))
    ]


def _taken_down(plan: Plan, tape: Tape) -> str:
    """Return what was taken down with a measure to correct it by, in a few words; empty where nothing was."""
    if tape.kind == "right angle":
        return ""
    words = []
    if tape.rise:
        words.append(f"rise {said(plan, tape.rise)}")
    if tape.slope:
        words.append(f"slope {tape.slope:g}°")
    if tape.temperature is not None:
        words.append(f"{tape.temperature:g} °C")
    if tape.pull is not None:
        words.append(f"{tape.pull:g} N")
    return ", ".join(words).replace("-", "−")


def repeated(proof: Proof, labels: Mapping[str, str]) -> list[str]:
    """Return which distances were taped more than once, and where in the list they stand."""
    times: dict[tuple[str, ...], list[ProofTape]] = {}
    for tape in proof.tapes:
        if tape.kind == "distance":
            times.setdefault(tuple(sorted((tape.start, tape.end))), []).append(tape)
    return [
        f"**{what_was_measured(tapes[0], labels)}** is no. {' and '.join(str(tape.index + 1) for tape in tapes)}"
        for tapes in times.values()
        if len(tapes) > 1
    ]


def what_was_measured(tape: ProofTape, labels: Mapping[str, str]) -> str:
    """Return from what to what a measure goes, in a few words."""
    start, end = labels.get(tape.start, tape.start), labels.get(tape.end, tape.end)
    third = labels.get(tape.third or "", tape.third or "")
    match tape.kind:
        case "square":
            return f"{end} square off {start}–{third}"
        case "string":
            return f"{end} on string {start}–{third}"
        case "right angle":
            return f"at {start}, {end} to {third}"
    return f"{start} to {end}"


def both_rows(layout: Layout) -> list[Row]:
    """Return a row for every pier: where it is drawn and where it is held, from the drawn baseline.

    Nothing where no pier is put elsewhere, or without a baseline.
    """
    plan, frame = layout.plan, layout.frame
    pairs = [
        (drawn, held)
        for drawn, held in zip(layout.points, layout.on_site.points, strict=True)
        if drawn.kind == "pier"
    ]
    if frame is None or all(drawn.at == held.at for drawn, held in pairs):
        return []
    return [
        (
            drawn.label,
            *(Figure(parts(plan, mm)) for at in (drawn.at, held.at) for mm in frame.station_offset(at)),
        )
        for drawn, held in pairs
    ]


def house_rows(plan: Plan, house: HouseFound) -> list[Row]:
    """Return a row for every side of a wall whose ends were measured."""
    return [
        (
            f"{wall.wall}, side {wall.side + 1}: {wall.ends[0]} to {wall.ends[1]}",
            *(Figure(small_parts(plan, off)) for off in wall.square),
            f"{wall.turned:+.2f}°".replace("-", "−"),
        )
        for wall in house.walls
    ]
