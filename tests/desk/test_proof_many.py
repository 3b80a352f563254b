"""A proof of many measures: worked out by the second process while the desk goes on, cancelled, asked for again."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.notebook import proof_figures, proof_progress
from layoutdesk.desk.notebook.proof_page import ProofPage
from layoutdesk.engine.derive import derive
from layoutdesk.engine.flags import errors_first
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits

STAKED = SAMPLES / "heron-lane-porch-staked.layout.json"
PATIENCE = 20_000


@pytest.fixture
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let ten measures be many."""
    monkeypatch.setattr(proof_figures, "AT_ONCE", 10)
    monkeypatch.setattr(proof_progress, "AT_ONCE", 10)


def opened(desk: Desk, path: Path) -> ProofPage:
    """Return the page of the proof with a plan on it."""
    desk.view.turn_to("proof")
    assert desk.files.open(path)
    return desk.proof_page


def known(page: ProofPage, qtbot: QtBot) -> None:
    """Wait until the proof of the plan on the desk is known."""
    qtbot.waitUntil(lambda: page.work.knows(page.document.plan) and not page.work.working, timeout=PATIENCE)


def at_work(page: ProofPage) -> bool:
    """Return whether a proof is under way."""
    return page.work.working


def said_of(page: ProofPage) -> str:
    """Return what the engine says of the plan on the desk."""
    proof = derive(page.document.plan).proof
    assert proof is not None
    return proof.says


def longer(page: ProofPage, index: int, by: float) -> None:
    """Change a reading."""
    page.document.apply(
        "Tape",
        lambda p: edits.replace_tape(p, index, replace(p.tapes[index], distance=p.tapes[index].distance + by)),
    )


@pytest.mark.usefixtures("few")
def test_the_second_process_finds_what_the_engine_finds(desk: Desk, qtbot: QtBot) -> None:
    page = opened(desk, STAKED)
    assert at_work(page)
    assert page.says.text() == ""
    assert not page.stakes.isVisible()
    known(page, qtbot)
    layout = derive(page.document.plan)
    assert layout.proof is not None
    assert page.says.text() == layout.proof.says
    assert page.stakes.rows.rowCount() == sum(not p.held for p in layout.proof.points)
    assert desk.proof.flags(desk.document.layout) == errors_first((*layout.plan_flags, *layout.proof_flags))
    assert page.progress.says.text() == f"Worked out from {len(page.document.plan.tapes)} measures."


@pytest.mark.usefixtures("few")
def test_a_reading_stands_in_its_row_before_it_is_proved_and_the_old_answer_stays(desk: Desk, qtbot: QtBot) -> None:
    page = opened(desk, STAKED)
    known(page, qtbot)
    said = page.says.text()
    flags = len(desk.proof.flags(desk.document.layout))
    longer(page, 3, 25.4)
    assert at_work(page)
    row = next(r for r in page.tapes.shown_rows if r.index == 3)
    assert row.tape is page.document.plan.tapes[3]
    assert row.proved is None
    assert page.says.text() == said
    assert len(desk.proof.flags(desk.document.layout)) == flags
    known(page, qtbot)
    assert next(r for r in page.tapes.shown_rows if r.index == 3).proved is not None


@pytest.mark.usefixtures("few")
def test_cancelled_work_is_told_and_done_after_all(desk: Desk, qtbot: QtBot) -> None:
    page = opened(desk, STAKED)
    known(page, qtbot)
    longer(page, 3, 25.4)
    page.progress.cancel.click()
    assert not at_work(page)
    assert "cancelled" in page.progress.says.text()
    assert page.progress.again.isVisible()
    assert not page.progress.cancel.isVisible()
    desk.view.turn_to("plan")
    desk.view.turn_to("proof")
    assert not at_work(page), "what was cancelled is not begun again by looking at it"
    page.progress.again.click()
    assert at_work(page)
    known(page, qtbot)
    assert not page.progress.again.isVisible()
    assert page.says.text() == said_of(page)


@pytest.mark.usefixtures("few")
def test_after_cancelling_the_next_reading_is_proved_again(desk: Desk, qtbot: QtBot) -> None:
    page = opened(desk, STAKED)
    page.work.cancel()
    longer(page, 0, 1.0)
    assert at_work(page)
    known(page, qtbot)
    assert page.says.text() != ""


@pytest.mark.usefixtures("few")
def test_edits_made_meanwhile_are_proved_last(desk: Desk, qtbot: QtBot) -> None:
    page = opened(desk, STAKED)
    for k in range(3):
        longer(page, k, 2.0)
    known(page, qtbot)
    assert page.says.text() == said_of(page)


@pytest.mark.usefixtures("few")
def test_another_title_asks_for_no_other_proof(desk: Desk, qtbot: QtBot) -> None:
    page = opened(desk, STAKED)
    known(page, qtbot)
    page.document.apply("Title", lambda p: edits.set_title(p, "Porch, second look"))
    assert not at_work(page)
    assert page.work.knows(page.document.plan)


@pytest.mark.usefixtures("few")
def test_a_process_that_is_lost_is_told_with_a_way_to_go_on(desk: Desk, qtbot: QtBot) -> None:
    page = opened(desk, STAKED)
    known(page, qtbot)
    longer(page, 3, 25.4)
    process = page.work._room._process
    assert process is not None
    process.kill()
    qtbot.waitUntil(lambda: bool(page.work.trouble), timeout=PATIENCE)
    assert "could not be worked out" in page.progress.says.text()
    page.progress.again.click()
    known(page, qtbot)
    assert page.work.trouble == ""


def test_the_first_small_proof_is_worked_out_in_a_thread(
    desk: Desk, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(proof_figures, "_SOLVER", "layoutdesk.not_loaded_yet")
    page = opened(desk, STAKED)
    assert at_work(page)
    assert page.heading.aside.text() == "working it out …"
    known(page, qtbot)
    assert page.says.text() == said_of(page)
    assert page.heading.aside.text() == ""
