"""Plain objects of a version 1 file to a plan: the types are checked here, by msgspec, the rules in ``validate``.

msgspec takes a moment to import, so this module is imported when a file is opened and not before.
"""

from __future__ import annotations

import re
from typing import Any

import msgspec

from layoutdesk.errors import PlanError
from layoutdesk.plan.keys import ENTRIES, KEYS, LISTS, VERSION_KEY
from layoutdesk.plan.model import (
    ATTACHMENT_KINDS,
    CAST_IN_KINDS,
    CONTROL_TRUSTS,
    HOUSE_CHOICES,
    KEEPOUT_KINDS,
    OPENING_SHAPES,
    PAPERS,
    SETUP_METHODS,
    SIDES,
    STRING_RULES,
    TAKEN_CLASSES,
    TAPE_CLASSES,
    TAPE_KINDS,
    TOP_RULES,
    Holes,
    Levels,
    Plan,
    TapeAtHand,
)
from layoutdesk.plan.usual import usual_fields, usual_holes, usual_levels
from layoutdesk.units import UNITS, Units, default_tape

_A_POINT = "two numbers [x, y]"
_POINTS = "a list of points [[x, y], …]"
_A_SIDE = f"one of {', '.join(SIDES)}"
_A_CLASS = f"one of {', '.join(TAPE_CLASSES)}"
_WANTED = {
    "at": _A_POINT,
    "from": _A_POINT,
    "to": _A_POINT,
    "origin": _A_POINT,
    "toward": _A_POINT,
    "points": _POINTS,
    "points[]": _A_POINT,
    "outline": _POINTS,
    "outline[]": _A_POINT,
    "profile": "a list of [depth, diameter] from the top down",
    "profile[]": "two numbers [depth, diameter]",
    "corners": "four ids, in order round the bay",
    "corners[]": "the id of a pier or an attachment",
    "house_side": _A_SIDE,
    "yard_side": _A_SIDE,
    "units": f"one of {', '.join(UNITS)}",
    "paper": f"one of {', '.join(PAPERS)}",
    "class": _A_CLASS,
    "attachments[].kind": f"one of {', '.join(ATTACHMENT_KINDS)}",
    "keepouts[].kind": f"one of {', '.join(KEEPOUT_KINDS)}",
    "readings[].kind": "one of back, fore",
    "setups[].method": f"one of {', '.join(SETUP_METHODS)}",
    "levels.lines[].top": f"one of {', '.join(TOP_RULES)}",
    "levels.lines[].string_rule": f"one of {', '.join(STRING_RULES)}",
    "tapes[].class": f"one of {', '.join(TAKEN_CLASSES)}",
    "tapes[].kind": f"one of {', '.join(TAPE_KINDS)}",
    "proof.control": f"one of {', '.join(CONTROL_TRUSTS)}",
    "proof.house": f"one of {', '.join(HOUSE_CHOICES)}",
    "tapes[].from": "the id of a point",
    "tapes[].to": "the id of a point",
    "tapes[].third": "the id of a point",
    "tapes[].own": "two numbers [mm, mm for every metre]",
    "tapes[].legs": "two lengths [one leg, the other leg]",
    "cast_in.kind": f"one of {', '.join(CAST_IN_KINDS)}",
    "openings.shape": f"one of {', '.join(OPENING_SHAPES)}",
    "log[].pier": "the id of a pier",
}
"""What must stand at a key, as the end of ``must be …``; the longest ending of a place that is here counts."""

_TYPES = {
    "float": "a number",
    "int": "a whole number",
    "str": "text",
    "bool": "true or false",
    "null": "null",
    "array": "a list",
    "object": "an entry { … }",
}


def plan_from_objects(data: dict[str, Any]) -> Plan:
    """Return the plan that the objects of a version 1 file make; unknown keys go to ``extra``.

    Raises:
        PlanError: when something is missing or is not of its type; the place is named as in ``piers[3].at``.
    """
    body = {key: value for key, value in data.items() if key != VERSION_KEY}
    try:
        plan = msgspec.convert(_by_field(Plan, body, _units_of(body)), Plan)
    except msgspec.ValidationError as error:
        place, problem = _in_words(str(error))
        raise PlanError(place, problem) from None
    unsaid: dict[str, object] = {
        "tape_at_hand": TapeAtHand(length=default_tape(plan.units)),
        "levels": usual_levels(plan.units),
        "holes": usual_holes(plan.units),
    }
    return plan.with_(**{key: value for key, value in unsaid.items() if key not in body})


def _units_of(body: dict[str, Any]) -> Units:
    """Return the units that a file says it is in; the usual ones where it says none that there are."""
    return next((units for units in UNITS if units == body.get("units")), Plan().units)


def _by_field(kind: type[Any], entry: Any, units: Units) -> Any:
    """Return an entry with its keys turned into fields and the unknown ones set apart; others as they are.

    What it does not say is what is usual in the units of the plan.
    """
    if not isinstance(entry, dict):
        return entry
    keys, lists, entries = KEYS[kind], LISTS.get(kind, {}), ENTRIES.get(kind, {})
    fields: dict[str, Any] = dict(usual_fields(kind, units))
    if kind in {Levels, Holes}:
        fields.update({field: dict(usual_fields(inner, units)) for field, inner in entries.items()})
    extra: list[tuple[str, Any]] = []
    for key, value in entry.items():
        field = keys.get(key)
        if field is None:
            extra.append((key, value))
        elif field in lists and isinstance(value, list):
            fields[field] = [_by_field(lists[field], item, units) for item in value]
        elif field in entries:
            fields[field] = _by_field(entries[field], value, units)
        else:
            fields[field] = value
    if extra:
        fields["extra"] = extra
    return fields


def _in_words(message: str) -> tuple[str, str]:
    """Return place and problem from one of msgspec's messages."""
    problem, _, path = message.partition(" - at `$")
    place = _in_keys(path.rstrip("`").removeprefix("."))
    if missing := re.search(r"required field `(\w+)`", problem):
        inside = _in_keys(f"{place}.{missing[1]}" if place else missing[1])
        return inside, f"is missing; it must be {_wanted(inside) or 'there'}"
    types = re.search(r"Expected `([^`]+)`.*got `([^`]+)`", problem)
    too_large = "out of range" in problem
    if (too_large or (types and types[1] == "float")) and place.endswith("]"):
        place = place[: place.rindex("[")]  # one of two coordinates: the point is the place that a reader looks for
    wanted = _wanted(place)
    if types:
        options = " or ".join(_TYPES.get(name.strip(), name) for name in types[1].split("|"))
        return place, f"must be {wanted or options}, not {_TYPES.get(types[2], types[2])}"
    if too_large:
        return place, "is a number too large for a plan"
    return place, f"must be {wanted}" if wanted else problem


def _in_keys(place: str) -> str:
    """Return a place with the keys of the file instead of the fields of the plan."""
    place = re.sub(r"^(lines|tapes|written|chains)(\[\d+\])\.start", r"\1\2.from", place)
    place = re.sub(r"^(lines|tapes|written|chains)(\[\d+\])\.end", r"\1\2.to", place)
    return place.replace("tape_class", "class")


def _wanted(place: str) -> str | None:
    """Return what must stand at a place, as the end of ``must be …``."""
    pattern = re.sub(r"\[\d+\]", "[]", place)
    endings = (pattern[start:] for start in range(len(pattern)) if start == 0 or pattern[start - 1] == ".")
    return next((_WANTED[ending] for ending in endings if ending in _WANTED), None)
