"""What a person says of the saw and the shop on the command line, from words to millimetres."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import cast, get_args

from layout.errors import Fault, InputError
from layout.model.cutting import CutJob, Preference, Shop
from layout.units.length import Unit, parse_length

PREFERENCES = get_args(Preference)
_WIDEST_MM, _LONGEST_MM, _MOST_CUTS = 100, 20_000, 100


@dataclass(frozen=True, kw_only=True, slots=True)
class CutWords:
    """The words of the options, None where nothing is said; lengths without a unit are in the tables' unit."""

    kerf: str | None = None
    trim: str | None = None
    offcut_min: str | None = None
    longest_cut: str | None = None
    smallest_hold: str | None = None
    prefer: str | None = None
    shop_cuts: str | None = None
    shop_kerf: str | None = None
    shop_narrowest: str | None = None
    shop_trim: str | None = None
    shop_tolerance: str | None = None
    car: str | None = None

    def said(self) -> tuple[str, ...]:
        """Return the options that are said, as they are typed."""
        return tuple(f"--{one.name.replace('_', '-')}" for one in fields(self) if getattr(self, one.name) is not None)


def job_without_parts(words: CutWords, units: Unit) -> CutJob:
    """Return a job that knows the saw and the shop, but no parts and no sheets yet.

    Raises
    ------
    InputError
        With a fault for every option that cannot be used.
    """
    reader = _Reader(words=words, units=units)
    plain = CutJob(parts=(), stocks=())
    job = CutJob(
        parts=(),
        stocks=(),
        kerf=reader.length("kerf", plain.kerf),
        trim=reader.length("trim", plain.trim),
        smallest_offcut=reader.length("offcut_min", plain.smallest_offcut, _LONGEST_MM),
        longest_cut=reader.length("longest_cut", 0.0, _LONGEST_MM) or None,
        smallest_hold=reader.length("smallest_hold", 0.0, _LONGEST_MM) or None,
        prefer=reader.prefer(plain.prefer),
        shop=reader.shop(),
    )
    if reader.faults:
        raise InputError(reader.faults)
    return job


def size_of(text: str, option: str, units: Unit) -> float:
    """Return the mm that an option says, more than 0 and at most 100.

    Raises
    ------
    InputError
        When it cannot be used.
    """
    try:
        value = float(parse_length(text, units))
    except ValueError as error:
        raise InputError([Fault("cut", 0, 0, option, str(error))]) from None
    if not 0 < value <= _WIDEST_MM:
        raise InputError([Fault("cut", 0, 0, option, f"{text!r} is not more than 0 and at most {_WIDEST_MM} mm")])
    return value


@dataclass(kw_only=True, slots=True)
class _Reader:
    """Reads one option after another; notes each fault and returns something usable."""

    words: CutWords
    units: Unit
    faults: list[Fault] = field(default_factory=list)

    def length(self, name: str, unsaid: float, most: int = _WIDEST_MM) -> float:
        text = getattr(self.words, name)
        return unsaid if text is None else self._mm(name, text, most)

    def prefer(self, unsaid: tuple[Preference, ...]) -> tuple[Preference, ...]:
        text = self.words.prefer
        if text is None:
            return unsaid
        words = tuple(word.strip() for word in text.split(","))
        if not set(words) <= set(PREFERENCES) or len(set(words)) < len(words):
            self._fault("prefer", f"{text[:60]!r} cannot be used; write some of {', '.join(PREFERENCES)}, each once")
            return unsaid
        return cast(tuple[Preference, ...], words)

    def shop(self) -> Shop | None:
        """Return the shop, None when nothing is said of one."""
        words = self.words
        said = [option for option in words.said() if option.startswith("--shop") or option == "--car"]
        if words.shop_cuts is None:
            for option in said:
                self._fault(option.removeprefix("--"), "is about the shop; say also how often it cuts: --shop-cuts 2")
            return None
        made = Shop(cuts=0)
        shop = Shop(
            cuts=self._cuts(words.shop_cuts),
            narrowest=self.length("shop_narrowest", made.narrowest, _LONGEST_MM),
            kerf=self.length("shop_kerf", made.kerf),
            tolerance=self.length("shop_tolerance", made.tolerance),
            trim=self.length("shop_trim", made.trim),
            car=self._car(),
        )
        if shop.trim < shop.tolerance:
            text = f"{shop.trim:g} mm is less than the shop's tolerance of {shop.tolerance:g} mm; trim at least as much"
            self._fault("shop-trim", text)
        return shop

    def _cuts(self, text: str) -> int:
        if not text.isascii() or not text.strip().isdigit() or int(text.strip()[:9]) > _MOST_CUTS:
            self._fault("shop-cuts", f"{text[:30]!r} is not a number of cuts; write a whole number up to {_MOST_CUTS}")
            return 0
        return int(text)

    def _car(self) -> tuple[float, float] | None:
        text = self.words.car
        if text is None:
            return None
        sides = text.replace("×", "x").split("x")
        if len(sides) != 2:  # noqa: PLR2004 (length and width)
            self._fault("car", f"{text[:60]!r} is not a size; write length and width, such as 1250x950")
            return None
        length, width = (self._mm("car", side, _LONGEST_MM) for side in sides)
        if not (length and width):
            self._fault("car", f"{text[:60]!r} is not a size; both sides must be more than zero")
        return length, width

    def _mm(self, name: str, text: str, most: int) -> float:
        try:
            value = float(parse_length(text, self.units))
        except ValueError as error:
            self._fault(name, str(error))
            return 0.0
        if not 0 <= value <= most:
            self._fault(name, f"{text!r} is not between 0 and {most} mm")
        return value

    def _fault(self, name: str, text: str) -> None:
        self.faults.append(Fault("cut", 0, 0, f"--{name.replace('_', '-')}", text))
