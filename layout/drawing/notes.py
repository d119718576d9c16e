"""A keyed list in columns at the foot of a drawing; a note is never parted between columns."""

from __future__ import annotations

from layout.drawing.model import SMALL_TEXT, SMALLEST_TEXT, Mark, Text
from layout.drawing.text_width import Box, text_width, wrap

LAYER = "notes"
_COLUMN = 82.0
_INDENT = 6.0
_PITCH = 1.7
# A column is filled down to here before the next is begun, so that short lists stay together.
_FEW = 5

Line = tuple[str, str]


def notes_height(notes: list[Line], width: float, height: float = SMALL_TEXT) -> float:
    """Return the height in mm that the list needs in full in columns on `width` mm, letters `height` mm high."""
    if not notes:
        return 0.0
    return _rows(_blocks(notes, width, height), _columns(width)) * height * _PITCH + 0.1


def note_marks(notes: list[Line], room: Box) -> tuple[Mark, ...]:
    """Return the list in the room; smaller where it must be, and saying how many are left out if any."""
    width, high = room[2] - room[0], room[3] - room[1]
    for height in (SMALL_TEXT, 2.1, SMALLEST_TEXT):
        blocks = _blocks(notes, width, height)
        if _rows(blocks, _columns(width)) <= _most(high, height):
            return _placed(blocks, room, height)
    return _placed(_cut(notes, width, _most(high, SMALLEST_TEXT)), room, SMALLEST_TEXT)


def _most(high: float, height: float) -> int:
    return int(high / (height * _PITCH))


def _cut(notes: list[Line], width: float, rows: int) -> list[list[Line]]:
    """Return as many whole notes as there is room for, and a last line telling how many are left out."""
    for kept in range(len(notes) - 1, -1, -1):
        more = [("", f"and {len(notes) - kept} more: see the lists")]
        blocks = [*_blocks(notes[:kept], width, SMALLEST_TEXT), more]
        if _rows(blocks, _columns(width)) <= rows:
            return blocks
    # Not even one row is free; whoever draws keeps that from happening for want of a better place.
    return []


def _columns(width: float) -> int:
    return max(1, int(width / _COLUMN))


def _blocks(notes: list[Line], width: float, height: float) -> list[list[Line]]:
    """Return every note as its lines, the first of them with its key."""
    run = width / _columns(width) - _INDENT - 4
    return [[(key if j == 0 else "", piece) for j, piece in enumerate(wrap(note, run, height))] for key, note in notes]


def _rows(blocks: list[list[Line]], columns: int) -> int:
    """Return the smallest number of rows at which the blocks have room in the columns."""
    total = sum(len(block) for block in blocks)
    rows = max([min(_FEW, total), *(len(block) for block in blocks)])
    while len(_filled(blocks, rows)) > columns:
        rows += 1
    return rows


def _filled(blocks: list[list[Line]], rows: int) -> list[list[Line]]:
    columns: list[list[Line]] = [[]]
    for block in blocks:
        if len(columns[-1]) + len(block) > rows and columns[-1]:
            columns.append([])
        columns[-1] += block
    return columns


def _placed(blocks: list[list[Line]], room: Box, height: float) -> tuple[Mark, ...]:
    across = room[2] - room[0]
    pitch, wide = height * _PITCH, across / _columns(across)
    marks: list[Mark] = []
    for i, lines in enumerate(_filled(blocks, _rows(blocks, _columns(across)))):
        x = room[0] + i * wide
        for j, (key, said) in enumerate(lines):
            y = room[3] - (j + 1) * pitch + 0.3 * height
            if key:
                end = x + text_width("00", height) + 0.5
                marks.append(Text(layer=LAYER, at=(end, y), text=key, height=height, anchor="end"))
            marks.append(Text(layer=LAYER, at=(x + _INDENT, y), text=said, height=height))
    return tuple(marks)
