"""Slips of the pen: two neighbouring digits changed about, or the decimal point a place off."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import cast

from layout.model.survey import Reading
from layout.units.length import Unit, parse_length

# Fractions of an inch that a tape shows.
_TICKS = frozenset({2, 4, 8, 16, 32, 64})


def slips(reading: Reading) -> tuple[Reading, ...]:
    """Return the readings that may have been meant: as written, but for one slip; each with its own mm."""
    found: dict[float, Reading] = {}
    for text in _texts(reading.text):
        mm = _length(text, reading.units)
        if mm is not None and abs(mm - reading.mm) > 1e-6:  # noqa: PLR2004 (the same length)
            found.setdefault(mm, Reading(mm=mm, text=text, units=reading.units))
    return tuple(found.values())


def _texts(text: str) -> Iterator[str]:
    """Yield the text with two neighbouring digits changed about, also across the point, or the point moved."""
    for pair in re.finditer(r"(?=(\d)(\.?)(\d))", text):
        i, (one, point, other) = pair.start(), pair.groups()
        if one != other:
            yield f"{text[:i]}{other}{point}{one}{text[i + 2 + len(point) :]}"
    for number in re.finditer(r"\d+\.\d+", text):
        yield from (text[: number.start()] + moved + text[number.end() :] for moved in _moved(number[0]))


def _moved(number: str) -> Iterator[str]:
    whole, _, part = number.partition(".")
    yield f"{whole}{part[0]}.{part[1:] or '0'}"
    yield f"{whole[:-1] or '0'}.{whole[-1]}{part}"


def _length(text: str, units: str) -> float | None:
    ticks = [int(n) for n in re.findall(r"/\s*(\d+)", text)]
    if any(n not in _TICKS for n in ticks):
        return None
    try:
        return float(parse_length(text, cast(Unit, units)))
    except ValueError:
        return None
