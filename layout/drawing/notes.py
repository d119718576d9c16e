"""A numbered list in columns at the foot of a drawing."""

from __future__ import annotations

from layout.drawing.model import SMALL_TEXT, SMALLEST_TEXT, Mark, Text
from layout.drawing.text_width import Box, text_width, wrap

LAYER = "notes"
_COLUMN = 82.0
_INDENT = 6.0
_PITCH = 1.7


def notes_height(notes: list[str], width: float) -> float:
    """Return the height in mm that the list needs in full at its normal size, in columns of `width` mm."""
    lines = _lines(notes, width, SMALL_TEXT)
    rows = -(-len(lines) // _columns(width))
    return rows * SMALL_TEXT * _PITCH + 1 if lines else 0.0


def note_marks(notes: list[str], room: Box) -> tuple[Mark, ...]:
    """Return the list in the room; smaller where it must be, and saying how many are left out if any."""
    width, high = room[2] - room[0], room[3] - room[1]
    for height in (SMALL_TEXT, 2.1, SMALLEST_TEXT):
        lines = _lines(notes, width, height)
        rows = int(high / (height * _PITCH))
        if len(lines) <= rows * _columns(width):
            break
    else:
        lines = _cut(notes, width, rows * _columns(width))
    return _in_columns(lines, room, height, max(1, rows))


def _cut(notes: list[str], width: float, places: int) -> list[tuple[str, str]]:
    """Return the lines of as many whole notes as there is room for, and a last line telling the rest."""
    kept = len(notes)
    while kept and len(_lines(notes[:kept], width, SMALLEST_TEXT)) + 1 > places:
        kept -= 1
    return [*_lines(notes[:kept], width, SMALLEST_TEXT), ("", f"and {len(notes) - kept} more: see the report")]


def _columns(width: float) -> int:
    return max(1, int(width / _COLUMN))


def _lines(notes: list[str], width: float, height: float) -> list[tuple[str, str]]:
    run = width / _columns(width) - _INDENT - 4
    lines: list[tuple[str, str]] = []
    for i, note in enumerate(notes):
        pieces = wrap(note, run, height)
        lines += [(str(i + 1) if j == 0 else "", piece) for j, piece in enumerate(pieces)]
    return lines


def _in_columns(lines: list[tuple[str, str]], room: Box, height: float, rows: int) -> tuple[Mark, ...]:
    columns = _columns(room[2] - room[0])
    rows = min(rows, -(-len(lines) // columns)) or 1
    marks: list[Mark] = []
    for i, (number, said) in enumerate(lines):
        x = room[0] + (i // rows) * (room[2] - room[0]) / columns
        y = room[3] - (i % rows + 1) * height * _PITCH + 0.3 * height
        if number:
            end = x + text_width("00", height) + 0.5
            marks.append(Text(layer=LAYER, at=(end, y), text=number, height=height, anchor="end"))
        marks.append(Text(layer=LAYER, at=(x + _INDENT, y), text=said, height=height))
    return tuple(marks)
