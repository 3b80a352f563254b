"""Side views: what is seen of a beam line lies where the layout says."""

import pytest

from layoutdesk.engine.derive import PlanLayout
from layoutdesk.plan.model import Levels
from tests.engine.test_level_flags import sound


def test_a_side_view_runs_from_the_house_past_its_board() -> None:
    (view,) = PlanLayout(sound()).side_views
    assert (view.line, view.house, view.start) == ("L1", 0.0, 0.0)
    assert view.end == pytest.approx(4000 + 150 + 914.4 + 300)


def test_piers_stand_in_it_with_their_own_heights() -> None:
    layout = PlanLayout(sound())
    (view,) = layout.side_views
    first = view.piers[0]
    cut = layout.columns[0]
    height = layout.height_of("P1")
    assert (first.pier, first.running) == ("P1", 2000.0)
    assert (first.ground, first.top, first.bottom) == (height.ground, height.top, height.bottom)
    assert (first.foot, first.head, first.support) == (cut.foot, cut.head, cut.support)
    assert first.profile == ((0.0, 300.0), (800.0, 300.0))


def test_string_and_beam_are_at_their_elevations() -> None:
    layout = PlanLayout(sound())
    (view,) = layout.side_views
    assert view.beam == ((0.0, 2500.0), (4300.0, 2500.0))
    (run,) = layout.strings
    assert view.string == ((0.0, run.boards[0].string), (run.boards[1].running, run.boards[1].string))


def test_without_heights_nothing_in_it_has_an_elevation() -> None:
    (view,) = PlanLayout(sound().with_(levels=Levels())).side_views
    assert (view.ground, view.string, view.beam) == ((), None, None)
    assert [(pier.ground, pier.top, pier.foot) for pier in view.piers] == [(None, None, None)] * 2
