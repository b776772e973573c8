"""How the command line speaks: one JSON value or plain lines, and a fault with its mend."""

from __future__ import annotations

import json
import sys
import traceback
from typing import Any

from bylittle.core.faults import Fault, ManyFaults

RAN, FOUND, COULD_NOT_RUN = 0, 1, 2
_EXTRAS = {
    "django": "web",
    "cryptography": "web",
    "typst": "print",
    "segno": "print",
    "docx": "print",
    "fhir": "export",
} | dict.fromkeys(("cv2", "zxingcpp", "pypdfium2", "pillow_heif", "PIL"), "read")


class CannotRun(Fault):
    """A verb cannot run: the code of a sentence in `library/wording/command.toml`, with its values."""

    code = "cannot_run"


def say_json(value: Any) -> None:
    """One JSON value on the standard output, in plain ASCII so that every console takes it."""
    print(json.dumps(value))


def say_fault(fault: str, mend: str, *, as_json: bool) -> int:
    """What is wrong and how to mend it; the exit code 2."""
    if as_json:
        say_json({"fault": fault, "mend": mend})
    else:
        print(fault, mend, sep="\n", file=sys.stderr)
    return COULD_NOT_RUN


def words_of(problem: Exception) -> tuple[str, str]:
    """Any problem in words: what is wrong, and the mend."""
    from bylittle.library import wording

    if isinstance(problem, ManyFaults):
        return _together(problem)
    missing = (getattr(problem, "name", None) or "").split(".")[0]
    if isinstance(problem, ModuleNotFoundError) and missing in _EXTRAS:
        return _command("extra_missing", module=missing, extra=_EXTRAS[missing])
    if isinstance(problem, OSError):
        return _command("file", name=problem.filename or "", reason=problem.strerror or str(problem))
    if isinstance(problem, Fault):
        known = problem.code in wording.book("command")
        return _command(problem.code, **problem.values) if known else _core_words(problem)
    traceback.print_exception(problem, file=sys.stderr)
    return _command("unexpected", kind=type(problem).__name__, reason=str(problem))


def _together(problem: ManyFaults) -> tuple[str, str]:
    """All faults of a file, each with its place; a mend that serves several is told once."""
    from bylittle.files.line_fault import LineFault

    faults, mends = [], []
    for each in problem.faults:
        place = line_place(each) if isinstance(each, LineFault) else ""
        fault, mend = line_words(each) if isinstance(each, LineFault) else words_of(each)
        faults.append(place + fault)
        mends.append(mend)
    return "\n".join(faults), "\n".join(dict.fromkeys(mends))


def line_words(fault: Any) -> tuple[str, str]:
    """A fault at a line of a practice log, in words."""
    from bylittle.library.wording import csv_faults

    told = csv_faults.told(fault.code, fault.values, column=fault.column)
    return told.fault, told.mend


def line_place(fault: Any) -> str:
    """Where a fault stands: `Line 4, date: `."""
    return f"Line {fault.line}, {fault.column}: " if fault.column else f"Line {fault.line}: "


def _command(code: str, **values: Any) -> tuple[str, str]:
    from bylittle.library import wording

    told = {
        name: ", ".join(map(str, value)) if isinstance(value, tuple) else value
        for name, value in values.items()
    }
    fault, mend = (wording.phrase("command", code, part, "en") for part in ("fault", "mend"))
    return wording.fill(fault, told), wording.fill(mend, told)


def _listed(value: Any) -> Any:
    return ", ".join(map(str, value)) if isinstance(value, tuple) else value


def _core_words(fault: Fault) -> tuple[str, str]:
    from bylittle.library.wording import faults
    from bylittle.library.wording.sheet import fault_words

    if not faults.knows(fault.code):
        return fault_words(fault)
    told = faults.sentence(fault)
    return told.what, told.mend
