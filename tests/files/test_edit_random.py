"""Random edits of random files, held against readers and searches that share nothing with what edits."""

from __future__ import annotations

import copy
import random
import re
from typing import Any

import pytest
import yaml

from layout.files.editing.change import Change
from layout.files.editing.write import edited
from tests.files.test_edit import FILES

KEYS = [
    ("a", "a"), ("b", "b"), ("side door", "side door"), ('"a: b"', "a: b"), ("'it''s'", "it's"), ("🚐", "🚐"),
    ("300", "300"), ('"# 1"', "# 1"), ("at", "at"), ("é", "é"), ("yes", "yes"), ('"q\\"q"', 'q"q'),
]  # fmt: skip
TEXTS = [
    "1", "-3.5", "wall", "5' 6\"", "'x # y'", '"{a: 1}"', "🛏", "two words", '"\\u00e9\\t"', "~", "no", "1/2", '""',
    "a#b", "http", "'it''s'", "-x", "'[1, 2]'", '"# not one"',
]  # fmt: skip
VALUES: list[Any] = [
    0, 12, -0.5, True, "wall", "yes", "5' 6\"", "a: b", "x # y", "", "🛏 {", "- x", "null", "3", "it's \"so\"", "two\nlines",
    [], {}, [120, -340, 0], ["a", ["b"]], {"at": [1, 2, 0], "turn": 90}, {"a": {"b": {"c: d": "# e"}}, "yes": "no"},
    {"a": 1, "b": 2}, {"at": 7, "side door": [1]},
]  # fmt: skip
REMARKS = ["", " {a: 1}", ' "quoted', " it's", " 🚲 x: y", "\ttab", " , ]", " - a"]
REMARK = re.compile(r"#\s?r\d+;[^\r\n]*")


