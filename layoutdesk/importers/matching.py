"""Lines and texts that make up a dimension, in drawings that have none as such."""

from __future__ import annotations

from layoutdesk.importers.dimensioned import Dimensioned
from layoutdesk.importers.linework import Linework


def matched(linework: Linework) -> tuple[Dimensioned, ...]:
    """Return the texts that read as a length, with the lines that they may measure."""
    return ()
