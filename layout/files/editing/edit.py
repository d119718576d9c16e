"""An edit under way: the splices so far, and what had to be refused."""

from __future__ import annotations

from layout.errors import Fault, InputError
from layout.files.editing.defect import EditDefectError
from layout.files.editing.source import Source
from layout.files.editing.tree import Node

Path = tuple[str, ...]


class Edit:
    """Splices of one text, gathered in any order; refusals are gathered too, so that all are told at once."""

    def __init__(self, source: Source, name: str) -> None:
        self.source = source
        self.name = name
        self.splices: list[tuple[int, int, str]] = []
        self.faults: list[Fault] = []
        self.top = 0  # up to where all lines of the file have gone

    def splice(self, start: int, end: int, text: str) -> None:
        """Put `text` in the place of a stretch; of what is put into one place the first comes first."""
        if start != end or text:
            self.splices.append((start, end, text))

    def refuse(self, at: int, path: Path, text: str) -> None:
        """Note that what `path` leads to cannot be edited, and what to write instead."""
        line = self.source.line(at) + 1
        self.faults.append(Fault(self.name, line, self.source.column(at) + 1, ".".join(path), text))

    def refuse_shared(self, nodes: list[Node], path: Path) -> bool:
        """Refuse aliases, anchors and tags among `nodes`; return whether there was one."""
        for node in nodes:
            if node.sign:
                mark = node.sign.replace("tag:yaml.org,2002:", "!!")
                why = ", so other places may share the value" if mark[0] in "&*" else ""
                text = f"{mark[:40]!r} stands here{why}; write the value out without that mark first"
                self.refuse(node.start, path, text)
                return True
        return False

    def refuse_whole(self, key: Node, node: Node, path: Path) -> bool:
        """Refuse to replace or take out what is shared, or a text over several lines; return whether it was."""
        nodes = [key, *node.all()]
        if self.refuse_shared(nodes, path):
            return True
        block = next((inner for inner in nodes if inner.is_text_block), None)
        if block is not None:
            text = f"a text begun by {block.style!r} cannot be replaced; write it in one line first, in quotes"
            self.refuse(block.start, path, text)
        return block is not None

    def refuse_below_text(self, at: int, path: Path, *, going: bool) -> bool:
        """Refuse to take lines out below a text block, or to add some where it keeps its last breaks."""
        block = self.source.text_before(at)
        if block is None or not block.is_text_block:
            return False
        written = self.source.text[block.start : block.end]
        keeps = "+" in written.splitlines()[0].partition("#")[0] or block.end == len(self.source.text)
        if going or keeps:
            text = f"a text begun by {block.style!r} changes with the lines below it; write it in one line, in quotes"
            self.refuse(block.start, path, text)
        return going or keeps

    def done(self) -> str:
        """Return the edited text.

        Raises
        ------
        InputError
            With what was refused.
        EditDefectError
            When two splices meet: a defect.
        """
        if self.faults:
            raise InputError(sorted(set(self.faults)))
        pieces, at = [], 0
        for start, end, text in sorted(self.splices, key=lambda splice: splice[:2]):
            if start < at:
                raise EditDefectError(
                    f"{self.name}: two edits meet in line {self.source.line(start) + 1}; nothing is changed"
                )
            pieces += [self.source.text[at:start], text]
            at = end
        return "".join([*pieces, self.source.text[at:]])
