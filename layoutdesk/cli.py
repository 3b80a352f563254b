"""The commands: a plan file to sheets, drawing, figures, points, holes or a picture, or onto the desk.

Exit code 0 means done; 2 that something must be mended first: one sentence on standard error says what, and
nothing was written; 1 a fault of the program itself. Libraries are imported by the command that needs them, so
that the desk opens at once.
"""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple, NoReturn

from layoutdesk import __version__
from layoutdesk.errors import ExportError, FileError, LayoutdeskError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from layoutdesk.engine.layout import Layout

DONE: Final = 0
FAULT: Final = 1
TO_MEND: Final = 2
INTERRUPTED: Final = 130

SIZE: Final = (1600, 1000)
SIZES: Final = range(100, 8001)

INTRODUCTION: Final = """\
Takes a patio, porch, pergola or carport from the drawing to the ground.

commands:
  layoutdesk [FILE]                     open the desk
  layoutdesk sheets FILE -o OUT.pdf     field sheets and materials report
  layoutdesk drawing FILE -o OUT.dxf    the plan as DXF
  layoutdesk points FILE -o OUT.csv     every point with its station and offset
  layoutdesk holes FILE -o OUT.csv      every hole as planned and as dug
  layoutdesk figures FILE               every derived number as JSON
  layoutdesk picture FILE -o OUT.png    the sheet as the desk shows it

FILE is a plan file, a DXF, a PDF, or a CSV of points; what was made of a drawing is told on standard error.
"""
EXAMPLES: Final = """\
examples:
  layoutdesk samples/heron-lane-porch.layout.json
  layoutdesk sheets porch.layout.json -o porch.pdf --paper a4
  layoutdesk drawing porch.layout.json -o porch.dxf
  layoutdesk picture porch.layout.json -o porch.png --dark --size 1920x1080
  layoutdesk figures porch.layout.json > figures.json
  layoutdesk sheets architect.dxf -o porch.pdf --unit in

'layoutdesk COMMAND --help' tells more. Exit code 0: done. 2: one sentence says what to mend; nothing was written.
"""


class CommandError(LayoutdeskError):
    """A command line that asks for what cannot be done."""


class Command(NamedTuple):
    """A command that makes one file, or text on standard output when it has no ``ending``."""

    does: str
    make: Callable[[Layout, Namespace], bytes]
    ending: str = ""


def main(argv: Sequence[str], open_desk: Callable[[Path | None], int]) -> int:
    """Carry out a command line and return its exit code; whatever is wrong is told in one sentence.

    Args:
        argv: the words after the program's name.
        open_desk: opens the desk on a plan file, or on none, and returns the exit code; it may raise
            ``ImportError`` when Qt cannot be loaded.
    """
    try:
        try:
            code = _carry_out(list(argv), open_desk)
        except SystemExit as after_help:
            code = int(after_help.code or DONE)
        # Here and not at the end of the process, where a reader who left early would end in a traceback.
        sys.stdout.flush()
    except BrokenPipeError:
        _drop_output()
        return DONE
    except LayoutdeskError as error:
        return _complain(str(error))
    except OSError as error:
        _drop_output()
        return _complain(f"{error.filename or 'standard output'}: {error.strerror or error}")
    except KeyboardInterrupt:
        return INTERRUPTED
    except MemoryError:
        return _complain("there is not enough memory for this plan")
    except Exception as error:
        # Nobody on site is helped by a traceback; whoever mends the program asks for it.
        if os.environ.get("LAYOUTDESK_TRACEBACK"):
            raise
        _complain(f"a fault of the program, not of the plan: {type(error).__name__}: {error}")
        return FAULT
    return code


def _carry_out(argv: list[str], open_desk: Callable[[Path | None], int]) -> int:
    if argv and argv[0] in COMMANDS:
        return _make(argv[0], argv[1:])
    path = Path(argv[0]) if argv and not argv[0].startswith("-") else None
    if len(argv) > (0 if path is None else 1):
        _help_or_version(argv)
    _can_open_desk(path)
    try:
        return open_desk(path)
    except ImportError as error:
        raise _no_qt(error) from error


def _help_or_version(argv: list[str]) -> None:
    """Answer ``--help`` and ``--version`` and leave; anything else that is no plan is refused.

    Raises:
        CommandError: with the commands that there are.
        SystemExit: after an answer.
    """
    parser = _parser(
        prog="layoutdesk",
        usage="layoutdesk [FILE] | COMMAND FILE [-o OUT]",
        description=INTRODUCTION,
        epilog=EXAMPLES,
    )
    parser.add_argument("file", nargs="?", metavar="FILE", help="the plan to open")
    parser.add_argument("--version", action="version", version=f"layoutdesk {__version__}")
    asked, rest = parser.parse_known_args(argv)
    unknown = rest[0] if not asked.file or Path(asked.file).exists() else asked.file
    raise CommandError(f"there is no command or option {unknown}; the commands are {', '.join(COMMANDS)}")


