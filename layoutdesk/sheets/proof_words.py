"""The sentences of the proof sheet: how the measures were judged, with what, and what the test of them says."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Final

from layoutdesk.engine.tapes import PERMISSIBLE_MM
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Control, HouseChoice, Plan, ProofSettings, TakenClass
from layoutdesk.sheets.numbers import counted, said_small

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import Proof

_HOUSE: Final[dict[HouseChoice, str]] = {
    "hold the design": "The layout stays as it is drawn; the walls lie as they were found.",
    "turn with the house": "The layout is turned and shifted with the house.",
    "hold one attachment": "The layout is turned as the house about the attachment that is held.",
}
_MANY: Final = 8
"""More measured corners than this are counted and not named."""


def held_words(plan: Plan) -> str:
    """Return what is held where it is drawn, and how far a stake may be out."""
    corners = [control for control in plan.controls if control.measured]
    measured = "" if not corners else f" **{_named(corners)}** of the house as found: measured, not held."
    allowed = f" A stake may be out by **{said_small(plan, plan.proof.tolerance)}**."
    return f"{_control(plan.proof, plan)}{measured}{allowed}"


def _named(corners: list[Control]) -> str:
    if len(corners) > _MANY:
        return counted(len(corners), "corner")
    return ", ".join(corner.id for corner in corners)


def _control(settings: ProofSettings, plan: Plan) -> str:
    match settings.control:
        case "held":
            return "Control points are **held** where they are drawn."
        case "uncertain":
            return f"Control points are **uncertain**: sure to {said_small(plan, settings.control_deviation)}."
        case "free":
            return "Control points are **free**, no surer than the stakes: all is laid over the plan at its best."


def tape_words(plan: Plan, proof: Proof) -> str:
    """Return which classes of tape were used, how exact each is, and to what step they were read."""
    tapes = [plan.tapes[tape.index] for tape in proof.tapes]
    counts = Counter((tape.tape_class, tape.own if tape.tape_class == "own" else None) for tape in tapes)
    classes = [
        f"**{_class_name(tape_class)}** ({_error(tape_class, own)}), {counted(count, 'measure')}"
        for (tape_class, own), count in sorted(counts.items(), key=lambda one: (-one[1], str(one[0])))
    ]
    step = plan.proof.read_to
    read = f"They were read to {_step(plan, step)}." if step else "Nothing is added for reading them to a step."
    return (
        f"Tapes: {'; '.join(classes)}. Half of what a tape may be wrong by counts as its standard deviation. {read}"
    )


def _step(plan: Plan, step: float) -> str:
    return said_small(plan.with_(rounding=step), step)


def _class_name(tape_class: TakenClass) -> str:
    match tape_class:
        case "H44":
            return "NIST Handbook 44"
        case "own":
            return "own tape"
    return f"class {tape_class}"


def _error(tape_class: TakenClass, own: Vector | None) -> str:
    if tape_class == "H44":
        return "by its table of metal tapes"
    a, b = own or (0.0, 0.0) if tape_class == "own" else PERMISSIBLE_MM[tape_class]
    return f"{a:g} mm and {b:g} mm for every metre"


def test_words(proof: Proof) -> str:
    """Return what the test of all measures together says, in plain words."""
    spare = f"{counted(len(proof.tapes), 'measure')}, {proof.degrees} more than needed."
    if proof.passes is None:
        test = "None checks another: nothing here shows a misreading."
    else:
        agree = "**They agree with each other**" if proof.passes else "**They do not agree with each other**"
        test = (
            f"{agree}: their weighted squares add up to {proof.weighted:.1f}, and in 95 of 100 sound jobs that is"
            f" {proof.low:.1f} to {proof.high:.1f}."
        )
    if proof.passes_without is not None:
        test += f" Without what is suspect they {'agree' if proof.passes_without else 'still do not agree'}."
    return f"{spare} {test}"


def way_words(*, baseline: bool) -> str:
    """Return which way a move goes by its word."""
    if not baseline:
        return (
            "Without a baseline **on** and **back** go along the drawing's x, **away** and **toward** along its y."
        )
    return (
        "**on**: the way stations grow; **back**: against it. **away**: away from the house; **toward**: to it."
        " Move only what says **move**, then tape it again."
    )


def house_words(plan: Plan) -> str:
    """Return what is done about a house that does not stand as drawn."""
    choice, held = plan.proof.house, plan.proof.held_attachment
    at = f" ({held})" if choice == "hold one attachment" and held else ""
    done = _HOUSE[choice]
    if choice == "hold one attachment" and not held:
        done = "No attachment is named to be held: the layout goes with the house."
    return f"Chosen: **{choice}**{at}. {done} Every sheet of this set follows it."
