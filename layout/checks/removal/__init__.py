"""Removal orders: what must be taken out of the space before a thing can be, and through which door it comes.

A thing moves by itself, without being turned: lifted, lowered and slid. It moves as the box round it; all
that it moves past counts with its exact outline, a wheel well's round top as wide as at the foot of what passes
it. Finding the fewest to take out is exact: `order` searches sets, `judge` says which thing gets out when which
others are gone, `quick` finds plain ways and `explore` all ways through the places of a `body`.
"""

from layout.checks.removal.removals import ROOM, Removal, Removals
from layout.checks.removal.room import OpenRoom

__all__ = ["ROOM", "OpenRoom", "Removal", "Removals"]
