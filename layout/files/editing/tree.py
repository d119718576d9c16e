"""The file as nodes that know where they begin and end, for splicing; what they mean is read elsewhere."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

import yaml

_COLON = re.compile(r"[ \t]*:")


@dataclass(slots=True, eq=False)
class Node:
    """A text, a mapping or a list, from `start` up to `end` in the text.

    A block ends with its last text, not where the next key begins. `sign` is the alias, anchor or tag that it has, as
    written, or nothing. The `children` of a mapping are its keys and values in turn.
    """

    start: int
    end: int
    kind: Literal["text", "group", "list"]
    flow: bool = True
    style: str = ""
    sign: str = ""
    value: str = ""
    children: list[Node] = field(default_factory=list)

    @property
    def entries(self) -> list[tuple[Node, Node]]:
        """Return the keys of a mapping with their values."""
        return list(zip(self.children[::2], self.children[1::2], strict=True))

    @property
    def is_empty(self) -> bool:
        """Return whether nothing is written where a value could be."""
        return self.start == self.end

    @property
    def is_text_block(self) -> bool:
        """Return whether it is a text over several lines, begun by ``|`` or ``>``."""
        return self.style in ("|", ">")

    def all(self) -> Iterator[Node]:
        """Yield the node and all below it."""
        yield self
        for child in self.children:
            yield from child.all()


def after_colon(text: str, key: Node) -> int | None:
    """Return where the value of a key may begin: behind its colon, or None if that is not in its line."""
    found = _COLON.match(text, key.end)
    return found.end() if found else None


@dataclass(slots=True)
class Parsed:
    """The top node, the written texts in order, and where the document ends (at ``...`` or with the file)."""

    root: Node
    texts: list[Node]
    end: int


def span(event: yaml.Event) -> tuple[int, int]:
    """Return from where to where an event of the parser goes, in signs from 0."""
    start, end = event.start_mark, event.end_mark
    assert start is not None  # the parser marks every event
    assert end is not None  # as above
    return start.index, end.index


def parsed(text: str) -> Parsed:
    """Return the nodes of a text that has been read without a fault."""
    return _Parser(text).run()


class _Parser:
    """Events to nodes."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.top = Node(0, 0, "list")
        self.open = [self.top]
        self.texts: list[Node] = []
        self.anchored: dict[str, str] = {}
        self.end = len(text)

    def run(self) -> Parsed:
        loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
        for event in yaml.parse(self.text, Loader=loader):
            if isinstance(event, yaml.NodeEvent):
                self._begin(event)
            elif isinstance(event, yaml.CollectionEndEvent):
                self._close(event)
            elif isinstance(event, yaml.DocumentEndEvent) and event.explicit:
                self.end = span(event)[0]
        return Parsed(self.top.children[0], self.texts, self.end)

    def _begin(self, event: yaml.NodeEvent) -> None:
        node = _node(event)
        self.open[-1].children.append(node)
        if isinstance(event, yaml.CollectionStartEvent):
            self.open.append(node)
            return
        if node.is_text_block:
            node.end = node.start + len(self.text[node.start : node.end].rstrip())
        if isinstance(event, yaml.AliasEvent):
            node.value = self.anchored.get(str(event.anchor), "")
        elif event.anchor:
            self.anchored[event.anchor] = node.value
        if not node.is_empty:
            self.texts.append(node)

    def _close(self, event: yaml.Event) -> None:
        node = self.open.pop()
        if node.flow:
            node.end = span(event)[1]
        elif node.children:
            node.end = node.children[-1].end
        for key, value in node.entries if node.kind == "group" and node.flow else ():
            if value.is_empty:  # marked where the next sign stands, which may be lines below
                value.start = value.end = after_colon(self.text, key) or key.end


def _node(event: yaml.NodeEvent) -> Node:
    start, end = span(event)
    sign = f"&{event.anchor}" if event.anchor else str(getattr(event, "tag", None) or "")
    if isinstance(event, yaml.AliasEvent):
        return Node(start, end, "text", sign=f"*{event.anchor}")
    if isinstance(event, yaml.ScalarEvent):
        return Node(start, end, "text", style=event.style or "", sign=sign, value=event.value)
    kind: Literal["group", "list"] = "group" if isinstance(event, yaml.MappingStartEvent) else "list"
    return Node(start, end, kind, flow=bool(getattr(event, "flow_style", False)), sign=sign)
