"""Plans that the tests of the sheets share: the samples, and plans that try the pages."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Layout
from layoutdesk.places import SAMPLES
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import (
    Attachment,
    Baseline,
    BeamLine,
    Control,
    Detail,
    Keepout,
    Pier,
    Plan,
    Wall,
)

PORCH, CARPORT, STAKED = "heron-lane-porch", "orchard-row-carport", "heron-lane-porch-staked"
NAMES = (PORCH, CARPORT, STAKED)


@cache
def sample(name: str) -> Plan:
    """Return a sample plan by the name of its file."""
    return read_plan(SAMPLES / f"{name}.layout.json")


@cache
def sample_layout(name: str) -> Layout:
    """Return what follows from a sample plan."""
    return derive(sample(name))


def rows_of_piers(rows: int, in_row: int) -> Plan:
    """Return a plan with many piers in straight rows away from one long wall."""
    wide = rows * 2400.0 + 1200.0
    places = [(1200.0 + row * 2400.0, -(k + 1) * 1828.8, row) for row in range(rows) for k in range(in_row)]
    return Plan(
        title="Many piers",
        date="2026-05-01",
        walls=(Wall(id="W1", points=((0.0, 0.0), (wide, 0.0)), house_side="left"),),
        baseline=Baseline(origin=(0.0, 0.0), toward=(wide, 0.0), yard_side="right"),
        controls=(Control(id="C1", at=(0.0, 0.0)), Control(id="C2", at=(wide, 0.0))),
        details=(Detail(id="D1", profile=((0.0, 304.8), (900.0, 304.8))),),
        attachments=tuple(
            Attachment(id=f"A{row + 1}", at=(1200.0 + row * 2400.0, 0.0), kind="ledger") for row in range(rows)
        ),
        lines=tuple(
            BeamLine(
                id=f"L{row + 1}",
                start=(1200.0 + row * 2400.0, 0.0),
                end=(1200.0 + row * 2400.0, -(in_row + 0.5) * 1828.8),
                attachment=f"A{row + 1}",
            )
            for row in range(rows)
        ),
        piers=tuple(
            Pier(id=f"P{n}", at=(x, y), line=f"L{row + 1}", detail="D1") for n, (x, y, row) in enumerate(places, 1)
        ),
    )


def odd_plans() -> dict[str, Plan]:
    """Return plans that pages are easily spoilt by, by what is odd about them."""
    porch = sample(PORCH)
    shut_in = Keepout(id="K9", outline=((-500, -3000), (1500, -3000), (1500, -1500), (-500, -1500)), kind="tree")
    return {
        "empty": Plan(),
        "empty, metric": Plan(units="mm", rounding=1.0, paper="a4"),
        "no baseline": replace(porch, baseline=None),
        "no controls": replace(porch, controls=()),
        "one pier": replace(porch, piers=porch.piers[:1], lines=(), attachments=(), bays=()),
        "only a pier": Plan(piers=(Pier(id="P1", at=(0.0, 0.0)),)),
        "only a wall": Plan(walls=porch.walls),
        "no details": replace(porch, details=()),
        "wide holes": replace(porch, details=tuple(replace(d, profile=((0.0, 6000.0),)) for d in porch.details)),
        "shut in": replace(porch, keepouts=(*porch.keepouts, shut_in)),
        "many piers": rows_of_piers(20, 15),
        "far away": replace(porch, controls=(*porch.controls, Control(id="C9", at=(9e6, -9e6)))),
        "long names": replace(
            porch,
            title="A job whose name goes on and on, as the drawings of a large office sometimes have it, " * 2,
            issue="Revision forty-two of the amended drawings",
            date="some day in the spring after next",
            rounding=25.4 / 64,
            piers=tuple(replace(p, mark=f"North-west corner post, number {p.id}") for p in porch.piers),
        ),
        "foreign signs": replace(
            porch,
            title="מרפסת 漢字 👩‍👩‍👧 é\u202e <b>&",
            piers=tuple(replace(p, mark=f"桩{p.id}") for p in porch.piers),
        ),
        "fine steps": replace(porch, units="mm", rounding=1e-6),
        "two of one name": replace(
            porch, piers=tuple(replace(p, mark="P8") if p.id == "P5" else p for p in porch.piers)
        ),
        "one long name": replace(
            porch, piers=tuple(replace(p, mark="PIER-" * 7) if p.id == "P3" else p for p in porch.piers)
        ),
        "all in one place": replace(porch, piers=tuple(replace(p, at=(0.0, -2000.0)) for p in porch.piers)),
    }
