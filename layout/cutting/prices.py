"""Prices as whole numbers, so that sums are exact, and the number of sheets as their smallest digit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from layout.cutting.values import Opening
from layout.model.cutting import Stock

_FINEST = 10**6
_DEAREST = 10**11


@dataclass(frozen=True, kw_only=True, slots=True)
class Prices:
    """Prices of stocks in units of `unit`: whole numbers; all 1 when nothing has a price.

    `ranked` orders plans by cost and then by the number of sheets: price × `sheets` + 1 for a sheet.
    """

    stocks: tuple[Stock, ...]
    unit: Fraction
    whole: tuple[int, ...]
    sheets: int

    @property
    def ranked(self) -> tuple[int, ...]:
        """Return the prices with the sheet as the smallest digit."""
        return tuple(price * self.sheets + 1 for price in self.whole)

    @property
    def left(self) -> tuple[int | None, ...]:
        """Return how many sheets of each stock there are."""
        return tuple(stock.count for stock in self.stocks)

    @property
    def counts_sheets(self) -> bool:
        """Return whether nothing has a price, so that a sheet costs 1."""
        return all(stock.price == 0 for stock in self.stocks)

    def rank(self, cost: int, sheets: int) -> int:
        """Return the number that orders plans of a whole `cost` on so many sheets."""
        return cost * self.sheets + sheets

    def money(self, whole: int) -> float:
        """Return a cost in the currency of the stocks."""
        return 0.0 if self.counts_sheets else float(whole * self.unit)


def prices_of(openings: Sequence[Opening], pieces: int) -> Prices:
    """Return the prices of the stocks that the openings are of, in their order."""
    stocks = tuple({id(opening.stock): opening.stock for opening in openings}.values())
    exact = [Fraction(stock.price).limit_denominator(_FINEST) for stock in stocks]
    if not any(exact):
        return Prices(stocks=stocks, unit=Fraction(1), whole=(1,) * len(stocks), sheets=pieces + 1)
    common = math.lcm(*(price.denominator for price in exact))
    numbers = [int(price * common) for price in exact]
    unit = Fraction(math.gcd(*numbers), common)
    whole = [int(price / unit) for price in exact]
    # Prices that share no unit of a sensible size are rounded for the search; costs stay exact.
    if max(whole) > _DEAREST:
        unit *= -(-max(whole) // _DEAREST)
        whole = [int(price / unit) for price in exact]
    return Prices(stocks=stocks, unit=unit, whole=tuple(whole), sheets=pieces + 1)


def stock_numbers(openings: Sequence[Opening], prices: Prices) -> tuple[int, ...]:
    """Return for every opening the number of its stock."""
    place = {id(stock): k for k, stock in enumerate(prices.stocks)}
    return tuple(place[id(opening.stock)] for opening in openings)
