"""A panel's card: heading, facts, the figure, its notes, and the offsets of its edges that are not straight."""

from __future__ import annotations

from math import ceil

from layout.drawing.lines import line
from layout.drawing.model import NARROW, SMALL_TEXT, TEXT, Mark, Pen, Text
from layout.drawing.text_width import text_width, wrap
from layout.model.worked import Alike, EdgeTable, Work
from layout.views.panel_sheets.figure import PanelFigure
from layout.views.panel_sheets.marked import Card
from layout.views.panel_sheets.words import SIDES, Words, face_words, facts, heading

LAYER = "notes"
NARROWEST = 88.0
_PITCH, _HEAD_PITCH = 4.2, 5.6
_INDENT = 6.0
_ROW = 4.0
_COLUMN = 34.0


def panel_card(alike: Alike, way: str, scale: int, words: Words, least: float) -> Card:
    """Return the card of panels that are made alike, at 1:`scale`, at least `least` mm wide."""
    figure = PanelFigure(work=alike.first, scale=scale, words=words)
    drawn, notes = figure.drawn()
    width = max(figure.width, least)
    head = _text(wrap(heading(alike, way), width, TEXT), TEXT, _HEAD_PITCH)
    told = (*facts(alike, way, words), face_words(alike))
    sub = _text([piece for said in told for piece in wrap(said, width, SMALL_TEXT)], SMALL_TEXT, _PITCH)
    below = [*notes, *(("", said) for said in alike.first.loose)]
    foot = [_notes(below, width), *(offsets_card(alike.first, table, width, words) for table in alike.first.tables)]
    figure_card = Card(width=figure.width, height=figure.height, marks=drawn)
    return _stacked([head, sub, figure_card, *foot], width)


def _stacked(cards: list[Card], width: float) -> Card:
    height = sum(card.height for card in cards)
    y, marks = height, list[Mark]()
    for card in cards:
        y -= card.height
        marks += card.at(0.0, y)
    return Card(width=width, height=height, marks=tuple(marks))


def _text(lines: list[str] | tuple[str, ...], height: float, pitch: float) -> Card:
    high = len(lines) * pitch
    marks = tuple(
        Text(layer=LAYER, at=(0.0, high - i * pitch - height - 0.6), text=said, height=height)
        for i, said in enumerate(lines)
    )
    return Card(width=max((text_width(said, height) for said in lines), default=0.0), height=high, marks=marks)


def _notes(notes: list[tuple[str, str]], width: float) -> Card:
    """Return the notes, each with its letter before its first line, in columns where the card is wide."""
    columns = max(1, int(width / NARROWEST))
    wide = width / columns
    blocks = [
        [(letter if i == 0 else "", piece) for i, piece in enumerate(wrap(said, wide - _INDENT - 2, SMALL_TEXT))]
        for letter, said in notes
    ]
    filled = _in_columns(blocks, columns)
    high = max((len(rows) for rows in filled), default=0) * _PITCH
    marks: list[Mark] = []
    for column, rows in enumerate(filled):
        for i, (letter, said) in enumerate(rows):
            x, y = column * wide, high - i * _PITCH - SMALL_TEXT - 0.6
            if letter:
                marks.append(Text(layer=LAYER, at=(x + _INDENT - 1.5, y), text=letter, height=SMALL_TEXT, anchor="end"))
            marks.append(Text(layer=LAYER, at=(x + _INDENT, y), text=said, height=SMALL_TEXT))
    return Card(width=width, height=high, marks=tuple(marks))


Block = list[tuple[str, str]]


def _in_columns(blocks: list[Block], columns: int) -> list[Block]:
    """Return the blocks in columns of about the same height, none parted."""
    rows = max([len(block) for block in blocks], default=0)
    while True:
        filled: list[Block] = [[]]
        for block in blocks:
            if len(filled[-1]) + len(block) > rows and filled[-1]:
                filled.append([])
            filled[-1] += block
        if len(filled) <= columns:
            return filled
        rows += 1


def offsets_card(work: Work, table: EdgeTable, width: float, words: Words, least: int = 1) -> Card:
    """Return the offsets of an edge in columns, of at least `least` rows: place along the line, distance from it."""
    head = _text(wrap(table_title(work, table, words), width, SMALL_TEXT), SMALL_TEXT, _PITCH)
    columns = max(1, int(width / _COLUMN))
    rows = max(ceil(len(table.rows) / columns), min(least, len(table.rows)))
    high = (rows + 1) * _ROW + 3.5
    marks: list[Mark] = []
    for i, (at, off) in enumerate(table.rows):
        x, y = (i // rows) * _COLUMN, high - (i % rows + 2) * _ROW - 1.4
        marks += _cells(x, y, (words.fine(at), words.fine(off)))
    for column in range(ceil(len(table.rows) / rows)):
        x = column * _COLUMN
        marks += _cells(x, high - _ROW, ("at", "offset"))
        marks.append(line(LAYER, (x, high - _ROW - 1.0), (x + _COLUMN - 4, high - _ROW - 1.0), pen=Pen(width=NARROW)))
    return _stacked([head, Card(width=width, height=high, marks=tuple(marks))], width)


def _cells(x: float, y: float, texts: tuple[str, str]) -> list[Mark]:
    half = (_COLUMN - 4) / 2
    return [
        Text(layer=LAYER, at=(x + half * (i + 1), y), text=said, height=SMALL_TEXT, anchor="end")
        for i, said in enumerate(texts)
    ]


def table_title(work: Work, table: EdgeTable, words: Words) -> str:
    """Return what an offset table says: from which line, along which way, of which edge."""
    along = table.along == "length"
    start, low, high = ("left end", "lower edge", "upper edge") if along else ("lower edge", "left end", "right end")
    size = work.width if along else work.length
    base = f"a line {words.fine(table.base)} from the {low}"
    base = f"the {low}" if abs(table.base) < _HAIR else f"the {high}" if abs(table.base - size) < _HAIR else base
    under = "" if table.whole else " It has an undercut: use the template."
    return (
        f"{SIDES[table.side]}: offsets from {base}, at distances from the {start}; "
        f"two rows at one place are a step; straight between rows.{under}"
    )


_HAIR = 0.01
