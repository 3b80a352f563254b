"""Set up layoutdesk and open it: ``python3 bootstrap.py [FILE]``; ``python3 bootstrap.py --test`` checks it.

Makes an environment of its own in ``.venv``, installs what the lock files name, sees to the system libraries
that Qt needs, and opens the desk on the first sample (or on FILE). Without a display it writes that plan's
sheets, drawing and picture to ``out/`` instead. pip and the lock do the work; a second run finds it done.

Uses the standard library only, and no syntax newer than Python 3.7, so that an older Python is told so in a
sentence.
"""

from __future__ import annotations

import argparse
import contextlib
import ctypes
import errno
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
LOCKS = {"program": "requirements.lock", "tests": "requirements-test.lock"}
OLDEST = (3, 11)
APT = ("apt-get", "install", "-y", "--no-install-recommends")

# Libraries that Qt asks the system for, and the Debian package of each. The packages bring in what they need.
FOR_QT = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libfontconfig.so.1": "libfontconfig1",
    "libdbus-1.so.3": "libdbus-1-3",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libstdc++.so.6": "libstdc++6",
    "libz.so.1": "zlib1g",
    "libzstd.so.1": "libzstd1",
}
FOR_WINDOWS = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libX11-xcb.so.1": "libx11-xcb1",
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
}
DISPLAYS = ("DISPLAY", "WAYLAND_DISPLAY")
PROBE = "from PySide6.QtWidgets import QApplication; QApplication([])"

# Each check by name: what it runs, and where to look when it fails.
CHECKS = (
    ("format", ("-m", "ruff", "format", "--check", "--quiet", "."), "'ruff format' of .venv puts it right"),
    ("lint", ("-m", "ruff", "check", "--quiet", "."), "each finding above names its rule"),
    ("strict types", ("-m", "mypy"), "each finding above names its place"),
    (
        "import direction",
        ("-c", "from importlinter.cli import lint_imports_command as c; c()"),
        "see DEVELOPERS.md",
    ),
    # Two at a time on two cores; the tests of one file stay together and share what they have worked out.
    ("tests", ("-m", "pytest", "--numprocesses=auto", "--dist=loadfile"), "the failing tests are listed above"),
)

NETWORK_SIGNS = (
    "NewConnectionError", "ConnectionError", "Max retries exceeded", "Temporary failure in name resolution",
    "ReadTimeoutError", "ConnectTimeoutError", "Network is unreachable", "ProxyError",
)  # fmt: skip
TROUBLES = (
    (("No space left on device", "not enough space"), "the disk is full; make a gigabyte free and start again"),
    (
        ("Permission denied", "Access is denied"),
        "writing into .venv was refused; see who owns the project's folder",
    ),
    (NETWORK_SIGNS, "the package index cannot be reached; see to the network and start again"),
    (("DO NOT MATCH THE HASHES",), "a package is not the very one that the lock names, so nothing was installed"),
    (
        ("No matching distribution found",),
        "there is no ready-made library for this system or Python; Linux must be of 2022 or later (glibc 2.34)",
    ),
)


class SetupError(Exception):
    """Something that stops the set-up; ``str`` is the sentence to show."""


def version_trouble(version: tuple[int, ...]) -> str | None:
    """Return the sentence for a Python that is too old, or None."""
    if version >= OLDEST:
        return None
    have, want = (".".join(str(n) for n in v[:2]) for v in (version, OLDEST))
    return f"layoutdesk needs Python {want} or newer, and this is Python {have}; start it with a newer python3."


def say(sentence: str) -> None:
    """Tell the person what is going on."""
    print(sentence, flush=True)


def child_environment(**more: str) -> dict[str, str]:
    """Return the environment for child processes, without what would lead pip or Python out of ``.venv``."""
    astray = ("PIP_USER", "PIP_TARGET", "PIP_PREFIX", "PIP_REQUIRE_VIRTUALENV", "PYTHONPATH", "PYTHONHOME")
    return {**{k: v for k, v in os.environ.items() if k not in astray}, **more}


def heard(command: tuple[str, ...], **more: str) -> subprocess.CompletedProcess[str]:
    """Return a finished child process with what it said; ``more`` is added to its environment."""
    environment = child_environment(**more)
    return subprocess.run(
        command, env=environment, stdin=subprocess.DEVNULL, capture_output=True, encoding="utf-8",
        errors="replace", check=False,
    )  # fmt: skip


