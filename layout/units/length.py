"""Lengths: read from what people write, exactly; written back as people read them."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Literal

Unit = Literal["mm", "cm", "m", "in", "ft"]

# Exact by definition: the international yard and pound agreement of 1959 (NIST SP 811, appendix B.6).
MM_PER: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction(127, 5),
    "ft": Fraction(1524, 5),
}
HOW = 'write for instance 610, 610 mm, 61 cm, 0.6 m, 24 in, 23 5/8", 6\' 2 1/2"'

_TYPED_MARKS = str.maketrans({"″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "‘": "'"})
_WORDS = {
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "cm": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m",
    "in": "in", "inch": "in", "inches": "in", '"': "in", "''": "in",
    "ft": "ft", "foot": "ft", "feet": "ft", "'": "ft",
}  # fmt: skip
_NUMBER = r"(?:\d{1,9}[ -]+\d{1,4}/\d{1,4}|\d{1,4}/\d{1,4}|\d{1,9}(?:\.\d{1,20})?|\.\d{1,20})"
_TERM = re.compile(rf"\s*({_NUMBER})\s*('{{2}}|[a-z]+|[\"'])?", re.ASCII)
_HALVES = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
_LONGEST_TEXT = 60
_LARGEST_MM = Fraction(1_000_000)


def parse_length(text: str, default_unit: Unit | None = None) -> Fraction:
    """Return the length that `text` says, in millimetres, exactly.

    Parameters
    ----------
    text
        A number with or without a unit; feet may be followed by inches. A leading minus is allowed.
    default_unit
        The unit of a number that carries none; None makes such a number an error.

    Raises
    ------
    ValueError
        When the text is not a length; the message says what may be written.
    """
    rest = _normal(text)
    sign = -1 if rest.startswith("-") else 1
    terms = _terms(rest.removeprefix("-"), text)
    value = sign * _sum(terms, text, default_unit)
    if abs(value) > _LARGEST_MM:
        raise ValueError(f"{text!r} is longer than a kilometre")
    return value


def _normal(text: str) -> str:
    if len(text) > _LONGEST_TEXT:
        raise ValueError(f"a text of {len(text)} characters is not a length; {HOW}")
    text = text.translate(_TYPED_MARKS)
    for sign, words in _HALVES.items():
        text = text.replace(sign, words)
    return text.strip().lower()


def _terms(rest: str, text: str) -> list[tuple[str, str | None]]:
    terms: list[tuple[str, str | None]] = []
    while rest:
        match = _TERM.match(rest)
        if match is None:
            raise ValueError(f"cannot read {text!r} as a length; {HOW}")
        terms.append((match[1], match[2]))
        rest = rest[match.end() :].strip()
    if not terms:
        raise ValueError(f"a length is missing; {HOW}")
    return terms


def _sum(terms: list[tuple[str, str | None]], text: str, default_unit: Unit | None) -> Fraction:
    units = [_unit(word, text, default_unit) for _, word in terms]
    if len(terms) > 1 and (units != ["ft", "in"] or terms[1][1] is None):
        raise ValueError(f"cannot read {text!r} as one length; only feet may be followed by inches; {HOW}")
    return sum((_number(number) * MM_PER[unit] for (number, _), unit in zip(terms, units, strict=True)), Fraction(0))


def _unit(word: str | None, text: str, default_unit: Unit | None) -> str:
    if word is None:
        if default_unit is None:
            raise ValueError(f"{text!r} has no unit, and the file states none; {HOW}")
        return default_unit
    if word not in _WORDS:
        raise ValueError(f"unknown unit {word!r} in {text!r}; use mm, cm, m, in or ft")
    return _WORDS[word]


def _number(text: str) -> Fraction:
    parts = re.split(r"[ -]+", text)
    if any(part.endswith("/0") or re.search(r"/0+$", part) for part in parts):
        raise ValueError(f"{text!r} divides by zero")
    return sum((Fraction(part) for part in parts), Fraction(0))


def format_length(mm: float, units: Unit = "mm", *, denominator: int = 16, unit_sign: bool = False) -> str:
    """Return `mm` as people read it: ``610``, ``610.5``, ``24"``, ``23 5/8"``, ``6' 2 1/2"`` is never used.

    Parameters
    ----------
    mm
        The length in millimetres.
    units
        The unit to speak; ``ft`` speaks inches, since that is what a tape shows.
    denominator
        The finest fraction of an inch, a power of two.
    unit_sign
        Whether a metric length carries its unit; inches always carry their sign.
    """
    if units in ("in", "ft"):
        return _inches(mm, denominator)
    value = mm / float(MM_PER[units])
    digits = {"mm": 1, "cm": 2, "m": 4}[units]
    text = f"{value:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    text = "0" if text == "-0" else text
    return f"{text} {units}" if unit_sign else text


def _inches(mm: float, denominator: int) -> str:
    ticks = round(Fraction(mm) / MM_PER["in"] * denominator)
    sign = "-" if ticks < 0 else ""
    whole, rest = divmod(abs(ticks), denominator)
    if not rest:
        return f'{sign}{whole}"'
    fraction = Fraction(rest, denominator)
    return f'{sign}{whole} {fraction}"' if whole else f'{sign}{fraction}"'


def drawn_unit(units: Unit) -> Literal["mm", "in"]:
    """Return what drawings and lists for the saw speak in a project in `units`: millimetres, or inches."""
    return "in" if units in ("in", "ft") else "mm"


def exact_length(mm: Fraction) -> str:
    """Return a text that `parse_length` reads back as exactly `mm`, a multiple of 1 µm or of 1/64 in."""
    micrometres = mm * 1000
    if micrometres.denominator == 1:
        return f"{'-' if mm < 0 else ''}{abs(int(micrometres)) // 1000}.{abs(int(micrometres)) % 1000:03d} mm"
    ticks = mm / MM_PER["in"] * 64
    if ticks.denominator != 1:
        raise ValueError(f"{mm} mm is neither a multiple of 1 µm nor of 1/64 in")
    whole, rest = divmod(abs(int(ticks)), 64)
    return f"{'-' if mm < 0 else ''}{whole} {rest}/64 in"
