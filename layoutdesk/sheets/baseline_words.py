"""Where the baseline runs, in the words of somebody who stands beside it."""

from __future__ import annotations

from layoutdesk.engine.layout import Layout, PointRow
from layoutdesk.sheets.numbers import said


def on_baseline(layout: Layout) -> list[PointRow]:
    """Return the points that lie on the baseline to half a step of the tape, by their station."""
    near = layout.plan.rounding / 2
    points = [p for p in layout.points if p.kind != "pier" and p.offset is not None and abs(p.offset) <= near]
    return sorted(points, key=lambda p: (p.station or 0.0, p.kind == "attachment"))


def zero_point(layout: Layout) -> PointRow | None:
    """Return the point at station 0 of the baseline, a control point rather than an attachment, if there is one."""
    near = layout.plan.rounding / 2
    return next((p for p in on_baseline(layout) if p.station is not None and abs(p.station) <= near), None)


def toward_point(layout: Layout) -> PointRow | None:
    """Return the control point farthest along the baseline, if there is one beyond station 0."""
    ahead = [p for p in on_baseline(layout) if p.kind == "control" and (p.station or 0.0) > layout.plan.rounding]
    return ahead[-1] if ahead else None


def baseline_sentences(layout: Layout) -> tuple[str, ...]:
    """Return where stations and offsets are read from, sentence by sentence."""
    if layout.frame is None:
        return ("This plan has no baseline: choose one before anything is staked.",)
    zero, toward = zero_point(layout), toward_point(layout)
    start = f"Station 0 is at **{zero.label}**" if zero else "Station 0 is the origin of the baseline"
    if toward and toward.station is not None:
        way = f"stations grow toward **{toward.label}**, which is at **{said(layout.plan, toward.station)}**"
        seen = f"as you look from {zero.label} to {toward.label}" if zero else f"as you look toward {toward.label}"
    else:
        way = "stations grow along the arrow"
        seen = "as you look along the arrow"
    side = "left" if layout.frame.side > 0 else "right"
    return (
        f"{start}; {way}.",
        f"The yard is on your **{side}** {seen}: offsets are measured square from the baseline into it.",
    )
