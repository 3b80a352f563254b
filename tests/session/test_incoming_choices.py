"""What waits to be taken in: choices, steps back, picking, and another scale."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from layoutdesk.importers.proposal import Candidate, Group, Proposal, ScaleGuess
from layoutdesk.session.incoming import Agreement, Arrival, Doubt, Incoming

ROUND = Candidate(becomes="pier", group="g", layer="FOOT", centre=(0.0, 0.0), size=300.0, shapes=(0,), mark="P1")
OTHER = replace(ROUND, centre=(3000.0, 0.0), shapes=(1,), mark="P2")
LINE = Candidate(
    becomes="nothing",
    group="h",
    layer="FOOT",
    centre=(1500.0, 0.0),
    run=((0.0, 0.0), (3000.0, 0.0)),
    shapes=(2,),
)
GROUPS = (
    Group(key="g", what="circles Ø 300 mm", layer="FOOT"),
    Group(key="h", what="lines", layer="FOOT"),
)


def arrival(*, sure: bool = True, scale: float = 1.0) -> Arrival:
    guess = ScaleGuess(scale=scale, why="the file says so", sure=sure)
    proposal = Proposal(name="a.dxf", scale=guess, candidates=(ROUND, OTHER, LINE), groups=GROUPS)
    return Arrival(Path("a.dxf"), None, proposal)


def waiting(*, sure: bool = True) -> Incoming:
    made = Incoming()
    made.arrive(arrival(sure=sure), "own sheet")
    return made


def becomes(incoming: Incoming) -> list[str]:
    assert incoming.arrival is not None
    return [c.becomes for c in incoming.arrival.proposal.candidates]


def test_choosing_by_kind_by_layer_and_by_pointing() -> None:
    incoming = waiting()
    assert incoming.choose("nothing", group="g") == 0
    assert becomes(incoming) == ["nothing", "nothing", "nothing"]
    assert incoming.choose("beam line", picked=[2]) == 0
    assert becomes(incoming) == ["nothing", "nothing", "beam line"]
    assert incoming.choose("control point", layer="FOOT") == 0
    assert becomes(incoming) == ["control point"] * 3


def test_what_cannot_become_that_is_counted_and_stays() -> None:
    incoming = waiting()
    assert incoming.choose("wall", layer="FOOT") == 2
    assert becomes(incoming) == ["pier", "pier", "wall"]
    assert incoming.choose("slab", picked=[2]) == 1
    assert becomes(incoming) == ["pier", "pier", "wall"]


def test_choices_are_taken_back_and_brought_again() -> None:
    incoming = waiting()
    incoming.choose("nothing", group="g")
    incoming.choose("wall", picked=[2])
    assert incoming.undo_label == "Make it wall"
    incoming.undo()
    assert becomes(incoming) == ["nothing", "nothing", "nothing"]
    incoming.undo()
    assert becomes(incoming) == ["pier", "pier", "nothing"]
    assert incoming.redo_label == "Make it nothing"
    incoming.redo()
    incoming.redo()
    assert becomes(incoming) == ["nothing", "nothing", "wall"]
    incoming.undo()
    incoming.choose("pier", picked=[0])
    assert incoming.redo_label is None


def test_a_choice_that_changes_nothing_is_no_step() -> None:
    incoming = waiting()
    incoming.choose("pier", group="g")
    assert incoming.undo_label is None


def test_counts_follow_the_choices() -> None:
    incoming = waiting()
    assert incoming.arrival is not None
    assert incoming.arrival.total["pier"] == 2
    assert incoming.arrival.members == {"g": (0, 1), "h": (2,)}
    incoming.choose("nothing", picked=[1])
    assert dict(incoming.arrival.counts["g"]) == {"pier": 1, "nothing": 1}
    assert incoming.arrival.total["pier"] == 1


def test_a_scale_that_is_not_sure_waits_for_the_person() -> None:
    assert not waiting(sure=False).scale_known
    incoming = waiting(sure=False)
    incoming.confirm_scale()
    assert incoming.scale_known
    assert incoming.scale_said == 1.0
    assert waiting().scale_known


def test_choices_stay_with_their_things_at_another_scale() -> None:
    incoming = waiting(sure=False)
    incoming.choose("nothing", picked=[1])
    incoming.choose("wall", picked=[2])
    incoming.propose(arrival(scale=25.4), 25.4)
    assert becomes(incoming) == ["pier", "nothing", "wall"]
    assert incoming.scale_known
    assert incoming.undo_label is None


def test_picking_adds_and_lets_go() -> None:
    incoming = waiting()
    incoming.pick([0])
    incoming.pick([1], add=True)
    assert incoming.picked == {0, 1}
    incoming.pick([0], add=True)
    assert incoming.picked == {1}
    incoming.pick([0, 1, 2], add=True)
    assert incoming.picked == {0, 1, 2}
    incoming.pick([2])
    assert incoming.picked == {2}


def test_every_change_is_announced_once() -> None:
    incoming = waiting()
    told: list[int] = []
    incoming.watch(lambda: told.append(1))
    incoming.hover(0)
    incoming.hover(0)
    incoming.pick([0])
    incoming.pick([0])
    incoming.go("beside")
    incoming.go("beside")
    incoming.choose("nothing", picked=[0])
    assert len(told) == 4


def test_nothing_is_kept_of_what_is_left() -> None:
    incoming = waiting()
    incoming.pick([0])
    incoming.hover(0)
    incoming.choose("nothing", picked=[0])
    incoming.leave()
    assert not incoming.waiting
    assert (incoming.picked, incoming.hovered, incoming.undo_label) == (frozenset(), None, None)
    assert incoming.choose("pier", picked=[0]) == 0


def test_agreement_as_the_second_process_tells_it() -> None:
    doubt = {"severity": "warning", "title": "2950 is drawn as 3000", "text": "Ask.", "at": [1.0, 2.0]}
    told = Agreement.told({"written": 5, "agree": 4, "doubts": [doubt, doubt | {"at": None}]})
    assert (told.written, told.agree) == (5, 4)
    assert told.doubts[0] == Doubt(severity="warning", title="2950 is drawn as 3000", text="Ask.", at=(1.0, 2.0))
    assert told.doubts[1].at is None
