"""What the second process does with a drawing: told as it is told by the desk, without a process."""

from __future__ import annotations

import subprocess
import sys
from base64 import b64encode
from pathlib import Path
from typing import Any

import pytest

from layoutdesk.errors import FileError
from layoutdesk.importers.linework import linework_from_bytes
from layoutdesk.importers.proposal import Proposal, proposal_from_bytes, proposal_to_bytes
from layoutdesk.plan.file import plan_from_json
from layoutdesk.session import incoming_tasks
from layoutdesk.session.incoming_tasks import IncomingTasks
from tests.session.carport_drawing import save_carport


@pytest.fixture
def tasks(monkeypatch: pytest.MonkeyPatch) -> IncomingTasks:
    """Return the tasks, without any limit on the process of the tests."""
    monkeypatch.setattr(incoming_tasks, "limit_memory", lambda room: None)
    return IncomingTasks()


@pytest.fixture
def carport_dxf(tmp_path: Path) -> Path:
    return save_carport(tmp_path / "carport.dxf")


def order(path: Path, **more: Any) -> dict[str, Any]:
    return {"path": str(path), "page": 1, "layout": "", "scale": None, "points": False, **more}


def quiet(_: float) -> None:
    """Take how much is done."""


def test_a_drawing_is_read_proposed_and_made(tasks: IncomingTasks, carport_dxf: Path) -> None:
    told: list[float] = []
    _, work = tasks.tasks["read"](order(carport_dxf), told.append)
    linework = linework_from_bytes(work)
    assert linework.kind == "dxf"
    assert told
    assert told == sorted(told)
    about, work = tasks.tasks["propose"](order(carport_dxf), quiet)
    proposal = proposal_from_bytes(work)
    assert proposal.count("pier") == 8
    assert (about["written"], about["agree"]) == (5, 4)
    assert "2950" in about["doubts"][0]["title"]
    packed = b64encode(proposal_to_bytes(proposal)).decode()
    _, made = tasks.tasks["make"](order(carport_dxf, proposal=packed, title="Mine"), quiet)
    plan = plan_from_json(made, "made")
    assert plan.title == "Mine"
    assert len(plan.piers) == 8


def test_a_file_is_read_once_for_several_scales(
    tasks: IncomingTasks, carport_dxf: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tasks.tasks["read"](order(carport_dxf), quiet)
    monkeypatch.setattr("layoutdesk.importers.reading.read_linework", None)
    _, work = tasks.tasks["propose"](order(carport_dxf, scale=25.4), quiet)
    proposal = proposal_from_bytes(work)
    assert proposal.scale.scale == 25.4
    assert proposal.scale.sure


def test_a_file_that_takes_all_memory_ends_in_a_sentence(
    tasks: IncomingTasks, carport_dxf: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def hungry(*_: object, **__: object) -> None:
        raise MemoryError

    monkeypatch.setattr("layoutdesk.importers.reading.read_linework", hungry)
    with pytest.raises(FileError, match=r"carport\.dxf: it holds more than fits into memory"):
        tasks.tasks["read"](order(carport_dxf), quiet)


def test_a_file_that_is_gone_is_refused_by_name(tasks: IncomingTasks, tmp_path: Path) -> None:
    with pytest.raises(FileError, match=r"gone\.dxf"):
        tasks.tasks["read"](order(tmp_path / "gone.dxf"), quiet)


def test_a_table_of_points_needs_no_drawing(tasks: IncomingTasks, tmp_path: Path) -> None:
    path = tmp_path / "points.csv"
    path.write_text("id,x (m),y (m)\nP1,0,0\nP2,3,0\nP3,6,0\n", encoding="utf-8")
    _, work = tasks.tasks["propose"](order(path, points=True), quiet)
    proposal: Proposal = proposal_from_bytes(work)
    assert [c.centre for c in proposal.candidates] == [(0.0, 0.0), (3000.0, 0.0), (6000.0, 0.0)]


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only there a process can be held to its data")
def test_a_process_is_held_to_its_room() -> None:
    program = (
        "from layoutdesk.session.incoming_tasks import limit_memory\n"
        "limit_memory(150 << 20)\n"
        "some = bytearray(60 << 20)\n"
        "try:\n    more = bytearray(400 << 20)\nexcept MemoryError:\n    print('held')\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "held"
