"""What holds for the whole plan: title block, units, paper, tape at hand, bags."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from layoutdesk.errors import EditError
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.floats import in_floats
from layoutdesk.plan.hole_rules import called, wrong_bag
from layoutdesk.plan.model import PAPERS, TAPE_CLASSES, BagProduct, Paper, Plan, TapeClass
from layoutdesk.plan.rules import MOST_ISSUE, wrong_step
from layoutdesk.plan.usual import holes_in, levels_in
from layoutdesk.units import UNITS, Units, default_paper, default_step, default_tape


def set_title(plan: Plan, title: str) -> Plan:
    """Call the plan something.

    Raises:
        EditError: when the text is too long or cannot be printed.
    """
    return _changed(plan, title=checks.line_of_text(title, "the title"))


def set_issue(plan: Plan, issue: str) -> Plan:
    """Say which issue of the drawing this is, such as ``B``.

    A longer one that came with a file may stand.

    Raises:
        EditError: when the text is longer than 20 characters or cannot be printed.
    """
    if issue.strip() == plan.issue:
        return plan
    return plan.with_(issue=checks.line_of_text(issue, "the issue", most=MOST_ISSUE))


def set_date(plan: Plan, date: str) -> Plan:
    """Date the plan; the text is printed as it stands.

    Raises:
        EditError: when the text is too long or cannot be printed.
    """
    return _changed(plan, date=checks.line_of_text(date, "the date"))


def set_units(plan: Plan, units: Units) -> Plan:
    """Show and type lengths in other units, rounded to the step of the tape that usually goes with them.

    A tape at hand of the usual length, and the usual paper, become the usual ones of the new units: 100 ft
    and letter, or 30 m and A4. So does every rule for columns, boards, trucks and openings that was not changed.

    Raises:
        EditError: when the units are unknown.
    """
    units = checks.one_of(units, UNITS, "the units")
    if units == plan.units:
        return plan
    tape = plan.tape_at_hand
    if tape.length == default_tape(plan.units):
        tape = replace(tape, length=default_tape(units))
    paper = default_paper(units) if plan.paper == default_paper(plan.units) else plan.paper
    return plan.with_(
        units=units,
        rounding=default_step(units),
        tape_at_hand=tape,
        paper=paper,
        levels=levels_in(plan.levels, plan.units, units),
        holes=holes_in(plan.holes, plan.units, units),
    )


def set_rounding(plan: Plan, step: float) -> Plan:
    """Round what is shown to a step, in millimetres.

    Raises:
        EditError: when the step is not positive or is more than 1000 mm.
    """
    if trouble := wrong_step(step):
        raise EditError(f"the rounding {trouble}")
    return _changed(plan, rounding=float(step))


def set_paper(plan: Plan, paper: Paper) -> Plan:
    """Choose the paper that the sheets are printed on.

    Raises:
        EditError: when the paper is unknown.
    """
    return _changed(plan, paper=checks.one_of(paper, PAPERS, "the paper"))


def set_tape_at_hand(plan: Plan, length: float, tape_class: TapeClass) -> Plan:
    """Say which tape the crew will pull: its full length in millimetres and its accuracy class.

    Raises:
        EditError: when the length is not positive or the class is unknown.
    """
    return _changed(
        plan,
        tape_at_hand=replace(
            plan.tape_at_hand,
            length=checks.positive(length, "the length of the tape"),
            tape_class=checks.one_of(tape_class, TAPE_CLASSES, "the class of the tape"),
        ),
    )


def set_bags(plan: Plan, bags: Iterable[BagProduct]) -> Plan:
    """Say which bags of concrete mix the supplier sells; none at all means the usual ones.

    Raises:
        EditError: when a bag has no name, when its yield is not between 0 and 10 m³, when it has a mass or a price
            that cannot be, or when one is named twice.
    """
    new = tuple([replace(in_floats(bag), product=checks.name(bag.product, "the name of a bag")) for bag in bags])
    for bag in new:
        if wrong := wrong_bag(bag):
            raise EditError(f"the {called(wrong[0])} of {bag.product} {wrong[1]}")
    if len({bag.product for bag in new}) < len(new):
        raise EditError("two bags have the same name")
    return _changed(plan, bags=new)


def _changed(plan: Plan, **changes: object) -> Plan:
    """Return the plan with fields changed; the very plan when none of them differs."""
    same = all(getattr(plan, field) == value for field, value in changes.items())
    return plan if same else plan.with_(**changes)