def _parser(**about: str) -> ArgumentParser:
    """Return a reader of command lines that says what is wrong in one sentence, not how all of it is used."""
    # Here and not at the top: opening the desk needs no reader, and should not wait for one.
    import argparse

    class Parser(argparse.ArgumentParser):
        def error(self, message: str) -> NoReturn:
            raise CommandError(f"{message}; '{self.prog} --help' shows how it is written")

    return Parser(formatter_class=argparse.RawDescriptionHelpFormatter, **about)  # type: ignore[arg-type]


def _make(name: str, argv: list[str]) -> int:
    command = COMMANDS[name]
    parser = _parser(prog=f"layoutdesk {name}", description=command.does)
    parser.add_argument(
        "file", type=Path, metavar="FILE", help="a plan file (*.layout.json), a DXF, a PDF, or a CSV of points"
    )
    parser.add_argument(
        "--unit", type=_unit, metavar="UNIT", help="in, ft, mm, cm or m, for a file that does not say its unit"
    )
    parser.add_argument(
        "--scale",
        type=_scale,
        metavar="SCALE",
        help='48, 1:48 or 1/4"=1\'-0", for a drawing that is not at true size',
    )
    if command.ending:
        parser.add_argument(
            "-o", dest="out", type=Path, metavar=f"OUT{command.ending}", required=True, help="the file to write"
        )
    if name == "sheets":
        parser.add_argument("--paper", choices=("letter", "a4"), help="instead of the paper that the plan names")
    if name == "picture":
        parser.add_argument("--dark", action="store_true", help="in the dark dress")
        parser.add_argument("--size", type=_size, default=SIZE, metavar="WxH", help="in pixels (1600x1000)")
    asked = parser.parse_args(argv)
    if not command.ending:
        made = command.make(_layout(asked), asked)
        sys.stdout.flush()
        sys.stdout.buffer.write(made)
        sys.stdout.buffer.flush()
        return DONE

    _check_out(asked.out, asked.file, command.ending)
    made = command.make(_layout(asked), asked)
    from layoutdesk.plan.file import write_whole

    write_whole(asked.out, made)
    return DONE


def _size(text: str) -> tuple[int, int]:
    """Return a picture's width and height as typed."""
    typed = re.fullmatch(r"(\d{1,5})[xX×](\d{1,5})", text)
    if not typed or not all(int(side) in SIZES for side in typed.groups()):
        raise CommandError(f"--size {text} is no size from 100x100 to 8000x8000, such as 1600x1000")
    return int(typed[1]), int(typed[2])


def _check_out(out: Path, plan: Path, ending: str) -> None:
    """Refuse an output that is no file of this kind, or that is the plan itself.

    Raises:
        CommandError: in both cases.
    """
    if out.suffix.lower() != ending:
        raise CommandError(f"{out}: the name of the file to write must end in {ending}")
    if out.exists() and plan.exists() and out.samefile(plan):
        raise CommandError(f"{out}: this is the plan itself; give the output another name")


def _layout(asked: Namespace) -> Layout:
    """Read a plan, or make one of a foreign file, and return what follows from it.

    What was made of a foreign file is told on standard error.
    """
    from layoutdesk.importers.reading import kind_of

    path: Path = asked.file
    kind = kind_of(path) if path.is_file() else "plan"  # whose reader says what is wrong with a folder or a pipe
    if kind == "picture":
        raise FileError(
            f"{path}: a picture holds no lines to read; lay it under the sheet at the desk and trace it"
        )
    if kind in {"plan", None}:
        if path.is_file() and (asked.unit is not None or asked.scale is not None):
            raise CommandError(f"{path}: a plan file knows its own lengths; leave out --unit and --scale")
        from layoutdesk.plan.file import read_plan
        from layoutdesk.plan.underlay_files import as_found

        plan = as_found(read_plan(path), path.parent)
    else:
        from layoutdesk.importers.straight import made_straight

        made = made_straight(path, unit=asked.unit, scale=asked.scale)
        for line in made.report:
            sys.stderr.write(f"{' '.join(line.split())}\n")
        plan = made.plan
    from layoutdesk.engine.derive import derive

    return derive(plan)


