"""Every derived number as JSON: lengths in millimetres, volumes in cubic metres, angles in degrees.

The keys ``piers``, ``bays``, ``concrete``, ``steel``, ``proof`` and ``flags`` and those inside them are fixed;
others may be added. A number that a plan leaves undefined is ``null`` and never a zero: station and offset without
a baseline, ground, top, bottom and cut length of a pier without heights, what a difference means in a bay without a
shape, the proof of a plan without measures, the place of a stake that they do not determine. ``count`` of an order
is what is bought at the chance beside it, holes that come out bigger reckoned with; ``count_by_job`` is what is
drawn, rounded up once for the job, ``count_by_pier`` pier by pier.
"""

from __future__ import annotations

import json
from itertools import repeat
from typing import TYPE_CHECKING, Any, TypeAlias

from layoutdesk.exporters.figures_heights import defined, height_figures, pier_figures
from layoutdesk.exporters.figures_holes import chances_short, hole_figures

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutdesk.engine.layout import (
        BagOrder,
        BayCheck,
        Flag,
        Layout,
        LineRun,
        PierVolume,
        SquareTriangle,
        Stake,
        Tie,
        TiePair,
    )
    from layoutdesk.engine.proof.entries import Proof, ProofPoint, ProofTape, Suspect

Entry: TypeAlias = dict[str, Any]


def figures(layout: Layout) -> Entry:
    """Return what follows from a plan as plain values of JSON, in plan order."""
    plan, concrete = layout.plan, layout.concrete
    ordered: Iterable[tuple[int, float] | None] = chances_short(layout.order) or repeat(None)
    cuts = {cut.pier: cut for cut in layout.columns}
    return {
        "title": plan.title,
        "units": plan.units,
        "rounding": plan.rounding,
        "controls": _points(layout, "control"),
        "attachments": _points(layout, "attachment"),
        "control_ties": [
            _tied({"from": t.first, "to": t.second, "distance": t.distance}, t.blocked_by)
            for t in layout.control_ties
        ],
        "square": _triangle(layout.square),
        "piers": [
            {**_pier(stake, volume), **pier_figures(height, cuts.get(stake.id))}
            for stake, volume, height in zip(layout.stakes, concrete.piers, layout.heights, strict=True)
        ],
        "lines": [_run(run) for run in layout.runs],
        "rows": [
            {
                "from": gap.first,
                "to": gap.second,
                "at_start": gap.at_start,
                "at_end": gap.at_end,
                "skew": gap.skew_deg,
            }
            for gap in layout.gaps
        ],
        "bays": [_bay(bay) for bay in layout.bays],
        "concrete": {
            "net_m3": concrete.net_m3,
            "order": [_order(order, one) for order, one in zip(concrete.orders, ordered, strict=False)],
        },
        **hole_figures(layout),
        **height_figures(layout),
        "proof": _proof(layout.proof),
        "house_found": _house(layout),
        "flags": [_flag(flag) for flag in layout.flags],
    }


