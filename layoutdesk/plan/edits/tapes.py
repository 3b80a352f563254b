"""Taking down what was measured on site, and how it is judged."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.floats import in_floats
from layoutdesk.plan.edits.pieces import find_one, put_back
from layoutdesk.plan.model import (
    CONTROL_TRUSTS,
    HOUSE_CHOICES,
    TAKEN_CLASSES,
    TAPE_KINDS,
    Attachment,
    Control,
    ControlTrust,
    HouseChoice,
    Plan,
    ProofSettings,
    TakenClass,
    Tape,
    TapeKind,
)
from layoutdesk.plan.tape_rules import called, reading_step, wrong_proof, wrong_tape


def add_tape(
    plan: Plan,
    start: str,
    end: str,
    distance: float,
    *,
    kind: TapeKind = "distance",
    third: str | None = None,
    tape_class: TakenClass | None = None,
    own: Vector | None = None,
    legs: Vector | None = None,
    rise: float | None = None,
    slope: float | None = None,
    temperature: float | None = None,
    pull: float | None = None,
    section: float | None = None,
) -> Plan:
    """Take down one measure, after those that are there; see :class:`~layoutdesk.plan.model.Tape`.

    The same distance measured again is another measure. Without a class it is that of the tape at hand. With the
    first measure of a plan the step that tapes are read to is fixed; see :func:`add_tapes`.

    Raises:
        EditError: when a point is unknown or named twice, or when a number cannot be.
    """
    tape = Tape(
        start=start,
        end=end,
        distance=distance,
        tape_class=plan.tape_at_hand.tape_class if tape_class is None else tape_class,
        kind=kind,
        third=third,
        own=own,
        legs=legs,
        rise=rise,
        slope=slope,
        temperature=temperature,
        pull=pull,
        section=section,
    )
    return add_tapes(plan, [tape])


def add_tapes(plan: Plan, tapes: Iterable[Tape]) -> Plan:
    """Take down several measures, in their order: those of a table that was pasted.

    The first measures of a plan also fix what tapes are read to, where nothing was said of it: the step that the
    plan rounds to, which is what the sheets ask for and the fields show. It is fixed here, not where a plan is
    made, because units and rounding are chosen in between. A plan that has measures keeps what it says, so that
    a file from elsewhere, or an older one, is judged by the classes of its tapes alone until somebody says more.

    Raises:
        EditError: when one of them names an unknown point, or says what cannot be.
    """
    points = point_ids(plan)
    new = tuple([sound_tape(tape, points) for tape in tapes])
    if not new:
        return plan
    return plan.with_(tapes=(*plan.tapes, *new), proof=replace(plan.proof, read_to=reading_step(plan)))


def replace_tape(plan: Plan, index: int, tape: Tape) -> Plan:
    """Take down a measure anew, in the place of the one at ``index``, which counts from 0.

    Raises:
        EditError: when there is no such measure, or when the new one cannot be.
    """
    _refuse_unknown(plan, [index])
    sound = sound_tape(tape, point_ids(plan))
    if sound == plan.tapes[index]:
        return plan
    return plan.with_(tapes=(*plan.tapes[:index], sound, *plan.tapes[index + 1 :]))


def remove_tapes(plan: Plan, indices: Iterable[int]) -> Plan:
    """Strike out measures by their places in the list, which count from 0.

    Raises:
        EditError: when there is no such measure.
    """
    gone = set(indices)
    _refuse_unknown(plan, gone)
    return plan.with_(tapes=tuple([t for n, t in enumerate(plan.tapes) if n not in gone])) if gone else plan


def set_proof(
    plan: Plan,
    *,
    control: ControlTrust | None = None,
    control_deviation: float | None = None,
    tolerance: float | None = None,
    house: HouseChoice | None = None,
    held_attachment: str | None = None,
    exaggeration: float | None = None,
    read_to: float | None = None,
) -> Plan:
    """Say how the measures are judged; what is None stays as it is. Lengths are mm.

    Without a step that tapes are read to (0) nothing is added to what their classes permit.
    An attachment is held only by the choice ``hold one attachment``, which needs one; with another choice of
    the house none is.

    Raises:
        EditError: when a choice or the attachment is unknown, or when a number cannot be.
    """
    now = plan.proof
    chosen = now.house if house is None else checks.one_of(house, HOUSE_CHOICES, "the choice of the house")
    held = None
    if chosen == "hold one attachment":
        held = held_attachment or now.held_attachment
        if held is None:
            raise EditError("it is not said which attachment is held")
        if not isinstance(find_one(plan, held), Attachment):
            raise EditError(f"{held} is no attachment")
    proof = replace(
        now,
        control=now.control if control is None else checks.one_of(control, CONTROL_TRUSTS, "the control"),
        control_deviation=now.control_deviation if control_deviation is None else float(control_deviation),
        tolerance=now.tolerance if tolerance is None else float(tolerance),
        house=chosen,
        held_attachment=held,
        exaggeration=now.exaggeration if exaggeration is None else float(exaggeration),
        read_to=now.read_to if read_to is None else float(read_to),
    )
    if wrong := wrong_proof(proof):
        raise EditError(f"the {called(wrong[0])} {wrong[1]}")
    return plan if proof == now else plan.with_(proof=proof)


def set_measured(plan: Plan, control_id: str, *, measured: bool = True) -> Plan:
    """Say that the real place of a control point is found by tapes, as of a corner of the house; or that it is not.

    Raises:
        EditError: when there is no such control point.
    """
    piece = find_one(plan, control_id)
    if not isinstance(piece, Control):
        raise EditError(f"{control_id} is no control point")
    return put_back(plan, [replace(piece, measured=measured)])


def let_go(proof: ProofSettings, gone: Iterable[str]) -> ProofSettings:
    """Return the settings when pieces are gone: with the held attachment the design is held again."""
    if proof.held_attachment is None or proof.held_attachment not in gone:
        return proof
    house: HouseChoice = "hold the design" if proof.house == "hold one attachment" else proof.house
    return replace(proof, house=house, held_attachment=None)


def point_ids(plan: Plan) -> frozenset[str]:
    """Return the ids of everything that can be taped to."""
    return frozenset(point.id for kind in (plan.controls, plan.attachments, plan.piers) for point in kind)


def sound_tape(tape: Tape, points: frozenset[str]) -> Tape:
    """Return a measure with its numbers as floats, when it can be.

    Raises:
        EditError: when one of its points is unknown, or when it says what cannot be.
    """
    sound = replace(
        in_floats(tape),
        kind=checks.one_of(tape.kind, TAPE_KINDS, "the kind of measure"),
        tape_class=checks.one_of(tape.tape_class, TAKEN_CLASSES, "the class of the tape"),
        own=_pair(tape.own),
        legs=_pair(tape.legs),
    )
    for name in (sound.start, sound.end, sound.third):
        if name is not None and name not in points:
            raise EditError(f"there is no control point, attachment or pier “{name[:40]}” in this plan")
    if wrong := wrong_tape(sound):
        raise EditError(f"the {called(wrong[0], angle=sound.kind == 'right angle')} {wrong[1]}")
    return sound


def _pair(two: Vector | None) -> Vector | None:
    return None if two is None else (float(two[0]), float(two[1]))


def _refuse_unknown(plan: Plan, indices: Iterable[int]) -> None:
    for index in indices:
        if not 0 <= index < len(plan.tapes):
            raise EditError(f"there is no measure {index + 1}; there are {len(plan.tapes)}")