class Writer:
    """Writes a file by chance: block and braces, nested and over lines, with remarks wherever they may stand."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)
        self.remarks = 0

    def file(self) -> bytes:
        rng = self.random
        lines = self.group(0, 0) if rng.random() < 0.93 else [*self.braces(0, 0, over=True)]
        head = rng.choice([[], [], ["--- " + self.remark()], ["%YAML 1.1", "---"], [self.remark(), ""]])
        tail = rng.choice([[], [], ["", self.remark()], ["... " + self.remark()], ["", ""]])
        text = "\n".join([*head, *lines, *tail]) + rng.choice(["\n", "\n", ""])
        text = text.replace("\n", rng.choice(["\n", "\n", "\r\n"]))
        return (b"\xef\xbb\xbf" if rng.random() < 0.2 else b"") + text.encode()

    def remark(self) -> str:
        self.remarks += 1
        return f"#{self.random.choice([' ', ''])}r{self.remarks};{self.random.choice(REMARKS)}"

    def maybe(self, chance: float, before: str = "  ") -> str:
        return before + self.remark() if self.random.random() < chance else ""

    def own_lines(self, column: int) -> list[str]:
        rng, lines = self.random, []
        while rng.random() < 0.25:
            lines.append(
                "" if rng.random() < 0.3 else " " * max(column + rng.choice([0, 0, 0, 2, -2]), 0) + self.remark()
            )
        return lines

    def keys(self) -> list[str]:
        return [written for written, _ in self.random.sample(KEYS, self.random.randint(1, 5))]

    def group(self, column: int, depth: int) -> list[str]:
        lines = []
        for key in self.keys():
            lines += self.own_lines(column)
            lines += self.entry(" " * column + key + ":", column, depth)
        return lines + self.own_lines(column)

    def entry(self, head: str, column: int, depth: int) -> list[str]:
        rng = self.random
        kind = rng.choice(["text", "text", "flow", "flow", "over", "group", "group", "list", "nothing", "long"])
        if kind == "nothing":
            return [head + self.maybe(0.3)]
        if kind in ("group", "list") and depth < 3:
            deeper = column + rng.choice([2, 2, 4])
            below = (
                self.group(deeper, depth + 1)
                if kind == "group"
                else self.items(rng.choice([column, deeper]), depth + 1)
            )
            return [head + self.maybe(0.4, " "), *below]
        if kind == "over":
            first, *rest = self.braces(column + 2, depth, over=True)
            return [f"{head} {first}", *rest]
        if kind == "long":
            return [f'{head} "two', " " * column + '   # lines"' + self.maybe(0.3)]
        return [
            f"{head}{rng.choice([' ', '  '])}{self.flow(depth) if kind == 'flow' else rng.choice(TEXTS)}"
            + self.maybe(0.3)
        ]

    def items(self, column: int, depth: int) -> list[str]:
        lines = []
        for _ in range(self.random.randint(1, 3)):
            lines += self.own_lines(column)
            if self.random.random() < 0.3:
                key, *rest = self.group(column + 2, depth + 1)[-2:]
                lines += [" " * column + "- k: 1" + self.maybe(0.3), " " * column + "  l: 2" + self.maybe(0.3)]
                del key, rest
            else:
                lines.append(" " * column + "- " + self.flow(depth + 1) + self.maybe(0.3))
        return lines

    def flow(self, depth: int) -> str:
        rng = self.random
        if depth > 3 or rng.random() < 0.3:
            return rng.choice(TEXTS)
        space, last = rng.choice(["", "", " "]), rng.choice(["", "", ","])
        comma = rng.choice([", ", ", ", ",", " , "])
        if rng.random() < 0.5:
            pairs = [self.pair(key, depth) for key in self.keys()]
            return f"{{{space}{comma.join(pairs)}{last}{space}}}" if rng.random() < 0.9 else f"{{{space}}}"
        return f"[{space}{comma.join(self.flow(depth + 1) for _ in range(rng.randint(1, 3)))}{last}{space}]"

    def pair(self, key: str, depth: int) -> str:
        if self.random.random() < 0.1:
            return key + self.random.choice([": ", ""])
        return key + self.random.choice([": ", ": ", ":  "]) + self.flow(depth + 1)

    def braces(self, column: int, depth: int, *, over: bool) -> list[str]:
        """Return a mapping in braces over several lines."""
        rng, keys = self.random, self.keys()
        lines, at = ["{"], rng.choice([column, column + 2])
        for i, key in enumerate(keys):
            comma = "," if i + 1 < len(keys) or rng.random() < 0.4 else ""
            if over and rng.random() < 0.2:
                first, *rest = self.braces(at + 2, depth + 2, over=False)
                said = [f"{key}: {first}", *rest]
            else:
                said = [self.pair(key, depth + 1)]
            said[-1] += comma
            if lines[-1].endswith(("{", ",")) and rng.random() < 0.3 and "#" not in lines[-1]:
                lines[-1] += " " * (lines[-1][-1] == ",") + said[0]
            else:
                lines[-1] += self.maybe(0.4, " ")
                lines += [*([" " * at + self.remark()] if rng.random() < 0.2 else []), " " * at + said[0]]
            lines += said[1:]
        behind = self.maybe(0.3) if over else ""
        if rng.random() < 0.3 and "#" not in lines[-1]:
            return [*lines[:-1], lines[-1] + "}" + behind]
        return [*lines[:-1], lines[-1] + self.maybe(0.4, " "), " " * max(column, 1) + "}" + behind]


def _tree(data: bytes) -> Any:
    return yaml.load(data.decode("utf-8-sig"), Loader=yaml.BaseLoader)


def _groups(tree: Any, path: tuple[str, ...] = ()) -> list[tuple[tuple[str, ...], dict[str, Any]]]:
    if not isinstance(tree, dict):
        return []
    return [(path, tree), *(found for key, below in tree.items() for found in _groups(below, (*path, key)))]


def _words(value: Any) -> Any:
    """Return a value of a change as the tree of a file has it."""
    if isinstance(value, dict):
        return {key: _words(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_words(inner) for inner in value]
    return ("yes" if value else "no") if isinstance(value, bool) else str(value)


def _laid(tree: Any, change: Change) -> Any:
    """Return the tree with a change laid over it, by the plainest means."""
    new = copy.deepcopy(tree)
    group = new
    for i, key in enumerate(change.path[:-1]):
        if change.value is None and key not in group:
            return new
        if group.get(key, "") == "":
            group[key] = {}
        group = group[key]
        assert isinstance(group, dict), change.path[:i]
    if change.value is None:
        group.pop(change.path[-1], None)
    else:
        group[change.path[-1]] = _words(change.value)
    return new


def _random_change(rng: random.Random, tree: Any, below: tuple[str, ...] = ()) -> Change:
    groups = [found for found in _groups(tree) if found[0][: len(below)] == below] or _groups(tree)
    path, group = rng.choice(groups)
    there = list(group)
    kind = rng.choice(["set", "set", "set", "give", "out", "out", "new", "made"])
    if kind == "new" or not there:
        return Change(
            (*path, rng.choice(KEYS)[1] if rng.random() < 0.5 else f"new {rng.randint(0, 9)}"), rng.choice(VALUES)
        )
    key = rng.choice(there)
    if kind == "made":
        empty = [key for key in there if group[key] == ""]
        empty = empty or [next(f"made {i}" for i in range(99) if f"made {i}" not in group)]
        return Change((*path, rng.choice(empty), "x", "y: z"), rng.choice(VALUES))
    if kind == "give" and isinstance(group[key], dict):  # the same mapping, somewhat changed
        given = {name: inner for name, inner in group[key].items() if rng.random() < 0.7}
        return Change((*path, key), {**given, "turn": rng.choice([90, "x"])})
    last_of_all = not path and len(there) == 1
    return Change((*path, key), None if kind == "out" and not last_of_all else rng.choice(VALUES))


def _random_changes(rng: random.Random, tree: Any, count: int) -> list[Change]:
    """Return changes that follow each other, of which none takes out the last that the file said of itself."""
    changes: list[Change] = []
    said = tree.keys()
    while len(changes) < count:
        change = _random_change(rng, tree)
        new = _laid(tree, change)
        if not said.isdisjoint(new):
            changes, tree = [*changes, change], new
    return changes


# Where an edit may have changed the text: from, to; found with the pure parser's marks.


def _last(node: Any) -> int:
    """Return where the last text below a node ends."""
    if isinstance(node, yaml.ScalarNode) or node.flow_style or not node.value:
        return node.end_mark.index  # type: ignore[no-any-return]
    inner = node.value[-1]
    return _last(inner[1] if isinstance(inner, tuple) else inner)


def _line_end(text: str, at: int) -> int:
    return at + len(re.match(r"[^\r\n]*", text[at:]).group())  # type: ignore[union-attr]  # it matches nothing too


def _remarks_end(text: str, at: int) -> int:
    """Return where the last line ends that is right below a line and holds nothing but a remark."""
    return at + len(re.match(r"(\r?\n[ \t]*#[^\r\n]*)*", text[at:]).group())  # type: ignore[union-attr]  # as above


def _way(text: str, path: tuple[str, ...]) -> list[Any]:
    """Return the entries on the way: mapping, number of the entry in it, key, value; None where it ends."""
    node = yaml.compose(text, Loader=yaml.SafeLoader)
    way: list[Any] = []
    for step in path:
        pairs = node.value if isinstance(node, yaml.MappingNode) else []
        i = next((i for i, (key, _) in enumerate(pairs) if key.value == step), None)
        way.append((node, i, *(pairs[i] if i is not None else (None, None))))
        if i is None:
            break
        node = pairs[i][1]
    return way


def _window(text: str, change: Change) -> tuple[int, int]:
    """Return the stretch outside of which nothing may have changed by an edit of what is there."""
    way = _way(text, change.path)
    group, i, key, value = way[-1]
    start, end = key.end_mark.index, max(_last(value), key.end_mark.index)
    if change.value is not None:
        inside = value.value and not isinstance(value, yaml.ScalarNode)
        flow = isinstance(value, yaml.ScalarNode) or value.flow_style
        if flow and not (inside and REMARK.search(text[start:end])) and value.start_mark.index < value.end_mark.index:
            return value.start_mark.index, value.end_mark.index
        return start, end if flow else _remarks_end(text, _line_end(text, end))
    if group.flow_style:
        start = _last(group.value[i - 1][1]) if i else key.start_mark.index
        behind = group.value[i + 1][0].start_mark.index if i + 1 < len(group.value) else group.end_mark.index
        if len(group.value) == 1:
            return (way[-2][2].end_mark.index if len(way) > 1 else group.start_mark.index), group.end_mark.index
        return min(start, key.start_mark.index), behind
    if len(group.value) == 1:
        return way[-2][2].end_mark.index, _line_end(text, end)
    line = max(text.rfind("\n", 0, key.start_mark.index), 0)
    line -= text[line - 1 : line] == "\r"
    return line, _line_end(text, end) + (2 if not line else 0)


def _hold_outside(old: bytes, new: bytes, change: Change) -> None:
    """Hold that nothing changed outside of the stretch that the change is about."""
    before, after = old.decode("utf-8-sig"), new.decode("utf-8-sig")
    assert new.startswith(b"\xef\xbb\xbf") == old.startswith(b"\xef\xbb\xbf")
    way = _way(before, change.path)
    group, i, _, _ = way[-1]
    written = isinstance(group, yaml.ScalarNode) and group.start_mark.index < group.end_mark.index
    if i is not None or written:  # quotes with nothing between them may become a mapping
        start, end = (group.start_mark.index, group.end_mark.index) if written else _window(before, change)
        assert after[:start] == before[:start], change
        assert after[len(after) - (len(before) - end) :] == before[end:], change
        assert len(after) >= start + len(before) - end
        return
    kept = iter(after)
    assert all(sign in kept for sign in before), change
    flow = isinstance(group, yaml.MappingNode) and group.flow_style
    empty = isinstance(group, yaml.ScalarNode)
    start = way[-2][2].end_mark.index if empty else group.start_mark.index if flow else _last(group)
    assert after[:start] == before[:start]
    if flow:
        assert after.endswith(before[group.end_mark.index - 1 :])


def _hold(old: bytes, changes: list[Change], remarks: re.Pattern[str]) -> bytes:
    """Edit and hold what comes out: the tree, the comments in their order, the bytes outside of a single edit."""
    want = _tree(old)
    for change in changes:
        want = _laid(want, change)
    new = edited(old, changes, "van.yaml")
    assert _tree(new) == want
    assert edited(new, changes[-1:], "van.yaml") == new
    before, after = old.decode("utf-8-sig"), new.decode("utf-8-sig")
    assert remarks.findall(after) == remarks.findall(before)
    assert ("\r" in after.replace("\r\n", "")) == ("\r" in before.replace("\r\n", ""))
    assert (b"\r\n" in new) <= (b"\r\n" in old)
    if all(change.value is not None for change in changes):  # else a blank line may be the last that is left
        assert new.endswith(b"\n") == old.endswith(b"\n")
    if want == _tree(old):
        assert new == old
    elif len(changes) == 1:
        _hold_outside(old, new, changes[0])
    return new


@pytest.mark.parametrize("seed", range(100))
def test_random_edits_of_random_files(seed: int) -> None:
    """Four edits one after the other, then three at once: wanted tree, every comment in order, all other bytes."""
    rng = random.Random(1000 + seed)
    data = Writer(seed).file()

    for _ in range(4):
        data = _hold(data, [_random_change(rng, _tree(data))], REMARK)
    _hold(data, _random_changes(rng, _tree(data), 3), REMARK)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_random_edits_of_our_own_files(path) -> None:  # type: ignore[no-untyped-def]  # a Path
    """Ten edits in a row of every example and furniture file keep all comments and all other bytes."""
    rng = random.Random(path.stem)
    data = path.read_bytes()

    for _ in range(10):
        change = _random_change(rng, _tree(data), rng.choice([("arrangement",), ("things",)]))
        if "#" in str(change.value) or change.value is None or len(change.path) < 2:
            position = {"rear": rng.randint(0, 900), "left": rng.choice(["wall", 20]), "turn": 90}
            change = Change(("arrangement", rng.choice(list(_tree(data)["things"]))), position)
        data = _hold(data, [change], re.compile(r"(?m)(?:^|(?<=\s))#.*$"))


def test_the_writer_writes_what_is_hard() -> None:
    """The random files hold what edits could trip over, or the tests above would prove little."""
    files = [Writer(seed).file() for seed in range(100)]
    text = b"\n".join(files).decode("utf-8-sig")

    assert sum(data.startswith(b"\xef\xbb\xbf") for data in files) > 5
    assert sum(b"\r\n" in data for data in files) > 15
    assert sum(not data.endswith(b"\n") for data in files) > 15
    assert len(REMARK.findall(text)) > 600
    assert len(re.findall(r"(?m)^\s+.*\}", text)) > 100
    assert sum(b"\n..." in data for data in files) > 5
    assert len(set(files)) == 100
