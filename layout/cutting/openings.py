"""The ways to open a sheet before any part is cut free: its trims, its damage, what the shop saws."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import repeat

from layout.cutting.damage import Cleared, cleared, cleared_plainly, damages, freeing, rectangle
from layout.cutting.fit import said, ways
from layout.cutting.grid import ticks_down, ticks_up
from layout.cutting.shop import Division, least_cuts, shop_divisions
from layout.cutting.shop_choice import Offer, Worth, chosen, worth
from layout.cutting.shop_sides import ShopRules, Side
from layout.cutting.values import Blank, Forced, Kind, Opening
from layout.errors import NotEnoughSheetsError
from layout.model.cutting import CutJob, EdgeTrim, Shop, Stock

_MOST_OPENINGS = 60
# Ways around damage: of a whole sheet, and of a piece that the shop sawed.
_MOST_AROUND, _MOST_AROUND_PIECE = 24, 2
# Only the best of the shop's openings are offered with a second way around the damage.
_MOST_SECOND = 12

Trims = tuple[int, int, int, int]
"""What is taken off the left, right, bottom and top edge, in ticks."""


def openings(job: CutJob, material: str) -> tuple[Opening, ...]:
    """Return every way to open the sheets of a material that can be had; those of one stock follow each other.

    A plain sheet has one. A damaged one has one for each sensible way to cut around the damage. One that the
    shop opens has about 60 at most, those that suit the parts of the job. A sheet on hand from an earlier job
    (`Stock.offcut`) is at home already: the shop and the car do not matter to it.

    Raises
    ------
    NotEnoughSheetsError
        When there is none: no sheet of the material, or none that gets into the car with the cuts allowed.
    """
    offered = [stock for stock in job.stocks if stock.material == material and stock.count != 0]
    found = tuple(opening for stock in offered for opening in _of(stock, job))
    if not found:
        pieces = sum(part.count for part in job.parts if part.material == material)
        raise NotEnoughSheetsError(f"{pieces} pieces are to be cut from {material!r}, but {_why(job, material)}")
    return found


def trims(job: CutJob, stock: Stock) -> Trims:
    """Return what is taken off the left, right, bottom and top edge of a sheet, in ticks, rounded up."""
    trim = stock.trim or EdgeTrim(left=job.trim, right=job.trim, bottom=job.trim, top=job.trim)
    return ticks_up(trim.left), ticks_up(trim.right), ticks_up(trim.bottom), ticks_up(trim.top)


def _why(job: CutJob, material: str) -> str:
    listed = [stock for stock in job.stocks if stock.material == material]
    offered = [stock for stock in listed if stock.count != 0]
    if job.shop and job.shop.car and offered:
        return _not_carried(job.shop, ShopRules.of(job.shop, job), offered)
    return f"{'every sheet of it has the count 0' if listed else 'no sheet of it is listed'}; add a sheet"


def _not_carried(shop: Shop, rules: ShopRules, offered: list[Stock]) -> str:
    """Say what the car takes, and for each sheet how many cuts would do."""
    car = f"{said(max(shop.car or (0,)))} × {said(min(shop.car or (0,)))} mm"
    does = []
    for stock in offered:
        least = least_cuts(ticks_down(stock.length), ticks_down(stock.width), rules)
        sheet = f"{stock.name!r} ({said(stock.length)} × {said(stock.width)} mm)"
        least_said = f"no number of cuts does while no piece may be narrower than {said(shop.narrowest)} mm"
        does.append(f"for {sheet} {least_said if least is None else f'{least} would do'}")
    return (
        f"the car takes {car} and the shop makes at most {shop.cuts} cut{'s' * (shop.cuts != 1)} a sheet, which gets"
        f" no sheet into the car; {', '.join(does)}. Allow more cuts, find a larger car or buy smaller sheets"
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Sheet:
    """A sheet that is to be opened; lengths in ticks. What is known of its pieces is kept while it is."""

    stock: Stock
    length: int
    width: int
    trims: Trims
    kerf: int
    damage: tuple[Blank, ...]
    useful: Callable[[Blank], bool]
    known: dict[tuple[Blank, int], tuple[Cleared, ...]] = field(default_factory=dict)

    def at_home(self, piece: Blank, inner: int, most: int) -> tuple[Cleared, ...]:
        """Return the ways to trim a piece and to cut around its damage; sawn edges are trimmed by `inner` ticks."""
        key = (piece, most)
        if key not in self.known:
            trim = self._trims(piece, inner)
            self.known[key] = tuple(
                Cleared(blanks=way.blanks, forced=_trimmed(piece, trim, self.kerf, way.forced), cuts=way.cuts)
                for way in self._cleared(_trimmed_off(piece, trim), most)
            )
        return self.known[key]

    def freed(self, whole: Blank, kind: Kind) -> list[Opening]:
        """Return an opening that frees one place for a part from a sheet; none when there is no such place."""
        within = _trimmed_off(whole, self.trims)
        every = tuple(map(rectangle, self.stock.damage))
        ways = (freeing(within, every, self.kerf, way.length, way.width) for way in kind.ways)
        way = next((way for way in ways if way), None)
        if way is None:
            return []
        return [_opening(self, way.blanks, _trimmed(whole, self.trims, self.kerf, way.forced))]

    def _trims(self, piece: Blank, inner: int) -> Trims:
        left, right, bottom, top = self.trims
        return (
            inner if piece.x else left,
            inner if piece.x + piece.length < self.length else right,
            inner if piece.y else bottom,
            inner if piece.y + piece.width < self.width else top,
        )

    def _cleared(self, blank: Blank, most: int) -> tuple[Cleared, ...]:
        if min(blank.length, blank.width) <= 0:
            return (Cleared(blanks=()),)
        if most == 1:
            return (cleared_plainly(blank, self.damage, self.kerf, self.useful),)
        return cleared(blank, self.damage, self.kerf, self.useful, most)


def _of(stock: Stock, job: CutJob) -> tuple[Opening, ...]:
    kinds = _kinds(job, stock.material)
    least, all_ways = ticks_up(job.smallest_offcut), [way for kind in kinds for way in kind.ways]
    sheet = _Sheet(
        stock=stock,
        length=ticks_down(stock.length),
        width=ticks_down(stock.width),
        trims=trims(job, stock),
        kerf=ticks_up(job.kerf),
        damage=damages(stock.damage),
        useful=lambda blank: min(blank.length, blank.width) >= max(1, least) or any(map(blank.holds, all_ways)),
    )
    if job.shop is None or stock.offcut:
        return _home_openings(sheet, kinds)
    return _shop_openings(sheet, ShopRules.of(job.shop, job), worth(kinds, sheet.kerf))


def _kinds(job: CutJob, material: str) -> tuple[Kind, ...]:
    parts = (part for part in job.parts if part.material == material)
    return tuple(Kind(name=part.name, ways=ways(part), count=part.count) for part in parts)


def _home_openings(sheet: _Sheet, kinds: tuple[Kind, ...]) -> tuple[Opening, ...]:
    """Return the ways to open a sheet at home; at least one, which says what there would be when nothing is left."""
    whole = Blank(x=0, y=0, length=sheet.length, width=sheet.width)
    found = [_opening(sheet, way.blanks, way.forced) for way in sheet.at_home(whole, 0, _MOST_AROUND) if way.blanks]
    for kind in kinds if sheet.damage else ():
        # Much damage is taken together, which may leave out the one place for a large part.
        if not any(map(_holds, found, repeat(kind))):
            found += sheet.freed(whole, kind)
    return tuple(found) or (_opening(sheet, (), None),)


def _shop_openings(sheet: _Sheet, rules: ShopRules, of: Worth) -> tuple[Opening, ...]:
    """Return the ways for the shop to open a sheet that suit the parts; none when it does not get into the car."""
    found = list(_suited(sheet, rules, of, _MOST_OPENINGS))
    for kind in of.kinds if found else ():
        # A part of which little is wanted must be had too, though it had no say in the choice.
        if not any(map(_holds, found, repeat(kind))):
            found += [each for each in _suited(sheet, rules, worth([kind], of.kerf), 1) if _holds(each, kind)]
    return tuple(dict.fromkeys(found))


def _holds(opening: Opening, kind: Kind) -> bool:
    return any(map(opening.holds, kind.ways))


def _suited(sheet: _Sheet, rules: ShopRules, of: Worth, most: int) -> tuple[Opening, ...]:
    """Return at most `most` openings chosen for the parts that `of` knows."""

    def blanks(piece: Blank) -> tuple[Blank, ...]:
        return sheet.at_home(piece, rules.trim, 1)[0].blanks

    divided = shop_divisions(_sides(sheet, of), rules, lambda piece: of.of(blanks(piece)))
    offers = [_offer(division, rules, of, blanks) for division in divided]
    second = min(_MOST_SECOND, most - 1) if sheet.damage else 0
    # Where no part fits the largest piece is offered, so that the error can say how large it is.
    picked = chosen(offers, of, most - second) or tuple(sorted(offers, key=_largest)[-1:])
    found = [_opened(sheet, offer.division, rules, 1) for offer in picked]
    found += [_opened(sheet, offer.division, rules, _MOST_AROUND_PIECE) for offer in picked[:second]]
    return tuple(dict.fromkeys(found))


def _sides(sheet: _Sheet, of: Worth) -> tuple[Side, Side]:
    left, right, bottom, top = sheet.trims
    all_ways = [way for kind in of.kinds for way in kind.ways]
    lengths = tuple(dict.fromkeys(way.length for way in all_ways))
    widths = tuple(dict.fromkeys(way.width for way in all_ways))
    return (
        Side(size=sheet.length, low=left, high=right, parts=lengths),
        Side(size=sheet.width, low=bottom, high=top, parts=widths),
    )


def _offer(division: Division, rules: ShopRules, of: Worth, blanks_of: Callable[[Blank], tuple[Blank, ...]]) -> Offer:
    blanks = tuple(blank for piece in division.pieces(rules.kerf) for blank in blanks_of(piece))
    return Offer(division=division, blanks=blanks, values=of.of(blanks))


def _largest(offer: Offer) -> int:
    return max((blank.length * blank.width for blank in offer.blanks), default=0)


def _opened(sheet: _Sheet, division: Division, rules: ShopRules, most: int) -> Opening:
    """Return a sheet as the shop divides it, each piece cleared of damage in the last of at most `most` ways."""
    taken = {piece: sheet.at_home(piece, rules.trim, most)[-1] for piece in division.pieces(rules.kerf)}
    blanks = tuple(blank for found in taken.values() for blank in found.blanks)
    forced = division.forced(rules.kerf, {piece: found.forced for piece, found in taken.items()})
    return _opening(sheet, blanks, forced)


def _opening(sheet: _Sheet, blanks: tuple[Blank, ...], forced: Forced | None) -> Opening:
    whole = blanks or (Blank(x=0, y=0, length=0, width=0),)
    return Opening(stock=sheet.stock, length=sheet.length, width=sheet.width, blanks=whole, forced=forced)


def _trimmed_off(piece: Blank, trim: Trims) -> Blank:
    left, right, bottom, top = trim
    length, width = piece.length - left - right, piece.width - bottom - top
    return Blank(x=piece.x + left, y=piece.y + bottom, length=length, width=width)


def _trimmed(piece: Blank, trim: Trims, kerf: int, within: Forced | None) -> Forced | None:
    """Return the cuts that trim a piece, left, right, bottom, top, and then what is forced on what is within."""
    left, right, bottom, top = trim
    if min(piece.length - left - right, piece.width - bottom - top) <= 0:
        return None
    forced = within
    if top:
        forced = Forced(axis=1, at=piece.width - bottom - top, kerf=min(kerf, top), low=forced)
    if bottom:
        forced = Forced(axis=1, at=max(0, bottom - kerf), kerf=min(kerf, bottom), high=forced)
    if right:
        forced = Forced(axis=0, at=piece.length - left - right, kerf=min(kerf, right), low=forced)
    if left:
        forced = Forced(axis=0, at=max(0, left - kerf), kerf=min(kerf, left), high=forced)
    return forced
