"""What cutting takes and gives: pieces wanted, stock to be had, and how each piece of stock is cut."""

from __future__ import annotations

from dataclasses import dataclass

from layoutdesk.errors import LayoutdeskError


class CuttingError(LayoutdeskError, ValueError):
    """Pieces that cannot be cut from this stock, or lengths, counts and prices that make no sense."""


@dataclass(frozen=True, slots=True)
class Piece:
    """Pieces of one length that are wanted: ``length`` in mm, ``count`` of them, ``label`` to know them by."""

    length: float
    count: int = 1
    label: str = ""


@dataclass(frozen=True, slots=True)
class Stock:
    """One length of stock.

    ``length`` in mm; ``price`` of one piece in the user's money, None where least length is wanted instead;
    ``available`` the most that can be had, None for as many as one likes.
    """

    length: float
    price: float | None = None
    available: int | None = None


@dataclass(frozen=True, slots=True)
class CutPiece:
    """One piece of stock: the labels of what is cut from it, longest first, and what is left over in mm.

    The saw goes between two pieces only; where something is left over, parting it off takes one more cut out
    of what is left.
    """

    stock: Stock
    cuts: tuple[str, ...]
    left_over: float


@dataclass(frozen=True, slots=True)
class Cutting:
    """All that is cut, the shortest stock first.

    ``cost`` is the price of all stock, or its length in mm where no prices are given; no way to cut costs less
    than ``bound``. ``proven`` says that the two are equal. ``waste`` is the length of all stock less that of all
    pieces, in mm, saw cuts included. ``says`` tells in a sentence which kind of answer this is.
    """

    pieces: tuple[CutPiece, ...]
    cost: float
    bound: float
    proven: bool
    waste: float
    says: str
