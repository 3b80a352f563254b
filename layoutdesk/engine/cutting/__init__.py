"""Cutting pieces from stock with the least waste, or at the least cost, and the proof of it."""

from __future__ import annotations

from layoutdesk.engine.cutting.best import best_cutting, first_cutting
from layoutdesk.engine.cutting.contract import CutPiece, Cutting, CuttingError, Piece, Stock

__all__ = ["CutPiece", "Cutting", "CuttingError", "Piece", "Stock", "best_cutting", "first_cutting"]
