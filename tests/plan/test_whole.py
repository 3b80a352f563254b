"""Files are written whole or not at all."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Self

import pytest

from layoutdesk.errors import FileError
from layoutdesk.plan import file, locks, whole
from layoutdesk.plan.file import read_plan, write_plan, write_whole
from layoutdesk.plan.model import Plan

posix = pytest.mark.skipif(os.name != "posix", reason="modes, links and pipes as POSIX has them")
no_root = pytest.mark.skipif(getattr(os, "geteuid", lambda: 1)() == 0, reason="root may write everywhere")


def test_bytes_are_written_and_nothing_else_is_left(tmp_path: Path) -> None:
    path = tmp_path / "plan.layout.json"
    write_whole(path, b"old")
    write_whole(path, b"new")
    assert path.read_bytes() == b"new"
    assert list(tmp_path.iterdir()) == [path]


@posix
def test_a_new_file_gets_the_usual_mode_and_an_old_one_keeps_its_own(tmp_path: Path) -> None:
    path = tmp_path / "new"
    before = os.umask(0o027)
    try:
        write_whole(path, b"1")
    finally:
        os.umask(before)
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    path.chmod(0o604)
    write_whole(path, b"2")
    assert stat.S_IMODE(path.stat().st_mode) == 0o604


@posix
def test_a_link_stays_a_link_and_what_it_points_to_is_written(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    real = tmp_path / "real" / "plan"
    real.write_bytes(b"old")
    link = tmp_path / "link"
    link.symlink_to(real)
    write_whole(link, b"new")
    assert link.is_symlink()
    assert real.read_bytes() == b"new"
    assert list(real.parent.iterdir()) == [real]
    dangling = tmp_path / "dangling"
    dangling.symlink_to(tmp_path / "real" / "later")
    write_whole(dangling, b"made")
    assert (tmp_path / "real" / "later").read_bytes() == b"made"


def refusal(path: Path, data: bytes = b"new") -> str:
    """Return the sentence with which a file is refused."""
    with pytest.raises(FileError) as refused:
        write_whole(path, data)
    assert "\n" not in str(refused.value)
    return str(refused.value)


def test_what_cannot_be_written_is_refused_with_the_mend(tmp_path: Path) -> None:
    assert refusal(tmp_path) == f"{tmp_path.name} was not saved: it is a folder; choose another name"
    assert "the folder is not there" in refusal(tmp_path / "nowhere" / "plan")
    (tmp_path / "file").write_bytes(b"")
    assert "the folder is not there" in refusal(tmp_path / "file" / "plan")
    assert "was not saved" in refusal(tmp_path / "a\0b")


@posix
def test_odd_names_and_files_are_refused(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    assert "it is no ordinary file" in refusal(tmp_path / "pipe")
    assert "the name is too long" in refusal(tmp_path / ("x" * 300))
    loop = tmp_path / "loop"
    loop.symlink_to(loop)
    assert "its links go round in a circle" in refusal(loop)
    assert "bell�" in refusal(tmp_path / "nowhere" / "bell\a")


@posix
def test_a_write_protected_file_is_not_replaced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "plan"
    path.write_bytes(b"old")
    path.chmod(0o444)
    monkeypatch.setattr(os, "access", lambda *_: False)  # root may write all the same
    assert "it is write-protected; save it under another name" in refusal(path)
    assert path.read_bytes() == b"old"


@posix
@no_root
def test_a_read_only_folder_is_refused(tmp_path: Path) -> None:
    folder = tmp_path / "locked"
    folder.mkdir()
    folder.chmod(0o555)
    assert "there is no permission to write there" in refusal(folder / "plan")
    folder.chmod(0o755)


def _full(*_: object) -> int:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def _denied(*_: object, **__: object) -> int:
    raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))


@pytest.mark.parametrize(
    ("name", "fault", "reason"),
    [
        ("fsync", _full, "the disk is full; make room or save elsewhere"),
        ("open", _denied, "there is no permission to write there; save elsewhere"),
        ("fstat", _full, "the disk is full; make room or save elsewhere"),
    ],
)
def test_the_old_file_stays_whole_when_the_disk_refuses(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, fault: Callable[..., int], reason: str
) -> None:
    path = tmp_path / "plan.layout.json"
    write_plan(path, Plan(title="old"))
    with monkeypatch.context() as broken:
        broken.setattr(os, name, fault)
        with pytest.raises(FileError, match=reason):
            write_plan(path, Plan(title="new"))
    assert read_plan(path).title == "old"
    if name != "fstat":  # the folder cannot be looked at without fstat, so that part is found by the next save
        assert list(tmp_path.iterdir()) == [path]


LIMITED = """
import resource, sys
from pathlib import Path
from layoutdesk.errors import FileError
from layoutdesk.plan.file import write_whole
resource.setrlimit(resource.RLIMIT_FSIZE, (5000, 5000))
try:
    write_whole(Path(sys.argv[1]), b"new" * 5000)
except FileError as error:
    print(error)
