"""The scale and the units that a proposal goes by."""

from __future__ import annotations

import math
import re
from typing import Final

from layoutdesk.importers.linework import Linework
from layoutdesk.importers.proposal import ScaleGuess
from layoutdesk.importers.scale import guess_scale
from layoutdesk.units import MM_PER_FOOT, MM_PER_INCH, Units

_FEET: Final = re.compile(r"\d\s*['’′]|\d\s*[\"”″]|\bft\b|\bin\.", re.IGNORECASE)
_METRES: Final = re.compile(r"^\s*\d+[.,]\d{1,3}\s*(?:m)?\s*$")


def scale_for(linework: Linework) -> ScaleGuess:
    """Return the scale that the drawing itself speaks for; 1 when it speaks for none that can be."""
    guess = guess_scale(linework)
    if math.isfinite(guess.scale) and guess.scale > 0:
        return guess
    return ScaleGuess(scale=linework.unit or 1.0, why="the drawing does not say", sure=False)


def units_for(linework: Linework, guess: ScaleGuess) -> Units:
    """Return the units in which the lengths of a drawing are written, else those that it is drawn in."""
    texts = [d.text for d in linework.drawn if d.kind != "angle" and d.text]
    if not texts:
        texts = [w.text for w in linework.words if any(c.isdigit() for c in w.text)]
    feet = sum(_FEET.search(text) is not None for text in texts)
    if texts and feet > 0.3 * len(texts):
        return "ft-in"
    if linework.drawn and sum(_METRES.match(text) is not None for text in texts) > 0.5 * len(texts):
        return "m"
    unit = linework.unit if linework.unit and linework.kind == "dxf" else guess.scale
    if any(math.isclose(unit, n, rel_tol=1e-6) for n in (MM_PER_INCH, MM_PER_FOOT, 3 * MM_PER_FOOT)):
        return "ft-in"
    return "m" if math.isclose(unit, 1000.0) else "mm"
