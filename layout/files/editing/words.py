"""Values to text in one line that reads back as the same text in any reader of YAML."""

from __future__ import annotations

import math
import re
from decimal import Decimal
from typing import Any

import yaml

# What a plain text may not begin with, or hold anywhere, in a flow mapping; more is quoted than need be.
_LEADING = frozenset("-?:,[]{}#&*!|>'\"%@`=~<")
_ANYWHERE = re.compile(r"[:#,\[\]{}?]")
_UNSAFE = re.compile("[^\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")
# Numbers of YAML 1.2 that the 1.1 table of PyYAML does not have.
_NUMBER = re.compile(r"[-+]?(\.\d+|\d+(\.\d*)?)([eE][-+]?\d+)?|0o[0-7]+")
_LONGEST_KEY = 1_000
_ESCAPES = {"\n": "\\n", "\r": "\\r", "\t": "\\t"}


class Bare(str):
    """A number or a yes or no: written without quotes."""

    __slots__ = ()


def number(value: float) -> Bare:
    """Return a number as digits, never with an exponent.

    Raises
    ------
    ValueError
        When the number is not finite.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} cannot be written into a file")
    whole = int(value)
    return Bare(whole if whole == value else format(Decimal(repr(float(value))), "f"))


def in_one_line(value: Any) -> str:
    """Return a text, a dict or a list (of these) in flow style."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key_text(key)}: {in_one_line(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(in_one_line, value)) + "]"
    return scalar(value)


def key_text(text: str) -> str:
    """Return a text as a key.

    Raises
    ------
    ValueError
        When files cannot have such a key: the sign of merging, or one over 1,000 signs.
    """
    said = scalar(text)
    if text == "<<" or len(said) > _LONGEST_KEY:
        raise ValueError(f"{text[:40]!r} cannot be a key of a file")
    return said


def scalar(text: str) -> str:
    """Return the text, quoted where a reader would take it for something else than a text.

    Raises
    ------
    ValueError
        When the text holds half a sign (a surrogate).
    """
    if isinstance(text, Bare) or not _needs_quotes(text):
        return str(text)
    if ('"' in text or "\\" in text) and not _UNSAFE.search(text):
        return "'" + text.replace("'", "''") + "'"
    return '"' + _UNSAFE.sub(_escaped, text.replace("\\", "\\\\").replace('"', '\\"')) + '"'


def _needs_quotes(text: str) -> bool:
    if not text or text != text.strip() or text.startswith("..."):
        return True
    leading = text[0] in _LEADING and not re.match(r"-\d", text)
    return leading or bool(_ANYWHERE.search(text) or _UNSAFE.search(text)) or _is_typed(text)


def _is_typed(text: str) -> bool:
    """Return whether a reader that types plain scalars would make of it a number, a date, a truth or nothing."""
    patterns = yaml.SafeLoader.yaml_implicit_resolvers.get(text[0], [])
    return bool(_NUMBER.fullmatch(text)) or any(pattern.match(text) for _, pattern in patterns)


def _escaped(found: re.Match[str]) -> str:
    sign = found.group()
    if "\ud800" <= sign <= "\udfff":
        raise ValueError(f"half a sign, {sign!r}, cannot be written into a file")
    if sign in _ESCAPES:
        return _ESCAPES[sign]
    return f"\\u{ord(sign):04x}"
