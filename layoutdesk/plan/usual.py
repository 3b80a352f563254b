"""What is usual in each system of units: inches in plans in feet and inches, round millimetres in metric ones.

A field that no file and no person has set has the usual value of the plan's units; it goes along when the units are
switched. The figures are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final, TypeVar

from layoutdesk.plan.heights import ColumnRule, HeightSettings, Levels
from layoutdesk.plan.holes import CastIn, DigRule, Holes, OpeningRule, Steel, TruckRule
from layoutdesk.units import Units

_METRIC: Final[Mapping[type[Any], Mapping[str, Any]]] = {
    ColumnRule: {"width": 140.0, "depth": 140.0, "foot": 25.0, "support": 150.0, "kerf": 3.0},
    HeightSettings: {"board_clear": 900.0, "line_gap": 12.0},
    CastIn: {"width": 140.0, "depth": 140.0, "foot": 150.0},
    Steel: {
        "bar": "12 mm",
        "hoop": "8 mm",
        "cover": 75.0,
        "cover_ends": 75.0,
        "spacing": 200.0,
        "first": 75.0,
    },
    TruckRule: {"step_m3": 0.25},
    OpeningRule: {"margin": 75.0, "least_strip": 300.0, "blade": 40.0},
}
"""What is usual in metric plans where it differs from the defaults of the model, which are in inches."""

_T = TypeVar("_T", ColumnRule, HeightSettings, CastIn, Steel, DigRule, TruckRule, OpeningRule)


def usual_fields(kind: type[Any], units: Units) -> Mapping[str, Any]:
    """Return the fields of an entry whose usual values in these units are not the defaults of the model."""
    return {} if units == "ft-in" else _METRIC.get(kind, {})


def usual(kind: type[_T], units: Units) -> _T:
    """Return an entry as it is usual in these units."""
    return kind(**usual_fields(kind, units))


def usual_holes(units: Units) -> Holes:
    """Return what is usual of digging, sawing and pouring, with nothing logged."""
    return Holes(dig=usual(DigRule, units), truck=usual(TruckRule, units), openings=usual(OpeningRule, units))


def usual_levels(units: Units) -> Levels:
    """Return what is usual of heights, with nothing booked."""
    return Levels(columns=usual(ColumnRule, units), settings=usual(HeightSettings, units))


def levels_in(levels: Levels, old: Units, new: Units) -> Levels:
    """Return the levels after a switch of units: what is still usual in the old ones is so in the new."""
    return replace(
        levels, columns=_switched(levels.columns, old, new), settings=_switched(levels.settings, old, new)
    )


def holes_in(holes: Holes, old: Units, new: Units) -> Holes:
    """Return the rules for holes after a switch of units: what is still usual in the old ones is so in the new."""
    return replace(holes, truck=_switched(holes.truck, old, new), openings=_switched(holes.openings, old, new))


def _switched(thing: _T, old: Units, new: Units) -> _T:
    """Return an entry with every field that has its usual value in the old units at the one of the new."""
    before, after = usual(type(thing), old), usual(type(thing), new)
    changes = {
        field: getattr(after, field)
        for field in _METRIC[type(thing)]
        if getattr(thing, field) == getattr(before, field)
    }
    return replace(thing, **changes)
