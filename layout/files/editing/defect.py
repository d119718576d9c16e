"""The error of an edit that went wrong by our own fault."""

from __future__ import annotations

from layout.errors import LayoutError


class EditDefectError(LayoutError):
    """An edited file did not read back as meant; a defect of the program, never of the person's file."""
