"""The keys of a plan file, version 1, and the fields of the plan that they stand for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any, Final

from layoutdesk.plan.model import (
    Attachment,
    BagProduct,
    Baseline,
    Bay,
    BeamLine,
    Benchmark,
    CastIn,
    Chain,
    ColumnRule,
    Control,
    Detail,
    DigRule,
    HeightSettings,
    HoleLog,
    Holes,
    Keepout,
    Levels,
    LineHeights,
    OpeningRule,
    Pier,
    PierHeights,
    Plan,
    ProofSettings,
    Reading,
    Setup,
    Slab,
    SpotHeight,
    Steel,
    Tape,
    TapeAtHand,
    TruckRule,
    Underlay,
    Wall,
    Written,
)

VERSION_KEY: Final = "layoutdesk"
VERSION: Final = 1

_RENAMED: Mapping[type[Any], Mapping[str, str]] = {
    BeamLine: {"start": "from", "end": "to"},
    Tape: {"start": "from", "end": "to", "tape_class": "class"},
    TapeAtHand: {"tape_class": "class"},
    Written: {"start": "from", "end": "to"},
    Chain: {"start": "from", "end": "to"},
}

LISTS: Final[Mapping[type[Any], Mapping[str, type[Any]]]] = {
    Plan: {
        "walls": Wall,
        "attachments": Attachment,
        "controls": Control,
        "lines": BeamLine,
        "piers": Pier,
        "details": Detail,
        "slabs": Slab,
        "keepouts": Keepout,
        "bays": Bay,
        "spots": SpotHeight,
        "tapes": Tape,
        "bags": BagProduct,
        "written": Written,
        "chains": Chain,
        "underlays": Underlay,
    },
    Levels: {
        "benchmarks": Benchmark,
        "readings": Reading,
        "setups": Setup,
        "lines": LineHeights,
        "piers": PierHeights,
    },
    Holes: {"log": HoleLog},
}
"""The fields that are lists of entries, and what the entries are."""

ENTRIES: Final[Mapping[type[Any], Mapping[str, type[Any]]]] = {
    Plan: {
        "baseline": Baseline,
        "levels": Levels,
        "holes": Holes,
        "tape_at_hand": TapeAtHand,
        "proof": ProofSettings,
    },
    Levels: {"columns": ColumnRule, "settings": HeightSettings},
    Holes: {"dig": DigRule, "truck": TruckRule, "openings": OpeningRule},
    Detail: {"cast_in": CastIn, "steel": Steel},
}
"""The fields that are one entry."""


def _keys(kind: type[Any]) -> dict[str, str]:
    renamed = _RENAMED.get(kind, {})
    return {renamed.get(f.name, f.name): f.name for f in fields(kind) if f.name != "extra"}


_KINDS: Final[tuple[type[Any], ...]] = (
    Plan,
    *(kind for kinds in LISTS.values() for kind in kinds.values()),
    *(kind for kinds in ENTRIES.values() for kind in kinds.values()),
)

KEYS: Final[Mapping[type[Any], Mapping[str, str]]] = {kind: _keys(kind) for kind in _KINDS}
"""For every kind of entry: the key in the file -> the field of the plan, in the order in which they are written."""

NAMED: Final[tuple[str, ...]] = tuple(field for field, kind in LISTS[Plan].items() if "id" in KEYS[kind])
"""The lists of a plan whose entries have ids, all of one stock."""
