"""The referee's own look at choices of sheets: whether one below a price has room for all parts.

Choices are made sheet size after sheet size. A choice begun is given up when even the cheapest room left over,
sheets taken in any fraction, costs too much for what is still missing; so few are looked at.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

_MOST_CHOICES = 50_000
_BEYOND = 1 << 200


@dataclass(frozen=True, kw_only=True, slots=True)
class Offer:
    """A stock: what a sheet costs, how many there are (None: any number), its room in each kind of points."""

    price: Fraction
    left: int | None
    room: tuple[int, ...]

    def useful(self, missing: Sequence[int]) -> int:
        """Return after how many sheets one more adds nothing that is missing, or there is none left."""
        pairs = zip(missing, self.room, strict=True)
        most = max((-(-need // room) for need, room in pairs if need > 0 and room), default=0)
        return most if self.left is None else min(most, self.left)

    def less(self, missing: Sequence[int], sheets: int) -> tuple[int, ...]:
        """Return what is still missing once so many sheets are taken."""
        return tuple(need - room * sheets for need, room in zip(missing, self.room, strict=True))


def has_choice(offers: Sequence[Offer], wanted: Sequence[int], below: Fraction) -> bool | None:
    """Return whether sheets that cost less than `below` in all have room for `wanted`, a number a kind of points.

    None when there are too many choices to look at.
    """
    if below <= 0:
        return False
    missing = tuple(wanted)
    for offer in offers:
        if offer.price == 0:
            missing = offer.less(missing, offer.useful(missing))
    unit = math.lcm(*(offer.price.denominator for offer in offers))
    # The dearest room first: of that few sheets can be paid, and the cheap room fills up what is missing.
    dear = sorted((each for each in offers if each.price), key=lambda each: each.price / max(1, *each.room))[::-1]
    prices = [int(offer.price * unit) for offer in dear]
    cheapest = [_by_price(dear, prices, k, len(missing)) for k in range(len(dear) + 1)]
    waiting = [(0, missing, math.ceil(below * unit))]
    for _ in range(_MOST_CHOICES):
        if not waiting:
            return False
        k, missing, money = waiting.pop()
        if max(missing, default=0) <= 0:
            return True
        if any(_least_cost(rooms, need) >= money for rooms, need in zip(cheapest[k], missing, strict=True)):
            continue
        most = dear[k].useful(missing)
        for n in range(0 if k + 1 < len(dear) else most, most + 1):
            if n * prices[k] < money:
                waiting.append((k + 1, dear[k].less(missing, n), money - n * prices[k]))
    return None


_Room = tuple[int, int, int | None]
"""The room of a sheet in one kind of points, its price, how many there are."""


def _by_price(offers: Sequence[Offer], prices: Sequence[int], first: int, kinds: int) -> list[list[_Room]]:
    """Return for each kind of points the rooms of the offers from `first` on, the cheapest room first."""
    found = []
    for kind in range(kinds):
        rooms = [(offers[k].room[kind], prices[k], offers[k].left) for k in range(first, len(offers))]
        found.append(sorted((each for each in rooms if each[0]), key=lambda each: Fraction(each[1], each[0])))
    return found


def _least_cost(rooms: Sequence[_Room], need: int) -> int:
    """Return a cost below which `need` points cannot be had; beyond all money when not at all."""
    cost = 0
    for room, price, left in rooms:
        if need <= 0:
            break
        if left is None or left * room >= need:
            return cost - (-need * price // room)
        cost, need = cost + left * price, need - left * room
    return cost if need <= 0 else _BEYOND
