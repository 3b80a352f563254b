"""The plan: everything that a person has given, as immutable values.

Lengths are millimetres, points are ``(x, y)`` in the plan's own axes with y up, as in a DXF. Every object
carries ``extra``: the keys of its file entry that this version does not know, kept so that a save loses
nothing. Nothing here computes; what follows from a plan is in :mod:`layoutdesk.engine`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Final, Literal, TypeAlias

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.drawn import WRITTEN_KINDS, Chain, Underlay, Written, WrittenKind
from layoutdesk.plan.extra import Extra
from layoutdesk.plan.heights import (
    NO_LEVELS,
    SETUP_METHODS,
    STRING_RULES,
    TOP_RULES,
    Benchmark,
    ColumnRule,
    HeightSettings,
    Levels,
    LineHeights,
    PierHeights,
    Reading,
    ReadingKind,
    Setup,
    SetupMethod,
    SpotHeight,
    StringRule,
    TopRule,
)
from layoutdesk.plan.holes import (
    CAST_IN_KINDS,
    HOOK_TURNS,
    NO_HOLES,
    OPENING_SHAPES,
    CastIn,
    CastInKind,
    DigRule,
    HoleLog,
    Holes,
    OpeningRule,
    OpeningShape,
    Steel,
    TruckRule,
)
from layoutdesk.plan.site import (
    CONTROL_TRUSTS,
    HOUSE_CHOICES,
    TAKEN_CLASSES,
    TAPE_CLASSES,
    TAPE_KINDS,
    USUAL_PROOF,
    USUAL_TAPE,
    ControlTrust,
    HouseChoice,
    ProofSettings,
    TakenClass,
    Tape,
    TapeAtHand,
    TapeClass,
    TapeKind,
)
from layoutdesk.units import Units

__all__ = [
    "ATTACHMENT_KINDS",
    "CAST_IN_KINDS",
    "CONTROL_TRUSTS",
    "HOOK_TURNS",
    "HOUSE_CHOICES",
    "KEEPOUT_KINDS",
    "OPENING_SHAPES",
    "PAPERS",
    "SETUP_METHODS",
    "SIDES",
    "STRING_RULES",
    "TAKEN_CLASSES",
    "TAPE_CLASSES",
    "TAPE_KINDS",
    "TOP_RULES",
    "WRITTEN_KINDS",
    "Attachment",
    "AttachmentKind",
    "BagProduct",
    "Baseline",
    "Bay",
    "BeamLine",
    "Benchmark",
    "CastIn",
    "CastInKind",
    "Chain",
    "ColumnRule",
    "Control",
    "ControlTrust",
    "Detail",
    "DigRule",
    "Extra",
    "HeightSettings",
    "HoleLog",
    "Holes",
    "HouseChoice",
    "Keepout",
    "KeepoutKind",
    "Levels",
    "LineHeights",
    "OpeningRule",
    "OpeningShape",
    "Paper",
    "Piece",
    "Pier",
    "PierHeights",
    "Plan",
    "ProofSettings",
    "Reading",
    "ReadingKind",
    "Setup",
    "SetupMethod",
    "Side",
    "Slab",
    "SpotHeight",
    "Steel",
    "StringRule",
    "TakenClass",
    "Tape",
    "TapeAtHand",
    "TapeClass",
    "TapeKind",
    "TopRule",
    "TruckRule",
    "Underlay",
    "Wall",
    "Written",
    "WrittenKind",
    "places_of",
    "with_places",
]

Side = Literal["left", "right"]
AttachmentKind = Literal["ledger", "side-bolted", "in-wall post"]
KeepoutKind = Literal["tree", "air conditioner", "utility", "other"]
Paper = Literal["letter", "a4"]

ATTACHMENT_KINDS: Final[tuple[AttachmentKind, ...]] = ("ledger", "side-bolted", "in-wall post")
KEEPOUT_KINDS: Final[tuple[KeepoutKind, ...]] = ("tree", "air conditioner", "utility", "other")
SIDES: Final[tuple[Side, ...]] = ("left", "right")
PAPERS: Final[tuple[Paper, ...]] = ("letter", "a4")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """A face of the existing house: a polyline, with the house on its left or right as one walks along it."""

    id: str
    points: tuple[Vector, ...]
    house_side: Side
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """Where a beam meets the house."""

    id: str
    at: Vector
    kind: AttachmentKind
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Baseline:
    """The straight line that stations and offsets are read from; ``yard_side`` as seen from origin to toward."""

    origin: Vector
    toward: Vector
    yard_side: Side
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Control:
    """A point that can be found again and taped from.

    ``measured`` says that its real place is found by tapes, as of a house corner that may not stand as drawn; it is
    then not held where it is drawn.
    """

    id: str
    at: Vector
    measured: bool = False
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class BeamLine:
    """The straight line that a row of piers, their columns and their beam share."""

    id: str
    start: Vector
    end: Vector
    attachment: str | None = None
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pier:
    """One footing. ``mark`` is what people call it; it is the id unless it was renamed."""

    id: str
    at: Vector
    line: str | None = None
    detail: str | None = None
    mark: str = ""
    extra: Extra = field(default=(), hash=False)

    @property
    def label(self) -> str:
        """Return what the pier is called on screens and sheets."""
        return self.mark or self.id


@dataclass(frozen=True, slots=True, kw_only=True)
class Detail:
    """The section of a pier.

    ``profile`` holds (depth, diameter) down the hole, joined by straight sides; two entries at one depth make
    a step. ``reveal`` is the height of the pier's top above the ground beside it. From the depth ``square_from`` on
    the hole is square and its diameters are sides; None for one that is round all the way. ``tube`` is how far
    below the ground the form reaches that stands around the reveal; None for none.
    """

    id: str
    profile: tuple[tuple[float, float], ...]
    reveal: float = 0.0
    square_from: float | None = None
    tube: float | None = None
    cast_in: CastIn | None = None
    steel: Steel | None = None
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slab:
    """Existing concrete."""

    id: str
    outline: tuple[Vector, ...]
    thickness: float
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Keepout:
    """What neither auger nor tape may cross."""

    id: str
    outline: tuple[Vector, ...]
    kind: KeepoutKind = "other"
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bay:
    """Four points (piers or attachments), named in order round the bay, that the user wants checked."""

    id: str
    corners: tuple[str, str, str, str]
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class BagProduct:
    """A bag of concrete mix as the supplier sells it; ``yield_m3`` is what one bag makes, printed on the bag.

    A mass or a price of 0 is not known.
    """

    product: str
    yield_m3: float
    mass_kg: float = 0.0
    price: float = 0.0
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A whole plan. Equality is deep; an edit makes a new plan that shares what it did not touch."""

    title: str = "Untitled"
    units: Units = "ft-in"
    rounding: float = 1.5875
    issue: str = ""
    date: str = ""
    paper: Paper = "letter"
    walls: tuple[Wall, ...] = ()
    attachments: tuple[Attachment, ...] = ()
    baseline: Baseline | None = None
    controls: tuple[Control, ...] = ()
    lines: tuple[BeamLine, ...] = ()
    piers: tuple[Pier, ...] = ()
    details: tuple[Detail, ...] = ()
    slabs: tuple[Slab, ...] = ()
    keepouts: tuple[Keepout, ...] = ()
    bays: tuple[Bay, ...] = ()
    spots: tuple[SpotHeight, ...] = ()
    tapes: tuple[Tape, ...] = ()
    levels: Levels = NO_LEVELS
    holes: Holes = NO_HOLES
    tape_at_hand: TapeAtHand = USUAL_TAPE
    bags: tuple[BagProduct, ...] = ()
    written: tuple[Written, ...] = ()
    chains: tuple[Chain, ...] = ()
    underlays: tuple[Underlay, ...] = ()
    proof: ProofSettings = USUAL_PROOF
    extra: Extra = field(default=(), hash=False)

    def pieces(self) -> Iterator[Piece]:
        """Yield everything that lies on the sheet and has an id, in drawing order."""
        yield from self.slabs
        yield from self.walls
        yield from self.keepouts
        yield from self.lines
        yield from self.attachments
        yield from self.controls
        yield from self.spots
        yield from self.piers

    def piece(self, piece_id: str) -> Piece | None:
        """Return the piece with this id, or None."""
        return next((p for p in self.pieces() if p.id == piece_id), None)

    def detail(self, detail_id: str | None) -> Detail | None:
        """Return the detail with this id, or None."""
        return next((d for d in self.details if d.id == detail_id), None)

    def with_(self, **changes: object) -> Plan:
        """Return a copy with some fields changed; the edits in this package are its only callers."""
        return replace(self, **changes)  # type: ignore[arg-type]


Piece: TypeAlias = Slab | Wall | Keepout | BeamLine | Attachment | Control | SpotHeight | Pier
"""Anything that lies on the sheet and can be picked."""


def places_of(piece: Piece) -> tuple[Vector, ...]:
    """Return the points that a piece is made of, in order: those that a move carries along."""
    match piece:
        case Pier() | Control() | Attachment() | SpotHeight():  # first, because these are the many
            return (piece.at,)
        case Wall():
            return piece.points
        case Slab() | Keepout():
            return piece.outline
        case BeamLine():
            return (piece.start, piece.end)


def with_places(piece: Piece, places: tuple[Vector, ...]) -> Piece:
    """Return the piece with its points replaced, in the order of :func:`places_of`."""
    match piece:
        case Pier():  # written out, because there may be ten thousand and replace() is slow
            return Pier(
                id=piece.id,
                at=places[0],
                line=piece.line,
                detail=piece.detail,
                mark=piece.mark,
                extra=piece.extra,
            )
        case Wall():
            return replace(piece, points=places)
        case Slab() | Keepout():
            return replace(piece, outline=places)
        case BeamLine():
            return replace(piece, start=places[0], end=places[1])
        case Attachment() | Control() | SpotHeight():
            return replace(piece, at=places[0])
