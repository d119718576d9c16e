"""The pages of a template: an overview with the offsets, then every page at full size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from layout.drawing.lines import box_points, circle, line, mask, polygon
from layout.drawing.model import NARROW, SMALL_TEXT, SMALLEST_TEXT, TEXT, WIDE, Drawing, Mark, Path, Pen, Point, Text
from layout.drawing.paper import Orientation
from layout.drawing.scales import choose_scale
from layout.drawing.text_width import Box, text_box, text_width, wrap
from layout.drawing.title_block import sheet_marks, sheet_room
from layout.model.worked import Alike
from layout.views.options import ViewOptions
from layout.views.panel_sheets.card import offsets_card
from layout.views.panel_sheets.words import Words, heading
from layout.views.templates.tiles import OVERLAP, Tile, Tiling, wants_template

_CUT = 0.7  # mm: the line to cut along
_REGISTER = 5.0  # mm across a register mark
_THIN = Pen(width=NARROW)
_DASHED = Pen(width=NARROW, dash="dashed")
_NAME = 9.0
_LEAST_ROWS = 6
_GREY = 0.92
_PITCH = 4.2
_PICTURE_LEAST = 50.0  # mm of height for the picture of the panel
HOW = (
    "Print at full size (100 %, not fitted to the page) and measure the check length on every page. Cut or fold one of "
    "two neighbours along its dashed line, lay it on the other so that register marks of the same number lie on each "
    "other, and tape. Then check the whole length and width of the panel before cutting."
)


WITHOUT = (
    "This panel has no template: its slanting edges are straight. Mark two of the offsets of each and join them with a "
    "straight edge."
)


def template_pages(panels: Sequence[Alike], ways: Sequence[str], words: Words) -> tuple[Drawing, ...]:
    """Return, for every panel with an edge that is not straight, an overview with offsets and its pages at full size.

    Pages are in the order of the panels, the overview of each before its pages.
    """
    made: list[_Page] = []
    for one, way in zip(panels, ways, strict=True):
        if one.first.tables:
            made += _pages(one, way, words)
    return tuple(_drawing(page, i, len(made)) for i, page in enumerate(made))


def tile_room(options: ViewOptions) -> Box:
    """Return the box of a page that shows the panel at full size, mm of paper."""
    x0, y0, x1, y1 = sheet_room(options.page)
    return x0 + 1, y0 + 1, x1 - 1, y1 - 1


@dataclass(frozen=True, kw_only=True, slots=True)
class _Page:
    """A page before it knows its number."""

    name: str
    title: str
    scale: int
    options: ViewOptions
    marks: tuple[Mark, ...]


def _pages(one: Alike, way: str, words: Words) -> list[_Page]:
    part = f"{one.first.part}{way}"
    options, tiling = _fewest(one, words.options)
    if not wants_template(tiling):
        return _overviews(one, way, None, words)
    made = _overviews(one, way, tiling, words)
    for tile in tiling.tiles:
        title = f"template, {part}, page {tile.name}"
        marks = _tile_marks(tile, part, options)
        made.append(_Page(name=f"template-{part}-{tile.name}", title=title, scale=1, options=options, marks=marks))
    return made


def _fewest(one: Alike, options: ViewOptions) -> tuple[ViewOptions, Tiling]:
    """Return the paper as it lies and the pages on it, upright or not, whichever takes fewer pages."""
    ways: tuple[Orientation, ...] = ("landscape", "portrait")
    found = []
    for way in ways:
        lying = replace(options, orientation=way)
        x0, y0, x1, y1 = tile_room(lying)
        found.append((lying, Tiling(work=one.first, room=(x1 - x0, y1 - y0))))
    return min(found, key=lambda one: len(one[1].tiles))


def _drawing(page: _Page, i: int, pages: int) -> Drawing:
    paper, said = page.options.page, replace(page.options, sheet=i + 1, sheets=pages)
    block = sheet_marks(paper, said.block(page.title, page.scale))
    return Drawing(
        name=page.name.replace(" ", "-").replace(",", ""), title=page.title, width=paper.width, height=paper.height,
        scale=page.scale, marks=(*block, *page.marks),
    )  # fmt: skip


def _tile_marks(tile: Tile, part: str, options: ViewOptions) -> tuple[Mark, ...]:
    room = tile_room(options)
    dx, dy = room[0] - tile.window[0], room[1] - tile.window[1]

    def at(p: Point) -> Point:
        return p[0] + dx, p[1] + dy

    cut = tuple(line("cut", *(at(p) for p in stretch), pen=Pen(width=_CUT), id=part) for stretch in tile.lines)
    inner = tuple(room[i] + (OVERLAP / 2 if i < 2 else -OVERLAP / 2) for i in range(4))  # noqa: PLR2004 (low ends first)
    lap = polygon("lap", box_points((inner[0], inner[1], inner[2], inner[3])), pen=_DASHED)
    register = [mark for name, place in tile.marks for mark in _register(name, at(place), room)]
    area = [
        polygon("panel", tuple(at(p) for p in ring), pen=Pen(width=0.0), fill=_GREY) for ring in tile.areas
    ]  # fmt: skip
    return (*area, lap, *cut, *register, *_named(tile, part, (inner[0], inner[1], inner[2], inner[3]), cut))


def _register(name: str, at: Point, room: Box) -> list[Mark]:
    """Return a cross in a circle with its number toward the middle of the page; the cross is named by the number."""
    (x, y), half = at, _REGISTER / 2
    inward = 1 if x < (room[0] + room[2]) / 2 else -1
    up = 1 if y < (room[1] + room[3]) / 2 else -1
    low = y + 3.2 if up > 0 else y - 3.2 - SMALL_TEXT
    words = Text(
        layer="register", at=(x + inward * 1.2, low), text=name, anchor="start" if inward > 0 else "end"
    )  # fmt: skip
    return [
        circle("register", at, half - 0.8, fill=None),
        line("register", (x - half, y), (x + half, y), pen=_THIN, id=f"register {name}"),
        line("register", (x, y - half), (x, y + half), pen=_THIN, id=f"register {name}"),
        words,
    ]


def _named(tile: Tile, part: str, inner: Box, cut: Sequence[Path]) -> list[Mark]:
    """Return the page's name and the part's, in a corner or side of the page where the cut line does not pass."""
    lines = [(tile.name, _NAME), (part, TEXT), ("grey is the panel: cut along the thick line", SMALL_TEXT)]
    width = max(text_width(said, height) for said, height in lines)
    high = _NAME + TEXT + SMALL_TEXT + 9.0
    spots = [
        (inner[0] + 14 + (inner[2] - inner[0] - 28 - width) * i, inner[1] + 12 + (inner[3] - inner[1] - 24 - high) * j)
        for j in (0.5, 1.0, 0.0, 0.25, 0.75)
        for i in (0.5, 0.0, 1.0, 0.25, 0.75)
    ]
    free = (s for s in spots if not _crossed((s[0] - 3, s[1] - 3, s[0] + width + 3, s[1] + high + 3), cut))
    x, y = next(free, spots[0])
    marks: list[Mark] = []
    level = y + high - _NAME
    for said, height in lines:
        marks.append(Text(layer="page name", at=(x, level), text=said, height=height))
        level -= height + 5.0
    return marks


def _crossed(box: Box, cut: Sequence[Path]) -> bool:
    import shapely

    area = shapely.box(*box)
    return any(shapely.LineString(path.points).intersects(area) for path in cut)


def _overviews(one: Alike, way: str, tiling: Tiling | None, words: Words) -> list[_Page]:
    """Return the panel in small with its pages, how they are put together, and its offsets."""
    x0, y0, x1, y1 = sheet_room(words.options.page)
    left, right, top = x0 + 4, x1 - 4, y1 - 4
    marks: list[Mark] = []
    top = _lines(marks, wrap(heading(one, way), right - left, TEXT), (left, top), TEXT)
    how = f"{HOW} {_straight(tiling)}" if tiling else WITHOUT
    top = _lines(marks, wrap(how, right - left, SMALL_TEXT), (left, top - 1), SMALL_TEXT)
    cards = [offsets_card(one.first, table, right - left, words, _LEAST_ROWS) for table in one.first.tables]
    if sum(card.height + 2 for card in cards) > top - y0 - _PICTURE_LEAST:
        cards = [offsets_card(one.first, table, right - left, words) for table in one.first.tables]
    below = sum(card.height + 2 for card in cards)
    share = top - 4 - y0 - below
    picture, scale, top = _picture(one, tiling, (left, top - 4 - max(share, _PICTURE_LEAST), right, top - 4), words)
    pages: list[list[Mark]] = [[*marks, *picture]]
    for card in cards:
        if top - card.height - 2 < y0:
            pages.append([])
            top = y1 - 4
        top -= card.height + 2
        pages[-1] += card.at(left, top)
    part = f"{one.first.part}{way}"
    return [
        _Page(
            name=f"template-{part}{f'-{i + 1}' if i else ''}", title=f"template, {part}", scale=scale if i == 0 else 1,
            options=words.options, marks=tuple(page),
        )
        for i, page in enumerate(pages)
    ]  # fmt: skip


def _straight(tiling: Tiling) -> str:
    """Return which pages need not be printed where straight edges are marked with a rule."""
    idle = [tile.name for tile in tiling.tiles if tile.straight]
    if not idle or len(idle) == len(tiling.tiles):
        return ""
    return f"Only straight edges along the panel's sides are on {', '.join(idle)}: a rule does for these."


def _lines(marks: list[Mark], lines: Sequence[str], at: Point, height: float) -> float:
    """Add lines of text from a place down; return where they end."""
    x, y = at
    for said in lines:
        y -= height * 1.6
        marks.append(Text(layer="notes", at=(x, y), text=said, height=height))
    return y


def _picture(one: Alike, tiling: Tiling | None, room: Box, words: Words) -> tuple[list[Mark], int, float]:
    """Return the panel in small, its pages over it, the scale, and where it ends."""
    work = one.first
    margin = 10.0
    high = room[3] - room[1] - 9.0
    whole = _extent(tiling) if tiling else (0.0, 0.0, work.length, work.width)
    size = whole[2] - whole[0], whole[3] - whole[1]
    scale = choose_scale(size, (room[2] - room[0] - 2 * margin, high))
    foot = room[3] - size[1] / scale - 2
    ox, oy = room[0] + margin - whole[0] / scale, foot - whole[1] / scale

    def at(p: Point) -> Point:
        return ox + p[0] / scale, oy + p[1] / scale

    marks: list[Mark] = [polygon("panel", tuple(at(p) for p in work.outline), pen=Pen(width=WIDE), id=work.part)]
    for tile in tiling.tiles if tiling else ():
        half = OVERLAP / 2
        (a, b), (c, d) = at((tile.window[0] + half, tile.window[1] + half)), at(
            (tile.window[2] - half, tile.window[3] - half)
        )  # fmt: skip
        marks.append(polygon("pages", box_points((a, b, c, d)), pen=_THIN))
        height = max(SMALLEST_TEXT, min(TEXT, (d - b) / 2, TEXT * (c - a) / (text_width(tile.name, TEXT) + 2)))
        name = Text(
            layer="pages", at=((a + c) / 2, (b + d - height) / 2), text=tile.name, height=height, anchor="middle"
        )  # fmt: skip
        marks += [mask("pages", text_box(name)), name]
    said = f"{words.said(work.length)} × {words.said(work.width)}"
    marks.append(Text(layer="notes", at=(room[0] + margin, foot - 5), text=said, height=SMALL_TEXT))
    return marks, scale, foot - 7


def _extent(tiling: Tiling) -> Box:
    (columns, rows), (u0, v0) = tiling.counts, tiling.start
    u1, v1 = tiling.place(columns, rows)
    return u0, v0, u1, v1
