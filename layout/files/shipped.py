"""Where the catalogues and examples that come with the program lie."""

from __future__ import annotations

from pathlib import Path


def shipped(folder: str) -> Path:
    """Return the path of ``catalogs`` or ``examples``: inside an installed package, or of the checkout."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "_shipped" / folder
    return installed if installed.is_dir() else package.parent / folder
