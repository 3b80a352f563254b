"""How heavy concrete is, for whoever carries it: fresh in a barrow, or sawn out of a slab."""

from __future__ import annotations

from layoutdesk.engine.shipped import shipped


def fresh_density() -> float:
    """Return the mass of fresh concrete in kg to the m³, and of a slab: common practice, no source."""
    return float(shipped("holes")["fresh"]["density_kg_m3"])
