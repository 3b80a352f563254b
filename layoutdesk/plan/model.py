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
from layoutdesk.plan.site import (
    CONTROL_TRUSTS,
    HOUSE_CHOICES,
    NO_LEVELS,
    TAKEN_CLASSES,
    TAPE_CLASSES,
    TAPE_KINDS,
    USUAL_PROOF,
    USUAL_TAPE,
    Benchmark,
    ControlTrust,
    Extra,
    HouseChoice,
    Levels,
    ProofSettings,
    Reading,
    TakenClass,
    Tape,
    TapeAtHand,
    TapeClass,
    TapeKind,
)
from layoutdesk.units import Units

__all__ = [
    "ATTACHMENT_KINDS",
    "CONTROL_TRUSTS",
    "HOUSE_CHOICES",
    "KEEPOUT_KINDS",
    "PAPERS",
    "SIDES",
    "TAKEN_CLASSES",
    "TAPE_CLASSES",
    "TAPE_KINDS",
    "WRITTEN_KINDS",
    "Attachment",
    "AttachmentKind",
    "BagProduct",
    "Baseline",
    "Bay",
    "BeamLine",
    "Benchmark",
    "Chain",
    "Control",
    "ControlTrust",
    "Detail",
    "Extra",
    "HouseChoice",
    "Keepout",
    "KeepoutKind",
    "Levels",
    "Paper",
    "Piece",
    "Pier",
    "Plan",
    "ProofSettings",
    "Reading",
    "Side",
    "Slab",
    "TakenClass",
    "Tape",
    "TapeAtHand",
    "TapeClass",
    "TapeKind",
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
WrittenKind = Literal["distance", "ordinate", "diameter", "radius"]

ATTACHMENT_KINDS: Final[tuple[AttachmentKind, ...]] = ("ledger", "side-bolted", "in-wall post")
KEEPOUT_KINDS: Final[tuple[KeepoutKind, ...]] = ("tree", "air conditioner", "utility", "other")
SIDES: Final[tuple[Side, ...]] = ("left", "right")
PAPERS: Final[tuple[Paper, ...]] = ("letter", "a4")
WRITTEN_KINDS: Final[tuple[WrittenKind, ...]] = ("distance", "ordinate", "diameter", "radius")


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
    a step. ``reveal`` is the height of the pier's top above the ground beside it.
    """

    id: str
    profile: tuple[tuple[float, float], ...]
    reveal: float = 0.0
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
    """A bag of concrete mix as the supplier sells it; ``yield_m3`` is what one bag makes, printed on the bag."""

    product: str
    yield_m3: float
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A dimension as the drawing writes it, with the two places that it joins there.

    ``value`` is the number written, in mm; ``text`` is how it is written. What it should equal is the distance
    from ``start`` to ``end``: the straight one, or with ``along`` (degrees, anticlockwise from x) its part in that
    direction. A diameter joins two opposite points, a radius the centre and the edge, an ordinate the point
    that counts from zero and the feature. ``start_on`` and ``end_on`` name the pier, attachment or control point
    that an end measures to; it then moves with it. ``step`` is the step to which the number is written, in mm (25.4
    for whole inches), 0 when that is not known.
    """

    id: str
    start: Vector
    end: Vector
    value: float
    kind: WrittenKind = "distance"
    along: float | None = None
    text: str = ""
    step: float = 0.0
    start_on: str | None = None
    end_on: str | None = None
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """A chain of dimensions as written: its parts in order, and the overall dimension that they must add up to.

    ``overall`` is None where none is written. ``start`` and ``end`` are where the chain lies on the sheet, if it
    lies anywhere; ``about`` names the pieces that were laid out by it; ``text`` is how it was typed. ``step`` is
    the step to which its numbers are written, in mm, 0 when that is not known.
    """

    id: str
    parts: tuple[float, ...]
    overall: float | None = None
    start: Vector | None = None
    end: Vector | None = None
    about: tuple[str, ...] = ()
    text: str = ""
    step: float = 0.0
    extra: Extra = field(default=(), hash=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Underlay:
    """A picture, or a page of a PDF, that lies under the sheet to be traced.

    ``file`` is its path, from the plan file's folder where it lies there or below; ``page`` counts from 1 and is 0
    for a picture; ``size`` is its width and height in its own units: pixels of a picture, points (1/72 in) of a
    page as it is shown. ``to_plan`` is the plane projective map, row by row, from its own coordinates (x to the
    right, y down, from the top left corner) to the plan's millimetres: for (x, y) it gives (X/Z, Y/Z) with
    X = m0·x + m1·y + m2, Y = m3·x + m4·y + m5, Z = m6·x + m7·y + m8. ``strength`` runs from 0 (not to be seen)
    to 1.
    """

    id: str
    file: str
    size: Vector
    to_plan: tuple[float, float, float, float, float, float, float, float, float]
    page: int = 0
    strength: float = 0.5
    locked: bool = False
    shown: bool = True
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
    tapes: tuple[Tape, ...] = ()
    levels: Levels = NO_LEVELS
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


Piece: TypeAlias = Slab | Wall | Keepout | BeamLine | Attachment | Control | Pier
"""Anything that lies on the sheet and can be picked."""


def places_of(piece: Piece) -> tuple[Vector, ...]:
    """Return the points that a piece is made of, in order: those that a move carries along."""
    match piece:
        case Pier() | Control() | Attachment():  # first, because these are the many
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
        case Attachment() | Control():
            return replace(piece, at=places[0])