"""


@posix
def test_the_old_file_stays_whole_when_the_system_breaks_a_write_off(tmp_path: Path, checkout: Path) -> None:
    """A real break in the midst of a write, by a limit on the size of files, and no pretended one."""
    path = tmp_path / "plan"
    path.write_bytes(b"old")
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, str(path)], cwd=checkout, capture_output=True, text=True, check=True
    )
    assert done.stdout == "plan was not saved: it is too large for that disk; save elsewhere\n"
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_device_that_is_full_is_no_place_for_a_plan() -> None:
    assert "it is no ordinary file" in refusal(Path("/dev/full"))


def test_other_bytes_than_were_written_are_found_before_the_old_file_is_replaced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "plan"
    path.write_bytes(b"old")
    rot = os.fdopen

    class Rotten:
        def __init__(self, *given: object) -> None:
            self._file = rot(*given)  # type: ignore[call-overload]

        def __enter__(self) -> Self:
            return self

        def __exit__(self, *_: object) -> None:
            self._file.close()

        def __getattr__(self, name: str) -> object:
            return getattr(self._file, name)

        def read(self) -> bytes:
            return b"rot"

    monkeypatch.setattr(os, "fdopen", Rotten)
    assert "the disk reports a fault" in refusal(path)
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_an_unheard_of_trouble_is_passed_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def odd(*_: object) -> None:
        raise OSError(errno.EBUSY, "Device or resource busy")

    monkeypatch.setattr(os, "fsync", odd)
    assert "Device or resource busy; save elsewhere" in refusal(tmp_path / "plan")


def test_what_a_killed_save_left_is_swept_away_and_what_a_running_one_holds_is_not(tmp_path: Path) -> None:
    path = tmp_path / "plan[1]*"
    write_whole(path, b"old")
    dead = tmp_path / f".{path.name}.0123abcd.part"
    busy = tmp_path / f".{path.name}.4567cdef.part"
    other = tmp_path / ".plan.89abcdef.part"
    for part in (dead, busy, other):
        part.write_bytes(b"half")
    with busy.open("r+b") as held:
        assert locks.hold(held.fileno())
        write_whole(path, b"new")
        assert set(tmp_path.iterdir()) == {path, busy, other}
    write_whole(path, b"newer")
    assert set(tmp_path.iterdir()) == {path, other}


@posix
def test_a_part_that_was_swept_away_before_it_was_held_is_made_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    swept: list[Path] = []

    def sweep_first(descriptor: int) -> bool:
        if not swept:
            (part,) = tmp_path.glob(".plan.*.part")
            part.unlink()
            swept.append(part)
        return locks.hold(descriptor)

    monkeypatch.setattr(whole, "hold", sweep_first)
    write_whole(tmp_path / "plan", b"new")
    assert swept
    assert list(tmp_path.iterdir()) == [tmp_path / "plan"]


def test_a_lock_is_held_by_one_alone_and_let_go_when_closed(tmp_path: Path) -> None:
    path = tmp_path / "lock"
    path.write_bytes(b"x")
    with path.open("r+b") as first, path.open("r+b") as second:
        assert locks.hold(first.fileno())
        assert not locks.hold(second.fileno())
    with path.open("r+b") as third:
        assert locks.hold(third.fileno())


def read_refusal(path: Path) -> str:
    """Return the sentence with which a file is refused when it is opened."""
    with pytest.raises(FileError) as refused:
        read_plan(path)
    assert "\n" not in str(refused.value)
    return str(refused.value)


def test_what_cannot_be_read_is_refused_with_the_mend(tmp_path: Path) -> None:
    assert read_refusal(tmp_path / "none") == "none is not there; check the name and the folder"
    assert read_refusal(tmp_path) == f"{tmp_path.name} is a folder; choose a plan file in it"
    assert "is not there" in read_refusal(tmp_path / "a\0b")
    (tmp_path / "empty").write_bytes(b"")
    assert read_refusal(tmp_path / "empty") == "empty is empty; open an earlier copy"


def test_a_file_of_more_than_64_mb_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "huge"
    with path.open("wb") as huge:
        huge.truncate(file.MOST_BYTES + 1)  # a hole: it takes no room on the disk
    assert read_refusal(path) == "huge is larger than 64 MB, which no plan is; choose another file"


@posix
def test_pipes_loops_and_long_names_are_refused_when_opened(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    assert "is no ordinary file" in read_refusal(tmp_path / "pipe")
    loop = tmp_path / "loop"
    loop.symlink_to(loop)
    assert "goes round in a circle" in read_refusal(loop)
    assert "has too long a name" in read_refusal(tmp_path / ("x" * 300))


def test_a_file_that_may_not_be_read_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "plan"
    path.write_bytes(b"{}")
    monkeypatch.setattr(Path, "open", _denied)
    assert "may not be read; ask for permission" in read_refusal(path)


def test_an_unheard_of_trouble_with_reading_is_passed_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "plan"
    path.write_bytes(b"{}")

    def odd(*_: object) -> None:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(Path, "open", odd)
    assert read_refusal(path) == "plan cannot be read (Input/output error)"
