"""What the Proof page asks of a layout: worked out at once, or by the second process, which answers in bytes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

# The fields of a dataclass that is read back from bytes must be known by name when the program runs.
from layoutdesk.engine.layout import Flag, HouseFound, Proof, TapeNext, TapingPlan

if TYPE_CHECKING:
    from collections.abc import Callable

    from layoutdesk.engine.layout import Layout


@dataclass(frozen=True, slots=True)
class ProofFound:
    """What the measures of a layout say; ``flags`` are those of the proof alone.

    ``taping`` is None where nobody asked which tapes to take; all is empty with nothing measured.
    """

    proof: Proof | None = None
    next: TapeNext | None = None
    house: HouseFound | None = None
    flags: tuple[Flag, ...] = ()
    taping: TapingPlan | None = None


def proof_found(layout: Layout, *, choose: bool, tell: Callable[[float], None] | None = None) -> ProofFound:
    """Return what the measures of a layout say.

    Args:
        layout: the layout.
        choose: whether the tapes to take are wanted too.
        tell: is told how much is done, from 0 to 1.
    """
    told = tell or _tell_nobody
    flags: tuple[Flag, ...] = ()
    if layout.plan.tapes:
        _ = layout.bays
        told(0.1)
        flags = layout.proof_flags
        told(0.6)
        _ = (layout.tape_next, layout.house_found)
        told(0.85)
    taping = layout.taping_plan if choose else None
    return ProofFound(layout.proof, layout.tape_next, layout.house_found, flags, taping)


def _tell_nobody(_: float) -> None:
    """Tell nobody how much is done."""


def found_to_bytes(found: ProofFound) -> bytes:
    """Return what was found in a form that goes from one process to another."""
    import msgspec

    return msgspec.msgpack.encode(found)


def found_from_bytes(data: bytes) -> ProofFound:
    """Return what :func:`found_to_bytes` was given."""
    import msgspec

    return msgspec.msgpack.decode(data, type=ProofFound)
