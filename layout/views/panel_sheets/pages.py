"""Cards onto pages: those of one scale together, row after row, as many to a page as have room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from layout.drawing.lines import line
from layout.drawing.model import NARROW, SMALL_TEXT, Drawing, Mark, Pen
from layout.drawing.text_width import Box, inside, overlap
from layout.drawing.title_block import fitted, sheet_marks, sheet_room
from layout.model.worked import Alike
from layout.views.options import ViewOptions
from layout.views.panel_sheets.card import NARROWEST, panel_card
from layout.views.panel_sheets.marked import Card
from layout.views.panel_sheets.words import Words

TITLE = "panels"
_SCALES = (2, 5, 10, 20, 50)
_GAP = 9.0
# The share of the page's room that a panel's outline may take, across and up: with the first more goes on a page.
_SHARES = ((0.42, 0.32), (0.62, 0.5), (0.9, 0.62))
# The smallest scale that small panels are drawn at for the sake of large ones.
_SMALLEST = 10
_LEGEND_ROOM = 10.0
LEGENDS = (
    "Distances run from the left end and from the lower edge; 30 | 45 is 30 from the left end and 45 up. Hatched: cut "
    "into this face, dashed: on the other face or lying there loose, thick bar: edge band, double arrow: grain",
    "+ screw hole, o block, circle with cross: hole right through, black dot: hole not through, square: put on here",
)
Said = tuple[Alike, str]
Sized = tuple[int, Card]


@dataclass(kw_only=True)
class _Page:
    """A page being filled: cards with the place of their low left corner."""

    scale: int
    cards: list[tuple[Card, float, float]]


def panel_pages(panels: Sequence[Alike], words: Words) -> tuple[Drawing, ...]:
    """Return every panel once, several to a page, at the largest scale of a few standard ones that suits its size.

    Pages are in the order of the scales, the largest panels first, and say how they are read.
    """
    x0, y0, x1, y1 = sheet_room(words.options.page)
    room = (x0 + 2, y0 + _LEGEND_ROOM, x1 - 2, y1 - 3)
    said = tuple(zip(panels, way_words(panels), strict=True))
    plans = [_paged([_card(one, way, words, room, share) for one, way in said], room) for share in _SHARES]
    plans += [_paged(cards, room) for scale in _SCALES if (cards := _at_one(said, words, room, scale))]
    pages = min(plans, key=lambda pages: (len(pages), sum(page.scale for page in pages))) if panels else []
    return tuple(_sheet(page, i, len(pages), words.options) for i, page in enumerate(pages))


def _at_one(said: Sequence[Said], words: Words, room: Box, scale: int) -> list[Sized]:
    """Return all cards at one scale; none where one of them has no room, or the scale is too small."""
    if scale > _SMALLEST:
        return []
    wide, high = room[2] - room[0], room[3] - room[1]
    cards = [panel_card(one, way, scale, words, NARROWEST) for one, way in said]
    return [(scale, card) for card in cards] if all(c.width <= wide and c.height <= high for c in cards) else []


def _paged(cards: Sequence[Sized], room: Box) -> list[_Page]:
    return [page for scale in _SCALES for page in _filled([c for s, c in cards if s == scale], scale, room)]


def way_words(panels: Sequence[Alike]) -> tuple[str, ...]:
    """Return for each group which of several ways of working one part of the cut list it is; empty for the only one."""
    names = [tuple(dict.fromkeys(work.part for work in one.every)) for one in panels]
    total: dict[str, int] = {}
    for group in names:
        for name in group:
            total[name] = total.get(name, 0) + 1
    seen: dict[str, int] = {}
    told = []
    for group in names:
        most = max(group, key=lambda name: total[name])
        for name in group:
            seen[name] = seen.get(name, 0) + 1
        told.append(f", way {seen[most]} of {total[most]}" if total[most] > 1 else "")
    return tuple(told)


def _card(one: Alike, way: str, words: Words, room: Box, share: tuple[float, float]) -> Sized:
    """Return the card at the first scale at which its outline suits and the whole of it has room."""
    wide, high = room[2] - room[0], room[3] - room[1]
    size = one.first.length, one.first.width
    card, scale = None, _SCALES[-1]
    for scale in _SCALES:
        if size[0] / scale > wide * share[0] or size[1] / scale > high * share[1]:
            continue
        card = panel_card(one, way, scale, words, NARROWEST)
        if card.width > wide or card.height > high:
            # Notes in longer lines take less height.
            card = panel_card(one, way, scale, words, wide)
        if card.width <= wide and card.height <= high:
            return scale, card
    return scale, card or panel_card(one, way, scale, words, wide)


def _filled(cards: Sequence[Card], scale: int, room: Box) -> list[_Page]:
    """Return the cards on pages, the highest first, each as far up and then as far left as it goes."""
    pages: list[_Page] = []
    for card in sorted(cards, key=lambda card: -card.height):
        for page in pages:
            spot = _spot(card, page, room)
            if spot is not None:
                page.cards.append((card, *spot))
                break
        else:
            pages.append(_Page(scale=scale, cards=[(card, room[0], room[3] - card.height)]))
    return pages


def _spot(card: Card, page: _Page, room: Box) -> tuple[float, float] | None:
    """Return the low left corner of the highest free place for a card, the leftmost of equal ones."""
    xs = [room[0], *(x + other.width + _GAP for other, x, _ in page.cards)]
    tops = [room[3], *(y - _GAP for _, _, y in page.cards)]
    places = [(x, top - card.height) for top in sorted(tops, reverse=True) for x in sorted(xs)]
    return next((place for place in places if _has_room(card, place, page, room)), None)


def _has_room(card: Card, place: tuple[float, float], page: _Page, room: Box) -> bool:
    box = (*place, place[0] + card.width, place[1] + card.height)
    others = [(x, y, x + other.width, y + other.height) for other, x, y in page.cards]
    return inside(box, room) and not any(overlap(box, other, _GAP - _HAIR) for other in others)


_HAIR = 1e-6


def _sheet(page: _Page, i: int, pages: int, options: ViewOptions) -> Drawing:
    paper = options.page
    title = f"{TITLE}, page {i + 1} of {pages}" if pages > 1 else TITLE
    said = replace(options, sheet=i + 1, sheets=pages)
    x0, y0, x1, _ = sheet_room(paper)
    marks: list[Mark] = list(sheet_marks(paper, said.block(title, page.scale)))
    for row, legend in enumerate(reversed(LEGENDS)):
        low = y0 + 0.5 + 4.2 * row
        marks.append(fitted("notes", legend, (x0 + 2, low, x1 - 2, low + 4.0), SMALL_TEXT))
    for card, x, y in page.cards:
        marks += card.at(x, y)
        marks.append(line("frames", (x, y + card.height + 1.2), (x + card.width, y + card.height + 1.2),
                          pen=Pen(width=NARROW)))  # fmt: skip
    return Drawing(
        name=f"panels-{i + 1}", title=title, width=paper.width, height=paper.height, scale=page.scale,
        marks=tuple(marks),
    )  # fmt: skip