def _unit(text: str) -> float:
    """Return the millimetres of a unit as typed."""
    from layoutdesk.importers.straight import UNITS

    if text not in UNITS:
        raise CommandError(f"--unit {text} is none of {', '.join(UNITS)}")
    return UNITS[text]


def _scale(text: str) -> float:
    """Return a scale as typed."""
    from layoutdesk.importers.straight import scale_typed

    try:
        return scale_typed(text)
    except ValueError:
        raise CommandError(f'--scale {text} is no scale, such as 48, 1:48 or 1/4"=1\'-0"') from None


def _can_open_desk(path: Path | None) -> None:
    """Refuse to open the desk where there is no display, and on a file that is not there.

    What a file holds is read once the window stands, and the desk itself says what is wrong with it.

    Raises:
        CommandError: when there is no display.
        FileError: when there is no such file.
    """
    if path is not None and not path.is_file():
        from layoutdesk.plan.file import read_plan

        read_plan(path)  # says why it cannot
    shows = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    if sys.platform.startswith("linux") and not any(os.environ.get(name) for name in shows):
        raise CommandError(
            "there is no display to open the desk on; the commands sheets, drawing, points, figures and picture "
            "work without one"
        )


def _no_qt(error: ImportError) -> LayoutdeskError:
    """Return what to say when Qt cannot be loaded: mostly a library that a bare Linux system has not."""
    return CommandError(
        f"Qt cannot be loaded ({error}); run bootstrap.py again, it installs what is missing or says how"
    )


def _sheets(layout: Layout, asked: Namespace) -> bytes:
    from layoutdesk.exporters.pdf import write_pdf
    from layoutdesk.sheets.book import stake_out_set

    return write_pdf(stake_out_set(layout, paper=asked.paper))


def _drawing(layout: Layout, _: Namespace) -> bytes:
    from layoutdesk.exporters.dxf import write_dxf
    from layoutdesk.sheets.drawing import plan_drawing

    return write_dxf(plan_drawing(layout))


def _points(layout: Layout, _: Namespace) -> bytes:
    from layoutdesk.exporters.tables import points_csv

    return points_csv(layout).encode()


def _holes(layout: Layout, _: Namespace) -> bytes:
    from layoutdesk.exporters.hole_table import holes_csv

    return holes_csv(layout).encode()


def _figures(layout: Layout, _: Namespace) -> bytes:
    from layoutdesk.exporters.figures import figures_json

    return figures_json(layout).rstrip("\n").encode() + b"\n"


def _picture(layout: Layout, asked: Namespace) -> bytes:
    # Always without a screen and in one locale: the same picture everywhere, and no display that fails to open.
    os.environ.update(QT_QPA_PLATFORM="offscreen", LC_ALL="C.UTF-8")
    try:
        from PySide6.QtCore import QBuffer, QIODevice
        from PySide6.QtGui import QGuiApplication, QImageWriter
    except ImportError as error:
        raise _no_qt(error) from error

    from layoutdesk.desk.canvas.picture import picture
    from layoutdesk.desk.theme import DARK, LIGHT

    running = QGuiApplication.instance() or QGuiApplication(["layoutdesk"])
    image = picture(layout, DARK if asked.dark else LIGHT, *asked.size)
    held = QBuffer()
    held.open(QIODevice.OpenModeFlag.WriteOnly)
    if not QImageWriter(held, b"png").write(image):
        raise ExportError("the picture could not be made; try a smaller --size")
    del image, running
    return bytes(held.data().data())


COMMANDS: Final[dict[str, Command]] = {
    "sheets": Command("Write the field sheets and the materials report as PDF.", _sheets, ".pdf"),
    "drawing": Command("Write the plan as DXF, in millimetres at true size.", _drawing, ".dxf"),
    "points": Command(
        "Write every point with x, y, station, offset and mark as CSV, in millimetres.", _points, ".csv"
    ),
    "holes": Command(
        "Write every hole as planned and as dug, with its verdict, as CSV, in millimetres.", _holes, ".csv"
    ),
    "figures": Command("Print every derived number as JSON: lengths in mm, volumes in m³, masses in kg.", _figures),
    "picture": Command("Draw the sheet as the desk shows it and write it as PNG.", _picture, ".png"),
}


def _drop_output() -> None:
    """Let what is still on its way to standard output go nowhere: its reader has left, or it cannot be written."""
    with Path(os.devnull).open("wb") as nowhere:
        os.dup2(nowhere.fileno(), sys.stdout.fileno())


def _complain(sentence: str) -> int:
    """Say in one line on standard error what is to be mended; return the exit code for it."""
    sys.stderr.write(f"layoutdesk: {' '.join(sentence.split())}\n")
    return TO_MEND
