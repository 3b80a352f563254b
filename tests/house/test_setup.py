"""The set-up, as far as it can be tried without installing anything."""

from __future__ import annotations

import ast
import importlib.util
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT = Path(__file__).resolve().parents[2]
PIN = re.compile(r"^(?P<name>[a-z0-9-]+)==(?P<version>\S+)")


@pytest.fixture
def bootstrap(tmp_path: Path) -> ModuleType:
    """Return the set-up program as a module, with its environment in a folder of the test."""
    spec = importlib.util.spec_from_file_location("bootstrap", ROOT / "bootstrap.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    vars(module).update(VENV=tmp_path, PYTHON=Path(sys.executable))
    return module


def pins(lock: str) -> dict[str, Version]:
    """Return what a lock file pins."""
    lines = (ROOT / lock).read_text(encoding="utf-8").splitlines()
    found = (PIN.match(line) for line in lines)
    return {m["name"]: Version(m["version"]) for m in found if m}


@pytest.fixture(scope="module")
def project() -> dict[str, Any]:
    """Return pyproject.toml."""
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def test_an_older_python_can_read_the_file_and_is_told_in_a_sentence(bootstrap: ModuleType) -> None:
    """The sentence needs no newer syntax than 3.7 has; the standard library is all that it imports."""
    tree = ast.parse((ROOT / "bootstrap.py").read_text(encoding="utf-8"), feature_version=(3, 7))
    imported = {n.names[0].name for n in tree.body if isinstance(n, ast.Import)}
    assert {name.split(".")[0] for name in imported} <= set(sys.stdlib_module_names)
    assert bootstrap.version_trouble((3, 8)) == (
        "layoutdesk needs Python 3.11 or newer, and this is Python 3.8; start it with a newer python3."
    )
    assert bootstrap.version_trouble((3, 10)) is not None
    assert bootstrap.version_trouble((3, 11)) is None
    assert bootstrap.version_trouble((3, 14)) is None


def test_the_oldest_python_is_the_one_that_the_project_names(
    bootstrap: ModuleType, project: dict[str, Any]
) -> None:
    assert project["project"]["requires-python"] == ">=" + ".".join(map(str, bootstrap.OLDEST))


def test_ci_runs_what_the_readme_says() -> None:
    command = "python3 bootstrap.py --test"
    ci = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert [line for line in ci.splitlines() if "bootstrap" in line] == [f"exec {command}"]
    assert command in (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("lock", ["requirements.lock", "requirements-test.lock"])
def test_a_lock_names_every_package_by_hash_and_no_place_to_get_it(lock: str) -> None:
    text = (ROOT / lock).read_text(encoding="utf-8")
    _, *blocks = re.split(r"\n(?=[a-z0-9])", text)
    assert len(blocks) > 20
    assert [block.splitlines()[0] for block in blocks if "--hash=sha256:" not in block] == []
    assert re.findall(r"https?:|--index|--extra|--find|--trusted|file:", text) == []


def test_the_locks_agree_with_the_project_and_with_each_other(project: dict[str, Any]) -> None:
    """Whoever changes a dependency makes the locks again."""
    program, tests = pins("requirements.lock"), pins("requirements-test.lock")
    groups = project["dependency-groups"]
    assert groups["build"] == project["build-system"]["requires"]
    for wanted, lock in ((project["project"]["dependencies"] + groups["build"], program), (groups["test"], tests)):
        for requirement in (Requirement(text) for text in wanted if isinstance(text, str)):
            assert lock[canonicalize_name(requirement.name)] in requirement.specifier
    assert {name: tests.get(name) for name in program} == program


def test_troubles_of_pip_become_sentences(bootstrap: ModuleType) -> None:
    def says(heard: str) -> str:
        return str(bootstrap.in_a_sentence("the libraries could not be installed", heard))

    unreachable = (
        "WARNING: Retrying (Retry(total=0)) after connection broken by 'NewConnectionError(...)'\n"
        "ERROR: No matching distribution found for numpy==2.4.6\n"
    )
    assert "see to the network" in says(unreachable)
    assert "disk is full" in says("ERROR: Could not install: [Errno 28] No space left on device")
    assert "refused" in says("ERROR: Could not install: [Errno 13] Permission denied: 'x'")
    assert "glibc 2.34" in says("ERROR: No matching distribution found for pyside6-essentials==6.11.3")
    assert "very one" in says("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.")
    assert says("first\nsomething odd") == (
        "the libraries could not be installed; the last words were:\nfirst\nsomething odd"
    )


def test_a_step_is_done_only_for_its_own_key(bootstrap: ModuleType) -> None:
    assert not bootstrap.is_done("program", "a")
    bootstrap.mark_done("program", "a")
    assert bootstrap.is_done("program", "a")
    assert not bootstrap.is_done("program", "b")


def test_what_the_tests_need_covers_the_program(bootstrap: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    """After the tests were set up, opening the desk installs nothing; a changed lock installs again."""
    ran: list[tuple[str, ...]] = []
    monkeypatch.setattr(bootstrap, "pip", lambda *words: ran.append(words))
    bootstrap.install("tests")
    assert [words[-1] for words in ran] == ["requirements-test.lock", "."]
    bootstrap.install("program")
    bootstrap.install("tests")
    assert len(ran) == 2
    monkeypatch.setattr(bootstrap, "key", lambda *files: "another lock")
    bootstrap.install("program")
    assert [words[-1] for words in ran[2:]] == ["requirements.lock", "."]


class Machine:
    """A Debian machine that only notes what it is told."""

    def __init__(self, bootstrap: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
        self.ran: list[tuple[str, ...]] = []
        self.sudo = 1
        self.install = 0
        self.has = {"apt-get", "sudo", "ldd"}
        monkeypatch.setattr(bootstrap.shutil, "which", lambda name: name if name in self.has else None)
        monkeypatch.setattr(bootstrap.subprocess, "run", self.run)

    def run(self, command: tuple[str, ...], **_: object) -> subprocess.CompletedProcess[str]:
        self.ran.append(command)
        code = self.sudo if command[:2] == ("sudo", "-n") and command[2] == "true" else self.install
        return subprocess.CompletedProcess(command, code, "", "")


@pytest.fixture
def machine(bootstrap: ModuleType, monkeypatch: pytest.MonkeyPatch) -> Machine:
    """Return a machine without what Qt needs, on which the person is not root and may not become it."""
    monkeypatch.setattr(bootstrap.os, "geteuid", lambda: 1000, raising=False)
    return Machine(bootstrap, monkeypatch)


LINE = "apt-get install -y --no-install-recommends libegl1"


def test_who_may_not_install_is_given_the_line_to_run(bootstrap: ModuleType, machine: Machine) -> None:
    with pytest.raises(bootstrap.SetupError) as trouble:
        bootstrap.apt_install(["libegl1"])
    assert str(trouble.value) == f"this system lacks some packages. Run this line, then start again:\n  sudo {LINE}"
    assert machine.ran == [("sudo", "-n", "true")]


def test_root_installs_and_so_does_who_may_without_a_password(
    bootstrap: ModuleType, machine: Machine, monkeypatch: pytest.MonkeyPatch
) -> None:
    machine.sudo = 0
    bootstrap.apt_install(["libegl1"])
    assert [" ".join(words[:3]) for words in machine.ran] == ["sudo -n true", "sudo -n apt-get", "sudo -n apt-get"]
    machine.ran.clear()
    monkeypatch.setattr(bootstrap.os, "geteuid", lambda: 0)
    bootstrap.apt_install(["libegl1"])
    assert [words[:2] for words in machine.ran] == [("apt-get", "update"), ("apt-get", "install")]


def test_an_install_that_failed_says_what_to_run(
    bootstrap: ModuleType, machine: Machine, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bootstrap.os, "geteuid", lambda: 0)
    machine.install = 100
    with pytest.raises(bootstrap.SetupError, match=LINE):
        bootstrap.apt_install(["libegl1"])


def test_another_system_is_told_the_names(bootstrap: ModuleType, machine: Machine) -> None:
    machine.has.clear()
    with pytest.raises(bootstrap.SetupError, match="what Debian calls libegl1"):
        bootstrap.apt_install(["libegl1"])


def test_a_bare_debian_is_given_one_line_for_all(bootstrap: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    """A Debian Python that came without venv, and no library of Qt: one line to run, not one after the other."""
    monkeypatch.setattr(bootstrap.sys, "platform", "linux")
    monkeypatch.setattr(bootstrap.importlib.util, "find_spec", lambda name: None)
    monkeypatch.setattr(bootstrap.ctypes, "CDLL", no_library)
    venv = f"python{sys.version_info[0]}.{sys.version_info[1]}-venv"
    assert bootstrap.lacking_packages(window=False) == [venv, *bootstrap.FOR_QT.values()]
    all_of_qt = [*bootstrap.FOR_QT.values(), *bootstrap.FOR_WINDOWS.values()]
    assert bootstrap.lacking_packages(window=True) == [venv, *all_of_qt]
    bootstrap.mark_done("environment", bootstrap.key())
    assert bootstrap.lacking_packages(window=True) == all_of_qt


def no_library(name: str) -> None:
    """Stand in for a system that has no library at all."""
    raise OSError(name)


def test_what_is_there_is_not_asked_for(bootstrap: ModuleType, machine: Machine) -> None:
    """The tests run where Qt runs, so its libraries load; then nothing is installed and nothing is said."""
    assert bootstrap.lacking_packages(window=False) == []
    bootstrap.apt_install([])
    assert machine.ran == []


def test_a_display_is_looked_for_where_linux_names_it(
    bootstrap: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bootstrap.sys, "platform", "linux")
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    assert not bootstrap.has_display()
    monkeypatch.setenv("WAYLAND_DISPLAY", "wayland-0")
    assert bootstrap.has_display()
    monkeypatch.delenv("WAYLAND_DISPLAY")
    monkeypatch.setattr(bootstrap.sys, "platform", "darwin")
    assert bootstrap.has_display()
