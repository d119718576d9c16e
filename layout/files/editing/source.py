"""The text of a file: its lines, its comments, its nodes, and what of a stretch must be kept when the rest goes."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from functools import cached_property

from layout.files.editing.tree import Node, parsed

# What YAML takes for the end of a line.
BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
_BLANKS = re.compile(r"[ \t]*")
_USUAL_STEP = 2


class Source:
    """A text that has been read without a fault, with what splicing asks of it; all places count signs from 0."""

    def __init__(self, text: str) -> None:
        self.text = text
        breaks = [found.span() for found in BREAK.finditer(text)]
        self.line_ends = [*(start for start, _ in breaks), len(text)]
        self.line_starts = [0, *(end for _, end in breaks)]
        self.newline = text[slice(*breaks[0])] if breaks else "\n"
        found = parsed(text)
        self.root, self.texts, self.end = found.root, found.texts, found.end
        self.comments = self._comments()

    def _comments(self) -> list[tuple[int, int]]:
        """Return the span of every comment: a number sign between the written texts begins one."""
        found: list[tuple[int, int]] = []
        at = 0
        for start, end in [*((node.start, node.end) for node in self.texts), (len(self.text), len(self.text))]:
            while (at := self.text.find("#", at, start)) >= 0:
                found.append((at, self.line_end(at)))
                at = found[-1][1]
            at = end
        return found

    def said(self) -> list[str]:
        """Return what the comments say, in order."""
        return [self.text[start:end] for start, end in self.comments]

    def line(self, at: int) -> int:
        """Return the number of the line, from 0."""
        return bisect_right(self.line_starts, at) - 1

    def line_start(self, at: int) -> int:
        """Return where the line begins."""
        return self.line_starts[self.line(at)]

    def line_end(self, at: int) -> int:
        """Return where the line ends, before its break."""
        return self.line_ends[self.line(at)]

    def column(self, at: int) -> int:
        """Return the column, from 0."""
        return at - self.line_start(at)

    def indent(self, at: int) -> str:
        """Return the blanks that the line begins with."""
        found = _BLANKS.match(self.text, self.line_start(at), at)
        return found.group() if found else ""

    def begins_line(self, at: int) -> bool:
        """Return whether only blanks stand before in the line."""
        return self.line_start(at) + len(self.indent(at)) == at

    def comments_in(self, start: int, end: int) -> list[tuple[int, int]]:
        """Return the comments that begin in a stretch."""
        return self.comments[bisect_left(self.comments, (start, -1)) : bisect_left(self.comments, (end, -1))]

    def text_before(self, at: int) -> Node | None:
        """Return the last written text, key or value, that begins before a place."""
        found = bisect_left(self.texts, at, key=lambda node: node.start)
        return self.texts[found - 1] if found else None

    def below_comments(self, at: int, column: int) -> int:
        """Return the end of the line of `at`, or of the last comment right below it that is indented by `column`."""
        line = self.line(at)
        while line + 1 < len(self.line_starts):
            start = self.line_starts[line + 1]
            blanks = len(_BLANKS.match(self.text, start).group())  # type: ignore[union-attr]  # it matches nothing too
            if blanks < column or self.text[start + blanks : start + blanks + 1] != "#":
                break
            line += 1
        return self.line_ends[line]

    @cached_property
    def step(self) -> int:
        """Return how far the file indents: that of its first block mapping within the top one, or 2."""
        for key, value in self.root.entries if not self.root.flow else ():
            if value.kind == "group" and not value.flow and not value.sign:
                return max(self.column(value.start) - self.column(key.start), 1)
        return _USUAL_STEP

    def kept_within(self, start: int, end: int) -> str:
        """Return what stays of a stretch inside brackets that goes: its comments, and the blanks before its end."""
        pieces: list[str] = []
        for comment, stop in self.comments_in(start, end):
            gap = self._gap(comment)
            if not pieces and self.line(comment) == self.line(start):
                close = self.begins_line(start) or self.text[start - 1] in " \t"
                pieces.append(("" if close else gap or " ") + self.text[comment:stop])
            else:
                pieces.append(self.newline + self.indent(comment) + self.text[comment:stop])
        return "".join([*pieces, self.newline, self.indent(end)]) if pieces else ""

    def _gap(self, at: int) -> str:
        start = at
        while start and self.text[start - 1] in " \t":
            start -= 1
        return self.text[start:at]

    def kept_lines(self, start: int, end: int) -> str:
        """Return what stays of whole lines that go: each comment as a line of its own, led by a break."""
        lines = [
            self.newline + self.indent(comment) + self.text[comment:stop]
            for comment, stop in self.comments_in(start, end)
        ]
        return "".join(lines)