def figures_json(layout: Layout) -> str:
    """Return the figures as indented JSON, the same text for the same plan."""
    return json.dumps(figures(layout), ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def _points(layout: Layout, kind: str) -> list[Entry]:
    return [
        {"id": p.id, "x": p.at[0], "y": p.at[1], "station": p.station, "offset": p.offset}
        for p in layout.points
        if p.kind == kind
    ]


def _pier(stake: Stake, volume: PierVolume) -> Entry:
    return {
        "id": stake.id,
        "mark": stake.label,
        "x": stake.at[0],
        "y": stake.at[1],
        "station": stake.station,
        "offset": stake.offset,
        "ties": [_tie(tie) for tie in stake.ties],
        "best": _pair(stake.best),
        "square_within": stake.square.within if stake.square and not stake.square.blocked_by else None,
        "method": stake.method,
        "why": stake.why,
        "concrete_m3": volume.net_m3,
        "depth": volume.depth,
        "widest": volume.widest,
    }


def _tie(tie: Tie) -> Entry:
    return _tied({"from": tie.control, "distance": tie.distance}, tie.blocked_by)


def _tied(entry: Entry, blocked_by: str | None) -> Entry:
    """Return a taped distance, with what is in the way when something is."""
    return {**entry, "blocked_by": blocked_by} if blocked_by else entry


def _pair(pair: TiePair | None) -> Entry | None:
    if pair is None:
        return None
    return {
        "from": [pair.first.control, pair.second.control],
        "distances": [pair.first.distance, pair.second.distance],
        "crossing": pair.crossing_deg,
        "strength": pair.strength,
        "within": pair.within,
    }


def _triangle(square: SquareTriangle | None) -> Entry | None:
    if square is None:
        return None
    return {
        "ratio": list(square.ratio),
        "corner": list(square.corner),
        "corner_at": square.corner_label,
        "on_line": list(square.on_line),
        "out": list(square.out),
        "sides": [square.leg_along, square.leg_out, square.hypotenuse],
        "within": square.angle_within_deg,
    }


def _run(run: LineRun) -> Entry:
    return {
        "id": run.line,
        "zero": run.zero_label,
        "stops": [{"id": s.id, "running": s.running, "spacing": s.spacing, "off": s.off} for s in run.stops],
    }


def _bay(bay: BayCheck) -> Entry:
    return {
        "id": bay.id,
        "corners": list(bay.corners),
        "diagonals": list(bay.diagonals),
        "equal": bay.equal,
        "corner_out_per_difference": defined(bay.per_difference),
        "source": bay.source,
    }


def _order(order: BagOrder, ordered: tuple[int, float] | None) -> Entry:
    """Return what is drawn rounded up, and what is ordered with the chance of running short."""
    return {
        "product": order.product,
        "count": ordered[0] if ordered else order.count_by_job,
        "count_by_job": order.count_by_job,
        "count_by_pier": order.count_by_pier,
        "yield_m3": order.yield_m3,
        "chance_short": ordered[1] if ordered else None,
    }


def _proof(proof: Proof | None) -> Entry | None:
    """Return where every stake stands and its move; a suspect has the ends of its measure."""
    if proof is None:
        return None
    tapes = {tape.index: tape for tape in proof.tapes}
    return {
        "says": proof.says,
        "control": proof.control,
        "degrees": proof.degrees,
        "weighted": defined(proof.weighted),
        "limits": [defined(proof.low), defined(proof.high)],
        "passes": proof.passes,
        "passes_without": proof.passes_without,
        "points": [_proof_point(point) for point in proof.points],
        "suspects": [_suspect(suspect, tapes[suspect.index]) for suspect in proof.suspects],
        "tapes": [
            {
                "index": tape.index,
                "from": tape.start,
                "to": tape.end,
                "third": tape.third,
                "kind": tape.kind,
                "read": tape.read,
                "by_slope": tape.by_slope,
                "by_temperature": tape.by_temperature,
                "by_pull": tape.by_pull,
                "reduced": tape.reduced,
                "adjusted": defined(tape.adjusted),
                "residual": defined(tape.residual),
                "deviation": tape.deviation,
                "redundancy": defined(tape.redundancy),
                "w": defined(tape.w),
                "suspect": tape.suspect,
            }
            for tape in proof.tapes
        ],
        "bays": [
            {
                "id": bay.bay,
                "out": defined(bay.out),
                "within": defined(bay.within),
                "square": bay.square,
                "text": bay.says,
            }
            for bay in proof.bays
        ],
        "loose": [{"about": list(loose.ids), "text": loose.says} for loose in proof.loose],
        "swapped": [{"about": list(loose.ids), "text": loose.says} for loose in proof.swapped],
        "not_used": [{"index": index, "text": text} for index, text in proof.trouble],
    }


def _proof_point(point: ProofPoint) -> Entry:
    """Return one point of the proof; what is not determined has no numbers."""
    found = point.found
    known = found is not None
    return {
        "id": point.id,
        "x": found[0] if found else None,
        "y": found[1] if found else None,
        "semi_major": defined(point.semi_major) if known else None,
        "semi_minor": defined(point.semi_minor) if known else None,
        "turn": defined(point.turn) if known else None,
        "move": {"along": defined(point.along), "away": defined(point.away)} if known else None,
        "out": defined(point.out) if known else None,
        "held": point.held,
        "verdict": point.verdict,
        "text": point.says,
    }


def _suspect(suspect: Suspect, tape: ProofTape) -> Entry:
    return {
        "from": tape.start,
        "to": tape.end,
        "w": defined(suspect.w),
        "index": suspect.index,
        "size": defined(suspect.size),
        "right": defined(suspect.right),
        "misreading": suspect.misreading,
        "alike": list(suspect.alike),
        "text": suspect.says,
    }


def _house(layout: Layout) -> Entry | None:
    """Return the house as found, what is held, and where the stakes then belong; the other figures are as drawn."""
    found = layout.house_found
    if found is None:
        return None
    return {
        "corners": list(found.corners),
        "shift": list(found.shift),
        "turn": found.turn,
        "left_over": [{"id": corner, "x": x, "y": y} for corner, (x, y) in found.left_over],
        "held": layout.plan.proof.house,
        "held_attachment": layout.plan.proof.held_attachment,
        "text": found.says,
        "piers": [
            {"id": p.id, "x": p.at[0], "y": p.at[1], "station": p.station, "offset": p.offset}
            for p in layout.on_site.points
            if p.kind == "pier"
        ],
    }


def _flag(flag: Flag) -> Entry:
    return {
        "code": flag.code,
        "severity": flag.severity,
        "text": flag.text,
        "about": list(flag.about),
        "title": flag.title,
        "stage": flag.stage,
    }
