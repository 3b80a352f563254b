"""What the page says: about a thing, about the scale, and the report of what was read."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Final

from layoutdesk.session.incoming import Arrival

if TYPE_CHECKING:
    from layoutdesk.importers.proposal import Becomes

WHAT: Final[dict[Becomes, str]] = {
    "pier": "pier",
    "wall": "wall",
    "beam line": "beam line",
    "slab": "slab",
    "keep-out": "keep-out",
    "attachment": "attachment",
    "control point": "control point",
    "spot": "spot",
    "nothing": "nothing",
}
MANY: Final[dict[Becomes, str]] = {
    "pier": "piers",
    "wall": "walls",
    "beam line": "beam lines",
    "slab": "slabs",
    "keep-out": "keep-outs",
    "attachment": "attachments",
    "control point": "control points",
    "spot": "spots",
    "nothing": "passed over",
}
LETTERS: Final[dict[Becomes, str]] = {
    "pier": "P",
    "wall": "W",
    "beam line": "L",
    "slab": "S",
    "keep-out": "O",
    "attachment": "A",
    "control point": "C",
    "spot": "I",
    "nothing": "N",
}
"""The letter that makes what is picked this; the same as draws it on the sheet."""


def counted(count: int, kind: Becomes) -> str:
    """Return how many of a kind, as ``14 piers``."""
    return f"{count:,} {WHAT[kind] if count == 1 else MANY[kind]}"


def becoming(total: Counter[Becomes]) -> str:
    """Return what is taken in, as ``14 piers · 2 walls``."""
    said = [counted(total[kind], kind) for kind in WHAT if kind != "nothing" and total[kind]]
    return " · ".join(said) or "Nothing is taken in yet"


def mixture(count: Counter[Becomes]) -> str:
    """Return what the things of a kind become: one word when all do the same."""
    used = [kind for kind, number in count.items() if number]
    return WHAT[used[0]] if len(used) == 1 else "several"


def about_thing(arrival: Arrival, index: int) -> str:
    """Return what a thing is, what becomes of it and why."""
    thing = arrival.proposal.candidates[index]
    group = next((g for g in arrival.proposal.groups if g.key == thing.group), None)
    name = WHAT[thing.becomes].capitalize() if thing.becomes != "nothing" else "Passed over"
    if thing.mark and thing.becomes == "pier":
        name += f" {thing.mark}"
    what = group.what if group is not None and group.what != MANY[thing.becomes] else ""
    parts = [name, what, f"layer {thing.layer}" if thing.layer else ""]
    said = " · ".join(p for p in parts if p)
    return f"{said}: {thing.why}" if thing.why else said


def report(arrival: Arrival) -> str:
    """Return the report of what was read and what was passed over, and why, as text to be kept."""
    proposal, linework, agreement = arrival.proposal, arrival.linework, arrival.agreement
    lines = [arrival.path.name]
    if linework is not None:
        dimensions = agreement.written or len(linework.drawn)
        lines.append(
            f"Read: {_of(len(linework.shapes), 'line')}, {_of(len(linework.words), 'text')}, "
            f"{_of(dimensions, 'dimension')}, {_of(len(linework.uses), 'block')} on "
            f"{_of(len(linework.layers), 'layer')}."
        )
    lines.append(f"Scale: {proposal.scale.why}.")
    lines.append(f"Comes in: {becoming(arrival.total)}.")
    lines += [f"Note: {note}" for note in proposal.notes]
    lines += [f"Does not agree: {d.title}. {d.text}" for d in agreement.doubts]
    lines += [f"Passed over: {p.count:,} {p.what}: {p.why}." for p in proposal.passed]
    return "\n".join(lines)


def _of(count: int, thing: str) -> str:
    return f"{count:,} {thing}" + ("" if count == 1 else "s")
