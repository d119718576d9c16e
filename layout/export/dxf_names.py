r"""Names of people for a DXF file, so that no sign of theirs is taken for a command.

In the text of a TEXT entity ``%%`` begins a code and ``%%%`` stands for one per cent sign, a caret begins a control
sign and stands for itself before a blank, and ``\U+`` and ``\M+`` begin a sign by its number (Autodesk's DXF
reference, "Special characters", from memory). ``\P`` and braces mean nothing there; they do in MTEXT, which is why
names are never written as MTEXT. Layers may not be called by what stands in `_FORBIDDEN` (same source).
"""

from __future__ import annotations

import re
from collections.abc import Iterable

_FORBIDDEN = re.compile(r"[<>/\\\":;?*|,=`%^]")
_NUMBERED = re.compile(r"\\(?=[UuMm]\+)")
# The longest of a layer's name, and of a string that is kept with an entity, in bytes of UTF-8 (same source).
_MOST = 255
# A line of text longer than this is no name.
_LONGEST_TEXT = 1000


def plain(text: str) -> str:
    """Return the text in one line: a blank for every sign that cannot be printed, none at its ends."""
    return "".join(sign if sign.isprintable() else " " for sign in text).strip()[:_LONGEST_TEXT]


def for_text(text: str) -> str:
    r"""Return what to write as TEXT so that a reader shows `plain(text)`.

    Only before ``U+`` and ``M+`` a backslash gets a blank behind it, since no way to write it as it is is known to all
    readers.
    """
    said = _NUMBERED.sub("\\\\ ", plain(text)).replace("^", "^ ")
    return said.replace("%", "%%%") if "%%" in said else said


def for_data(text: str) -> str:
    """Return what to keep with an entity as the name of what it shows."""
    return shortened(_NUMBERED.sub("\\\\ ", plain(text)).replace("^", "^ "), _MOST)


def layer_names(wanted: Iterable[str]) -> dict[str, str]:
    """Return a layer's name for each of `wanted`; no two alike, in whatever case they are written."""
    names: dict[str, str] = {}
    taken: set[str] = {"", "0", "defpoints"}
    for one in dict.fromkeys(wanted):
        bare = shortened(_FORBIDDEN.sub("_", plain(one)), _MOST - 8).strip()
        name, count = bare, 1
        while name.lower() in taken:
            count += 1
            name = f"{bare} {count}".strip()
        names[one] = name
        taken.add(name.lower())
    return names


def shortened(text: str, most: int) -> str:
    """Return the text cut off so that it takes no more than `most` bytes of UTF-8."""
    return text.encode()[:most].decode(errors="ignore")
