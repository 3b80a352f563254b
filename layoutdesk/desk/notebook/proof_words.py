"""Moves and verdicts as the Proof page writes them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from layoutdesk.desk.dress import Tone
from layoutdesk.desk.notebook.lengths import LengthText

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import BayVerdict, Proof, ProofPoint


def worst(proof: Proof | None) -> ProofPoint | None:
    """Return the stake that is farthest out, of those that are held by the tapes; a corner of the house is none."""
    points = proof.points if proof else ()
    stakes = [p for p in points if not p.held and p.kind != "control" and math.isfinite(p.out)]
    return max(stakes, key=lambda p: p.out, default=None)


def move_along(point: ProofPoint, text: LengthText) -> str:
    """Return how far a stake moves along the baseline: on with its stations, or back."""
    return _move(point.along, ("on", "back"), text)


def move_away(point: ProofPoint, text: LengthText) -> str:
    """Return how far a stake moves away from the house, or in towards it."""
    return _move(point.away, ("away", "toward"), text)


def _move(mm: float, ways: tuple[str, str], text: LengthText) -> str:
    if not math.isfinite(mm):
        return "–"
    amount = text.small(abs(mm))
    return amount if amount == text.small(0.0) else f"{ways[mm < 0]} {amount}"


def bay_verdict(bay: BayVerdict) -> str:
    """Return the verdict on a bay in a word or two."""
    if bay.square is None:
        return "not told"
    return "square" if bay.square else "out"


def bay_ids(bay: BayVerdict, labels: Mapping[str, str]) -> tuple[str, ...]:
    """Return the points at the corners of a bay that is called by them; none for one with a name of its own."""
    ids = tuple(bay.bay.split("-"))
    return ids if all(i in labels for i in ids) and len(ids) > 1 else ()


def answer_tone(proof: Proof) -> Tone:
    """Return the tone of the answer: its words say it too."""
    verdicts = {p.verdict for p in proof.points if not p.held}
    if "move" in verdicts:
        return "wrong"
    if proof.suspects or proof.trouble or proof.swapped or proof.passes is False or len(verdicts - {"leave"}):
        return "look"
    return "holds" if verdicts else "plain"


def pasted_words(taken: int, trouble: Sequence[str]) -> str:
    """Return what became of a pasted table: how many rows were taken, and a sentence for each that was not."""
    if not trouble:
        return ""
    count = f"{taken} {'tape was' if taken == 1 else 'tapes were'} taken down."
    rest = "What could not be read stays in the clipboard: mend it there and paste those rows again."
    return "\n".join((count, *trouble, rest))
