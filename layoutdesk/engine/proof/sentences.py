"""The words of the proof: what is said of suspects, of places that are not determined, and of the whole."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from layoutdesk.engine.proof.determinacy import LooseKind
from layoutdesk.engine.proof.entries import ProofPoint, Verdict
from layoutdesk.engine.proof.misplaced import Kind
from layoutdesk.engine.reasons import listed, shown_small
from layoutdesk.plan.model import Plan

_COUNTS: Final = {1: "the stake", 2: "both stakes"}


def loose_sentence(
    kind: LooseKind,
    labels: Sequence[str],
    two: tuple[str, str] | None = None,
    *,
    hinge: Sequence[str] = (),
    settled_by: Sequence[str] = (),
) -> str:
    """Return why the places of points are not determined, and what to do.

    Args:
        kind: why.
        labels: what the points are called.
        two: of one point that fits in two places, how far from its planned place either lies, in words.
        hinge: of a group that may turn over, what the two points are called whose line it turns over about.
        settled_by: what the ends of the distance are called that would tell the side.
    """
    names, one = listed(labels), len(labels) == 1
    are, them = ("is", "it") if one else ("are", "them")
    mend = f"tape {' to '.join(settled_by)}" if settled_by else f"tape {them} from the side too"
    match kind:
        case "apart":
            return (
                f"{names} {are} tied to no control point: tape {them} from two of those, or from stakes that are."
            )
        case "too few":
            has = "has" if one else "have"
            return f"{names} {has} too few measures: it takes two for each stake, and one to check."
        case "from one point":
            return f"{names} {are} measured from one point only: tape {them} from another one, off that line."
        case "turns":
            return f"{names} {are} not held against turning or shifting: tape {them} from one more point."
        case "in line":
            return f"{names} {are} taped from points nearly in one line with {them}: {mend}."
    if hinge:
        line = " to ".join(hinge)
        return f"{names} can stand on either side of the line from {line}: {mend}, which tells the side."
    where = f", {two[0]} and {two[1]} from the plan" if two else ""
    return f"{names} {'fits' if one else 'fit'} in two places{where}: one more tape from the side tells which."


def swapped_sentence(kind: Kind, labels: Sequence[str], line: Sequence[str] = (), rest: Sequence[str] = ()) -> str:
    """Return that stakes were set out in the wrong places, and how.

    Args:
        kind: how.
        labels: what the stakes are called.
        line: what the two points are called whose line parts the right side from the wrong one.
        rest: what the stakes on the other side are called, when those may as well be the wrong ones.
    """
    names, one = listed(labels), len(labels) == 1
    seem = "seems" if one else "seem"
    match kind:
        case "swapped":
            return f"{names} {seem} to have changed places: change their marks over."
        case "shifted":
            return f"{names} {seem} to stand one place along their row: look from which end it was set out."
        case "reversed":
            return f"The row of {names} seems to be set out the other way round: look from which end."
        case "mirrored":
            if rest:
                parts = f"The line from {' to '.join(line)} parts {names} from {listed(rest)}"
                return f"{parts}, which the plan has on one side of it: look which are wrong."
            return f"{names} {seem} to stand on the wrong side of the line from {' to '.join(line)}: look there."
    fit, are = ("fits its", "it is") if one else ("fit their", "they are")
    return f"{names} {fit} tapes only far from where {are} drawn: look there."


def summary(
    plan: Plan,
    points: Sequence[ProofPoint],
    suspects: Sequence[str],
    *,
    passes: bool | None,
    passes_without: bool | None,
    low: bool,
    adrift: bool,
) -> str:
    """Return the proof in a few words.

    Args:
        plan: gives the tolerance.
        points: what is said of every point.
        suspects: what the suspect measures are called.
        passes: the test of all measures.
        passes_without: the test without the suspects.
        low: the measures agree better than tapes can.
        adrift: no measure goes to a control point.
    """
    test = _test_words(suspects, passes=passes, passes_without=passes_without, low=low)
    return f"{test} {_stake_words(plan, points, adrift=adrift)}"


def _test_words(suspects: Sequence[str], *, passes: bool | None, passes_without: bool | None, low: bool) -> str:
    if suspects:
        those = "it" if len(suspects) == 1 else "them"
        words = f"The measures do not agree: {listed(suspects)} {'is' if len(suspects) == 1 else 'are'} suspect"
        if passes_without is None:
            return f"{words}; without {those} no measure is left to check the others."
        if len(suspects) > 3:
            words += ", so many that sound ones may be among them: tape all of those again before a stake is moved"
        return f"{words}; without {those} the others {'agree' if passes_without else 'do not agree either'}."
    if passes is None:
        return "No measure is to spare, so that nothing checks them."
    if passes:
        return "The measures agree with each other."
    if low:
        return "The measures agree better than such tapes mostly do: make sure that they were read, not copied."
    return "The measures agree less well than such tapes should, and no single one is to blame."


def _stake_words(plan: Plan, points: Sequence[ProofPoint], *, adrift: bool) -> str:
    if adrift:
        return "None of them goes to a control point: they show the shape of the layout, not its place."
    stakes = [point for point in points if not point.held and point.kind != "control"]
    by: dict[Verdict, list[str]] = {}
    for point in stakes:
        by.setdefault(point.verdict, []).append(point.label)
    tolerance = shown_small(plan.proof.tolerance, plan)
    words = []
    if "move" in by:
        words.append(f"Move {listed(by['move'])}.")
    if "within the tapes" in by:
        words.append(f"Tape {listed(by['within the tapes'])} once more.")
    if "not determined" in by:
        count = len(by["not determined"])
        words.append(f"{listed(by['not determined'])} {'is' if count == 1 else 'are'} not determined.")
    leave = len(by.get("leave", ()))
    if stakes and leave == len(stakes):
        words.append(f"Leave {_COUNTS.get(leave, f'all {leave} stakes')}: the tolerance of {tolerance} is kept.")
    elif leave:
        words.append(f"{leave} of {len(stakes)} stakes can stay.")
    return " ".join(words) if words else "No stake was measured."