def key(*files: str) -> str:
    """Return what a finished step depends on, as a hash: this Python, this folder and the named files."""
    parts = [sys.version, str(ROOT), *((ROOT / name).read_text(encoding="utf-8") for name in files)]
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()


def is_done(step: str, wanted: str) -> bool:
    """Return whether a step was finished with just this key."""
    with contextlib.suppress(OSError):
        return (VENV / f"done-{step}").read_text(encoding="utf-8") == wanted and PYTHON.exists()
    return False


def mark_done(step: str, wanted: str) -> None:
    """Remember that a step is finished."""
    (VENV / f"done-{step}").write_text(wanted, encoding="utf-8")


def lacking_packages(*, window: bool) -> list[str]:
    """Return the Debian packages of what is missing: for making an environment, for Qt, and for its windows."""
    packages = []
    if importlib.util.find_spec("ensurepip") is None and not is_done("environment", key()):
        packages.append("python{}.{}-venv".format(*sys.version_info))
    if sys.platform.startswith("linux"):
        libraries = {**FOR_QT, **FOR_WINDOWS} if window else FOR_QT
        packages += [package for library, package in libraries.items() if not loads(library)]
    return packages


def loads(library: str) -> bool:
    """Return whether the system has a library."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def apt_install(packages: list[str]) -> None:
    """Install Debian packages where that is allowed without asking.

    Raises:
        SetupError: with the exact line to run, when it is not, or when it did not work.
    """
    if not packages:
        return
    if shutil.which("apt-get") is None:
        names = ", ".join(packages)
        raise SetupError(
            f"this system lacks what Debian calls {names}; its package manager has it by some such name"
        )
    line = " ".join((*APT, *packages))
    root = os.geteuid() == 0
    if root:
        before: tuple[str, ...] = ()
    elif shutil.which("sudo") and heard(("sudo", "-n", "true")).returncode == 0:
        before = ("sudo", "-n")
    else:
        raise SetupError(f"this system lacks some packages. Run this line, then start again:\n  sudo {line}")
    say(f"This system lacks some packages; installing them: {line}")
    # A list that could not be refreshed is no reason to stop: the install says whether it was needed.
    heard((*before, "apt-get", "update", "-qq"))
    done = heard((*before, *APT, "-o", "DPkg::Lock::Timeout=120", *packages), DEBIAN_FRONTEND="noninteractive")
    if done.returncode:
        said = (done.stderr.strip().splitlines() or ["no reason was given"])[-1]
        sudo = "" if root else "sudo "
        raise SetupError(f"apt-get could not install them ({said}). Run this, then start again:\n  {sudo}{line}")


def make_environment() -> None:
    """Make ``.venv`` with this Python, unless it is there."""
    wanted = key()
    if is_done("environment", wanted):
        return
    say(f"Making an environment in {VENV}")
    made = heard((sys.executable, "-m", "venv", "--clear", str(VENV)))
    if made.returncode:
        raise SetupError(in_a_sentence("the environment could not be made", made.stdout + made.stderr))
    mark_done("environment", wanted)


def pip(*arguments: str) -> None:
    """Run pip in ``.venv``, naming the packages as they come.

    Raises:
        SetupError: with the reason, as far as pip's words tell it.
    """
    quiet = ("--disable-pip-version-check", "--no-input", "install", "--progress-bar=off")
    lines: list[str] = []
    with subprocess.Popen(
        (str(PYTHON), "-m", "pip", *quiet, *arguments), cwd=str(ROOT), env=child_environment(),
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, encoding="utf-8",
        errors="replace",
    ) as run:  # fmt: skip
        for line in run.stdout or ():
            lines.append(line)
            if line.startswith("Collecting "):
                say("  " + line.split()[1])
    if run.returncode:
        raise SetupError(in_a_sentence("the libraries could not be installed", "".join(lines)))


def in_a_sentence(what: str, said: str) -> str:
    """Return one sentence for what pip or venv said, or its last lines when none fits."""
    for signs, sentence in TROUBLES:
        if any(sign in said for sign in signs):
            return f"{what}: {sentence}."
    return f"{what}; the last words were:\n" + "\n".join(said.splitlines()[-12:])


def install(what: str) -> None:
    """Install the locked libraries and the program itself into ``.venv``, unless that was done."""
    wanted = {name: key(lock, "pyproject.toml") for name, lock in LOCKS.items()}
    # The lock of the tests holds all that the program needs.
    if is_done("tests", wanted["tests"]) or is_done(what, wanted[what]):
        return
    say("Installing the libraries (160 MB to fetch, 600 MB on disk, this once)")
    pip("--require-hashes", "--only-binary", ":all:", "-r", LOCKS[what])
    pip("--no-deps", "--no-build-isolation", "--editable", ".")
    mark_done(what, wanted[what])


def has_display() -> bool:
    """Return whether a window can be expected to open."""
    return not sys.platform.startswith("linux") or any(os.environ.get(name) for name in DISPLAYS)


def probe(**more: str) -> str:
    """Return why Qt does not start, or nothing."""
    run = heard((str(PYTHON), "-c", PROBE), **more)
    return "" if run.returncode == 0 else run.stderr.strip() or f"it ended with {run.returncode}"


def qt_starts(*, window: bool) -> bool:
    """Make sure that Qt really starts, once; return whether a window can open.

    Raises:
        SetupError: when Qt cannot start even without a window.
    """
    wanted = key(*LOCKS.values())
    if not is_done("qt", wanted):
        why_not = probe(QT_QPA_PLATFORM="offscreen")
        if why_not:
            raise SetupError(f"Qt does not start: {why_not.splitlines()[-1]}")
        mark_done("qt", wanted)
    wanted += "".join(os.environ.get(name, "") for name in DISPLAYS)
    if not window or is_done("window", wanted):
        return window
    why_not = probe()
    if why_not:
        say(f"Qt says: {why_not.splitlines()[0]}")
        return False
    mark_done("window", wanted)
    return True


def write_files(plan: Path) -> int:
    """Write the sheets, the drawing and the picture of a plan to ``out/`` and say where; return the exit code."""
    say("There is no display to open the desk on, so here is what it would give you:")
    folder = ROOT / "out"
    folder.mkdir(exist_ok=True)
    stem = plan.name.split(".")[0]
    for command, ending in (("sheets", "pdf"), ("drawing", "dxf"), ("picture", "png")):
        out = folder / f"{stem}.{ending}"
        code = subprocess.call(
            (str(PYTHON), "-m", "layoutdesk", command, str(plan), "-o", str(out)), env=child_environment()
        )
        if code:
            return code
        say(f"  {out}")
    return 0


def open_desk(plan: Path) -> int:
    """Set up what the program needs and open the desk, or write the files; return the exit code."""
    window = has_display()
    apt_install(lacking_packages(window=window))
    make_environment()
    install("program")
    if qt_starts(window=window):
        return subprocess.call((str(PYTHON), "-m", "layoutdesk", str(plan)), env=child_environment())
    return write_files(plan)


def run_tests() -> int:
    """Set up what the tests need and run every check, up to the first that fails; return the exit code."""
    # With a display, or a server that makes one, the tests open the desk on it too.
    apt_install(lacking_packages(window=has_display() or shutil.which("Xvfb") is not None))
    make_environment()
    install("tests")
    qt_starts(window=False)
    environment = child_environment(QT_QPA_PLATFORM="offscreen")
    for name, command, mend in CHECKS:
        say(f"== {name}")
        code = subprocess.call((str(PYTHON), *command), cwd=str(ROOT), env=environment, stdin=subprocess.DEVNULL)
        if code:
            say(f"== {name} FAILED: {mend}")
            return code
    return 0


def main() -> int:
    """Do what the command line asks for; return the exit code."""
    too_old = version_trouble(sys.version_info[:2])
    if too_old:
        sys.stderr.write(too_old + "\n")
        return 1
    parser = argparse.ArgumentParser(description="Set up layoutdesk and open it.")
    parser.add_argument("file", nargs="?", type=Path, help="the plan to open (else the first sample)")
    parser.add_argument("--test", action="store_true", help="run every check of the project instead")
    asked = parser.parse_args()
    plan = asked.file.absolute() if asked.file else min((ROOT / "samples").glob("*.layout.json"))
    try:
        return run_tests() if asked.test else open_desk(plan)
    except SetupError as trouble:
        sys.stderr.write(f"bootstrap: {trouble}\n")
    except PermissionError as error:
        sys.stderr.write(
            f"bootstrap: {error.filename} cannot be written; put the project in a folder of your own.\n"
        )
    except OSError as error:
        full = error.errno == errno.ENOSPC
        sys.stderr.write(f"bootstrap: {'the disk is full; make a gigabyte free' if full else error}.\n")
    except KeyboardInterrupt:
        return 130
    return 1


if __name__ == "__main__":
    sys.exit(main())
