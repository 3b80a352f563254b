"""Plans that the gesture tests draw on."""

from __future__ import annotations

from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from tests.gestures.hand import FT


def wall_only() -> Plan:
    """Return a house wall of 30 ft along x, house above, with the baseline along it."""
    plan = edits.add_wall(Plan(), [(0.0, 0.0), (30 * FT, 0.0)], house_side="left")
    return edits.set_baseline(plan, (0.0, 0.0), (30 * FT, 0.0), yard_side="right")


def traced() -> Plan:
    """Return the porch with a photograph under it, as seen slanting, and a page that is locked."""
    slanting = (9.0, 0.5, -2000.0, 0.3, -11.0, 1000.0, 1e-5, -2e-4, 1.0)
    plan = edits.add_underlay(porch(), "/jobs/yard.jpg", (1600.0, 1200.0), to_plan=slanting)
    return edits.set_underlay(edits.add_underlay(plan, "/jobs/plan.pdf", (612.0, 792.0), page=1), "U2", locked=True)


def porch() -> Plan:
    """Return two attached rows of three piers, two control points, a slab and a tree."""
    plan = wall_only()
    plan = edits.add_detail(plan, [(0.0, 300.0), (800.0, 300.0)])
    for k, x in enumerate((2 * FT, 12 * FT)):
        plan = edits.add_attachment(plan, (x, 0.0), kind="in-wall post")
        plan = edits.add_row(
            plan, (x, 0.0), (x, -21 * FT), [8 * FT, 6 * FT, 6 * FT], detail="D1", attachment=f"A{k + 1}"
        )
    plan = edits.add_control(edits.add_control(plan, (0.0, 0.0)), (30 * FT, 0.0))
    plan = edits.add_slab(plan, [(4 * FT, 0.0), (8 * FT, 0.0), (8 * FT, -5 * FT), (4 * FT, -5 * FT)], thickness=100)
    outline = [(18 * FT, -6 * FT), (20 * FT, -6 * FT), (20 * FT, -8 * FT), (18 * FT, -8 * FT)]
    return edits.add_keepout(plan, outline, kind="tree")
