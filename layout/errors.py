"""Every error that the package raises on purpose, and the exit code of each.

Exit codes are part of the interface: 0 good, 1 the plan has findings that fail, 2 bad input.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


class LayoutError(Exception):
    """The root of all errors of this package; the command line prints it and exits with `exit_code`."""

    exit_code = 2


@dataclass(frozen=True, order=True)
class Fault:
    """One thing wrong in a file, and where.

    `file` is the name as the person gave it; `line` and `column` count from 1 (0: not known);
    `key` is the dotted path of the value; `text` says what was read, what is allowed, what to write.
    """

    file: str
    line: int
    column: int
    key: str
    text: str

    def __str__(self) -> str:
        """Return ``file:line:column: key: text``, leaving out what is not known."""
        place = f"{self.file}:{self.line}:{self.column}" if self.line else self.file
        return f"{place}: {self.key}: {self.text}" if self.key else f"{place}: {self.text}"


class InputError(LayoutError):
    """A file or an option cannot be used; carries every fault found, in file order."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class PartTooLargeError(LayoutError):
    """A part does not fit on any sheet of its material."""


class NotEnoughSheetsError(LayoutError):
    """The sheets on hand do not hold all parts, or a material has no sheet at all."""


class RefereeError(LayoutError):
    """A solver's answer broke a rule; a defect of the program, never of the person's file."""


class ScaleError(LayoutError):
    """A drawing does not fit on the paper at the asked scale; the message names one that does."""


class OutputError(LayoutError):
    """The place to write to cannot be used."""


class ValueFaultError(LayoutError):
    """A value that can be read but cannot be used; `path` is its place in the project, for the position."""

    def __init__(self, path: tuple[str, ...], text: str) -> None:
        self.path = path
        self.text = text
        super().__init__(f"{'.'.join(path)}: {text}")
