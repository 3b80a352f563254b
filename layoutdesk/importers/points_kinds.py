"""What a point of a table becomes: by what its row calls it, or else by the letters of its name."""

from __future__ import annotations

import re
from typing import Final

from layoutdesk.importers.proposal import Becomes


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split(" "))


_KINDS: Final[dict[Becomes, frozenset[str]]] = {
    "attachment": _words("attachment attach attached ledger att a side-bolted in-wall"),
    "control point": _words(
        "control controls ctrl cp c corner hub nail reference ref benchmark bm traverse house wall building"
    ),
    "pier": _words(
        "pier piers footing footings footer ftg ftgs post posts column columns col pad "
        "pads hole holes p f stake foundation caisson"
    ),
    "spot": _words("spot spots ground grade level elevation ground-shot topo terrain contour gs eg"),
    "nothing": _words(
        "tree trees fence utility water gas sewer drain valve meter manhole pole "
        "curb kerb edge pavement hydrant shrub bush path drive driveway note"
    ),
}
_LETTERS: Final[dict[str, Becomes]] = {
    **dict.fromkeys(("c", "cp", "ctrl", "control", "bm", "hub"), "control point"),
    **dict.fromkeys(("a", "at", "att", "attachment"), "attachment"),
    **dict.fromkeys(("g", "gs", "sp", "spot"), "spot"),
}


def kind_of(kind: str, name: str, *, height: bool = False) -> Becomes:
    """Return what a point becomes: a pier, unless its kind or its name says something else.

    Args:
        kind: what its row calls it, empty when it has no such column.
        name: its id.
        height: whether its row says how high it lies; without that ground is nothing to a plan.
    """
    becomes = _called(kind, name)
    if becomes != "spot" or height:
        return becomes
    return "nothing" if kind else "pier"


def _called(kind: str, name: str) -> Becomes:
    for word in re.findall(r"[a-zà-ÿ]+(?:-[a-zà-ÿ]+)?", kind.lower()):
        for becomes, words in _KINDS.items():
            if word in words or word.removesuffix("s") in words:
                return becomes
    return _LETTERS.get(letters_of(name).lower(), "pier")


def letters_of(name: str) -> str:
    """Return the letters that a name begins with."""
    found = re.match(r"[^\W\d_]+", name)
    return found[0] if found else ""
