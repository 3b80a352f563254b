"""Recovery copies: kept while editing, gone after a clean close, offered after a crash."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from layoutdesk.errors import FileError
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.session import recovery
from layoutdesk.session.recovery import RecoveryCopy, left_behind

PLAN = edits.add_pier(Plan(title="Shed"), (1, 2))

CRASH = """
import os, sys
from pathlib import Path
from layoutdesk.plan.model import Plan
from layoutdesk.session.recovery import RecoveryCopy
copy = RecoveryCopy(Path(sys.argv[1]), sys.argv[2])
path = Path(sys.argv[2]) if sys.argv[2] else None
copy.write(Plan(title="first"), path)
copy.write(Plan(title=sys.argv[3]), path)
if sys.argv[4] == "clean":
    copy.clear()
os._exit(9)
"""


def run(checkout: Path, folder: Path, key: str, title: str, end: str = "crash") -> None:
    """Have another process keep a copy, and end."""
    subprocess.run([sys.executable, "-c", CRASH, str(folder), key, title, end], cwd=checkout, check=False)


def test_a_crash_leaves_the_last_copy_to_be_offered(checkout: Path, tmp_path: Path) -> None:
    folder = tmp_path / "not made yet" / "copies"
    before = datetime.now(UTC)
    run(checkout, folder, "shed.layout.json", "last")
    (left,) = left_behind(folder)
    assert left.plan == Plan(title="last")
    assert left.path == checkout / "shed.layout.json"
    assert before - timedelta(seconds=1) <= left.when <= datetime.now(UTC)
    assert left_behind(folder) == [left]
    left.discard()
    assert list(folder.iterdir()) == []
    left.discard()


def test_a_clean_end_leaves_nothing(checkout: Path, tmp_path: Path) -> None:
    run(checkout, tmp_path, "shed.layout.json", "last", "clean")
    assert list(tmp_path.iterdir()) == []
    assert left_behind(tmp_path) == []


def test_a_plan_that_was_never_saved_is_offered_too_and_the_newest_comes_first(
    checkout: Path, tmp_path: Path
) -> None:
    run(checkout, tmp_path, "", "untitled")
    run(checkout, tmp_path, "shed.layout.json", "shed")
    assert [(left.plan.title, left.path) for left in left_behind(tmp_path)] == [
        ("shed", checkout / "shed.layout.json"),
        ("untitled", None),
    ]


def test_the_copy_of_a_running_program_is_not_offered(tmp_path: Path) -> None:
    copy = RecoveryCopy(tmp_path, "shed")
    copy.write(PLAN, None)
    assert left_behind(tmp_path) == []
    copy.clear()
    copy.clear()
    assert list(tmp_path.iterdir()) == []


def test_after_clearing_it_can_be_kept_again(tmp_path: Path) -> None:
    copy = RecoveryCopy(tmp_path, "shed")
    copy.write(PLAN, None)
    copy.clear()
    copy.write(PLAN, None)
    assert len(list(tmp_path.glob("*.recovery"))) == 1
    copy.clear()


def test_two_documents_in_one_process_keep_a_copy_each(tmp_path: Path) -> None:
    copies = [RecoveryCopy(tmp_path, "untitled") for _ in range(2)]
    for copy in copies:
        copy.write(PLAN, None)
    assert len(list(tmp_path.glob("*.recovery"))) == 2
    for copy in copies:
        copy.clear()


def test_the_very_plan_is_not_written_twice(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    copy = RecoveryCopy(tmp_path, "shed")
    copy.write(PLAN, None)

    def never(_: Plan) -> str:
        raise AssertionError("it was written again")

    monkeypatch.setattr(recovery, "plan_to_json", never)
    copy.write(PLAN, None)
    with pytest.raises(AssertionError):
        copy.write(PLAN, Path("now.layout.json"))
    copy.clear()


@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"{}",
        b"not json\n{}",
        b'{"path": null, "when": "2026-05-04T10:00:00+00:00"}\n',
        b'{"path": null, "when": "2026-05-04T10:00:00+00:00"}\n{"layoutdesk": 1, "title"',
        b'{"path": null, "when": "2026-05-04T10:00:00+00:00"}\n{"layoutdesk": 9}',
        b'{"path": null, "when": "yesterday"}\n{"layoutdesk": 1}',
        b'{"path": 5, "when": "2026-05-04T10:00:00+00:00"}\n{"layoutdesk": 1}',
        b'{"when": "2026-05-04T10:00:00+00:00"}\n{"layoutdesk": 1}',
        b'[]\n{"layoutdesk": 1}',
        b"[" * 100_000 + b'\n{"layoutdesk": 1}',
        b'\xff\n{"layoutdesk": 1}',
    ],
)
def test_a_broken_copy_is_never_offered(tmp_path: Path, text: bytes) -> None:
    (tmp_path / "a-1-b.recovery").write_bytes(text)
    (tmp_path / "a-1-b.lock").write_bytes(b"")
    assert left_behind(tmp_path) == []


def test_a_sound_copy_beside_a_broken_one_is_offered(checkout: Path, tmp_path: Path) -> None:
    (tmp_path / "a-1-b.recovery").write_bytes(b"{")
    (tmp_path / "a-1-b.lock").write_bytes(b"")
    (tmp_path / "c-1-d.recovery").mkdir()
    (tmp_path / "c-1-d.lock").write_bytes(b"")
    run(checkout, tmp_path, "", "sound")
    assert [left.plan.title for left in left_behind(tmp_path)] == ["sound"]


def test_a_copy_without_its_lock_is_being_cleared_and_not_offered(checkout: Path, tmp_path: Path) -> None:
    run(checkout, tmp_path, "", "going")
    (lock,) = tmp_path.glob("*.lock")
    lock.unlink()
    assert left_behind(tmp_path) == []


def test_where_nobody_can_tell_nothing_is_offered(
    checkout: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run(checkout, tmp_path, "", "shed")
    monkeypatch.setattr(recovery, "hold", lambda _: False)
    assert left_behind(tmp_path) == []


def test_a_folder_that_is_not_there_has_no_copies(tmp_path: Path) -> None:
    assert left_behind(tmp_path / "nowhere") == []


def test_a_copy_that_cannot_be_kept_is_said_in_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(FileError, match=r"no recovery copy could be kept .*; save the plan often"):
        RecoveryCopy(tmp_path / "file" / "copies", "shed").write(PLAN, None)


def test_the_copy_before_stays_when_a_new_one_cannot_be_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = RecoveryCopy(tmp_path, "shed")
    copy.write(PLAN, None)
    (kept,) = tmp_path.glob("*.recovery")
    before = kept.read_bytes()

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(Path, "write_bytes", full)
        with pytest.raises(FileError, match="No space left on device"):
            copy.write(Plan(title="new"), None)
    assert kept.read_bytes() == before
    assert list(tmp_path.glob("*.part")) == []
    copy.write(Plan(title="new"), None)
    assert kept.read_bytes() != before
    copy.clear()


def test_a_path_of_any_bytes_comes_back(tmp_path: Path) -> None:
    odd = Path(os.fsdecode(b"/sheds/\xff/a.layout.json"))
    copy = RecoveryCopy(tmp_path, str(odd))
    copy.write(PLAN, odd)
    (kept,) = tmp_path.glob("*.recovery")
    assert recovery._read(kept).path == odd
    copy.clear()
