"""Edits of a file: hard cases by hand, each with every byte of the file that must come out, and what is refused."""

from __future__ import annotations

import pytest
import yaml

from layout.errors import InputError
from layout.files.editing import write
from layout.files.editing.change import Change, Value
from layout.files.editing.defect import EditDefectError
from layout.files.editing.source import Source
from layout.files.editing.write import edited
from layout.files.nodes import LARGEST_FILE, read_nodes
from layout.files.project import read_project
from tests.builders import EXAMPLES, ROOT

FILES = [*EXAMPLES, *sorted((ROOT / "tests" / "things").glob("*.yaml"))]
POSITION: Value = {"at": [120, -340.5, 0], "turn": 90}
Said = tuple[str, Value | None]


def _edit(text: str, *said: Said) -> str:
    changes = [Change(tuple(path.split("/")), value) for path, value in said]
    return edited(text.encode(), changes, "van.yaml").decode()


# What it is about: the file before; the changes; the file after.
CASES: dict[str, tuple[str, list[Said], str]] = {
    "a number": ("a: 1\nb:  2   # two\n", [("b", 3)], "a: 1\nb:  3   # two\n"),
    "a number with a fraction": ("a: 1\n", [("a", 0.00001)], "a: 0.00001\n"),
    "a number that is whole": ("a: 1\n", [("a", 5e17)], "a: 500000000000000000\n"),
    "nothing below zero": ("a: 1\n", [("a", -0.0)], "a: 0\n"),
    "yes": ("a: no\n", [("a", True)], "a: yes\n"),
    "yes as a text": ("a: no\n", [("a", "yes")], 'a: "yes"\n'),
    "a quoted number is that number": ("a: '1'\n", [("a", 1)], "a: '1'\n"),
    "a value of a quoted key": ('"a": 1\n', [("a", 2)], '"a": 2\n'),
    "a key with a colon": ('"a: b": 1\n', [("a: b", 2), ("c: d", 3)], '"a: b": 2\n"c: d": 3\n'),
    "a key with blanks": ("side door: {x: 1}\n", [("side door/x", 2)], "side door: {x: 2}\n"),
    "a key as in another mapping": (
        "a:\n  x: 1\nx: 1\nb: {x: 1}\n",
        [("x", 2), ("b/x", 3)],
        "a:\n  x: 1\nx: 2\nb: {x: 3}\n",
    ),
    "a text with a number sign": ("a: 1\n", [("a", "b # c")], 'a: "b # c"\n'),
    "feet and inches": ("a: 1\n", [("a", "5' 6\"")], "a: 5' 6\"\n"),
    "a quote ahead": ("a: 1\n", [("a", "'b'")], "a: \"'b'\"\n"),
    "both quotes": ("a: 1\n", [("a", "\"b's\"")], "a: '\"b''s\"'\n"),
    "two lines in one": ("a: 1\n", [("a", "b\nc")], 'a: "b\\nc"\n'),
    "a text over lines": ('a: "b\n  c"  # d\n', [("a", 1)], "a: 1  # d\n"),
    "a plain text over lines": ("a: b\n  c\nd: 1\n", [("a", 1)], "a: 1\nd: 1\n"),
    "astral signs": ("🚐: {🛏: 1} # 🚲\n", [("🚐/🛏", "🚲"), ("🚐/🪑", 2)], "🚐: {🛏: 🚲, 🪑: 2} # 🚲\n"),
    "carriage returns": ("a: 1\r\nb:\r\n  c: 2\r\n", [("b/d", 3), ("a", 4)], "a: 4\r\nb:\r\n  c: 2\r\n  d: 3\r\n"),
    "carriage returns alone": ("a: 1\rb: 2 # c\r", [("c", 3), ("a", None)], "b: 2 # c\rc: 3\r"),
    "a byte order mark": ("\ufeffa: 1\n😀: 2\n", [("😀", 3), ("b", 4)], "\ufeffa: 1\n😀: 3\nb: 4\n"),
    "a mark within": ("# \ufeff\na: 1\nb: 2\n", [("b", 3)], "# \ufeff\na: 1\nb: 3\n"),
    "tabs in a comment": ("a: 1 #\tb\t\n", [("a", 22)], "a: 22 #\tb\t\n"),
    "no end of the last line": ("a: 1", [("a", 2), ("b", 3)], "a: 2\nb: 3"),
    "the last entry of no end goes": ("a: 1\nb: 2", [("b", None)], "a: 1"),
    "the last goes and one comes": ("a: 1\nb: 2 # c", [("b", None), ("d", 3)], "a: 1\n# c\nd: 3"),
    "the first goes": ("a: 1\nb: 2\n", [("a", None)], "b: 2\n"),
    "the first two go": ("a: 1\nb: 2\nc: 3\n", [("a", None), ("b", None)], "c: 3\n"),
    "the first two go, one with a remark": ("a: 1\nb: 2 # b\nc: 3 # c\nd: 4", [("a", None), ("b", None), ("c", None)], "# b\n# c\nd: 4"),
    "the first goes, of some lines": ("a:\n  b: 1\n  c: 2\n\nd: 2\n", [("a", None)], "\nd: 2\n"),
    "the first goes and leaves its remark": ("a: 1 # c\nb: 2\n", [("a", None)], "# c\nb: 2\n"),
    "marks of the document": (
        "%YAML 1.1\n--- # s\na: 1\n\n# end\n... # e\n",
        [("a", 2), ("b", 3)],
        "%YAML 1.1\n--- # s\na: 2\n\n# end\nb: 3\n... # e\n",
    ),
    "a file in braces": ('{"a":1,\n "b":[1]}\n', [("a", 2), ("c", POSITION)], '{"a":2,\n "b":[1], c: {at: [120, -340.5, 0], turn: 90}}\n'),
    "a quoted key touches its value": ('{"a":"b","c":[1]}\n', [("a", "x"), ("c", "y")], '{"a":x,"c":y}\n'),
    "a comment touches": ('a: "b"#c\nd: [1]#e\n', [("a", 1), ("d", 2)], "a: 1 #c\nd: 2 #e\n"),
    "into braces": ("a: { x: 1,y: 2 }\n", [("a/z", 3)], "a: { x: 1,y: 2, z: 3 }\n"),
    "into empty braces": ("a: {}\nb: { } # c\n", [("a/x", 1), ("b/x", 1)], "a: {x: 1}\nb: {x: 1 } # c\n"),
    "into braces with only a remark": ("a: {#b\n  }\n", [("a/x", 1)], "a: {x: 1 #b\n  }\n"),
    "into braces with a last comma": ("a: {x: 1,}\n", [("a/z", 3)], "a: {x: 1, z: 3,}\n"),
    "into braces over lines": (
        "a: {\n  x: 1,  # one, two\n  y: 2   # two\n  # end, all\n}\n",
        [("a/z", 3), ("a/q", 4)],
        "a: {\n  x: 1,  # one, two\n  y: 2,   # two\n  z: 3,\n  q: 4\n  # end, all\n}\n",
    ),
    "into braces over lines, a last comma": (
        "a: {\n  x: 1,\n  y: 2, # two\n}\n",
        [("a/z", 3)],
        "a: {\n  x: 1,\n  y: 2, # two\n  z: 3,\n}\n",
    ),
    "into braces of two lines": ("a: {x: 1, # one\n    y: 2} # b\n", [("a/z", 3)], "a: {x: 1, # one\n    y: 2, z: 3} # b\n"),
    "out of braces, first": ("a: { x: 1,y: 2, z: 3}\n", [("a/x", None)], "a: { y: 2, z: 3}\n"),
    "out of braces, last": ("a: {x: 1,y: 2 , z: 3 }\n", [("a/z", None)], "a: {x: 1,y: 2 }\n"),
    "out of braces, the last two": ("a: {x: 1, y: 2, z: 3}\n", [("a/z", None), ("a/y", None)], "a: {x: 1}\n"),
    "out of braces, first and last": ("a: {x: 1, y: 2, z: 3}\n", [("a/z", None), ("a/x", None)], "a: {y: 2}\n"),
    "out of braces, all": ("a: {x: 1, y: 2} # b\n", [("a/x", None), ("a/y", None)], "a: {} # b\n"),
    "out of braces, over lines": ("a: {\n  x: 1,\n  y: 2,\n}\n", [("a/y", None)], "a: {\n  x: 1,\n}\n"),
    "out of braces with remarks": (
        "a: {\n  x: 1, # one\n  y: 2, # two\n  # three\n  z: 3 # four\n}\n",
        [("a/y", None)],
        "a: {\n  x: 1, # one\n  # two\n  # three\n  z: 3 # four\n}\n",
    ),
    "out of braces, last, with remarks": (
        "a: {\n  x: 1, # one\n  y: 2, # two\n}\n",
        [("a/y", None)],
        "a: {\n  x: 1, # one\n   # two\n}\n",
    ),
    "one goes, one comes in braces": ("a: {x: 1, y: 2, z: 3}\n", [("a/z", None), ("a/q", 4)], "a: {x: 1, y: 2, q: 4}\n"),
    "a key without a value in braces": ("a: {x, y: , z: }\n", [("a/x", 1), ("a/y", 2), ("a/z", 3)], "a: {x: 1, y: 2 , z: 3 }\n"),
    "behind a key without a value": ("a: {x: }\nb: {x: # r\n  }\nc: {x}\n", [("a/z", 1), ("b/z", 2), ("c/z", 3)], "a: {x: , z: 1 }\nb: {x: , z: 2 # r\n  }\nc: {x, z: 3}\n"),
    "below a key without a value": ("a: {\n  x: # r\n}\n", [("a/z", 1)], "a: {\n  x: , # r\n  z: 1\n}\n"),
    "out from behind a key without a value": ("a: {x: , z: 1}\nb: {x: , z: 1 # r\n  }\n", [("a/z", None), ("b/z", None)], "a: {x: }\nb: {x:  # r\n  }\n"),
    "an empty value": ("a:\nb: # c\n  # d\ne: 1\n", [("a", 1), ("b", 2)], "a: 1\nb: 2 # c\n  # d\ne: 1\n"),
    "below an empty value": (
        "a: # b\n  # c\n# d\ne: 1\n",
        [("a/x", POSITION), ("a/y", 1)],
        "a: # b\n  # c\n  x: {at: [120, -340.5, 0], turn: 90}\n  y: 1\n# d\ne: 1\n",
    ),
    "parents at the end of the file": (
        "a:\n    x: 1\n\n# bye\n\n\n",
        [("b/c/d", 1), ("b/e", 2)],
        "a:\n    x: 1\n\n# bye\nb:\n    c:\n        d: 1\n    e: 2\n\n\n",
    ),
    "parents that lose what they were made for": ("a: 1\n", [("b/c", 1), ("b/c", None)], "a: 1\nb: {}\n"),
    "a new entry before what follows": (
        "a:\n  x: 1 # one\n  # off: 2\n\n  # far\n# of b\nb: 1\n",
        [("a/y", 2)],
        "a:\n  x: 1 # one\n  # off: 2\n  y: 2\n\n  # far\n# of b\nb: 1\n",
    ),
    "new entries inside and outside of the same last entry": (
        "a:\n  b:\n    c: 1\n",
        [("d", 4), ("a/e", 3), ("a/b/f", 2)],
        "a:\n  b:\n    c: 1\n    f: 2\n  e: 3\nd: 4\n",
    ),
    "a block given anew": (
        "a:  # top\n  # own\n  x: 1 # one\n  y:\n    - 1 # item\n    # in\n    - 2\n  # low\n# b\nb: 1\n",
        [("a", POSITION)],
        "a: {at: [120, -340.5, 0], turn: 90}  # top\n  # own\n  # one\n    # item\n    # in\n  # low\n# b\nb: 1\n",
    ),
    "a block given with one key changed": (
        "a:\n  x: 1 # one\n  y: [1, 2] # two\n",
        [("a", {"x": 1, "y": [1, 3]})],
        "a:\n  x: 1 # one\n  y: [1, 3] # two\n",
    ),
    "a block given with one key less and one more": (
        "a:\n  x: 1 # one\n  y: 2 # two\n",
        [("a", {"z": 1, "y": 2})],
        "a:\n  # one\n  y: 2 # two\n  z: 1\n",
    ),
    "a block emptied": ("a: # top\n  x: 1 # one\nb: 1\n", [("a/x", None)], "a: {} # top\n  # one\nb: 1\n"),
    "a block taken out": ("a: # top\n  x: 1 # one\n  # in\n# of b\nb: 1\n", [("a", None)], "# top\n  # one\n  # in\n# of b\nb: 1\n"),
    "a list not indented": ("a: # t\n- 1 # i\n- 2\n# b\nb: 1\n", [("a", [3])], "a: [3] # t\n# i\n# b\nb: 1\n"),
    "a list of the same length": ("a:\n  - 1 # i\n  - [2,3] # j\n", [("a", [1, [2, 4]])], "a:\n  - 1 # i\n  - [2,4] # j\n"),
    "braces given anew": ("a: { rear: 1,left: wall } # b\n", [("a", POSITION)], "a: {at: [120, -340.5, 0], turn: 90} # b\n"),
    "braces given with the same keys": ("a: { rear: 1,left: wall } # b\n", [("a", {"left": 3, "rear": 1})], "a: { rear: 1,left: 3 } # b\n"),
    "braces with remarks given anew": (
        "a: {x: 1, # one\n    y: 2} # two\nb: 1\n",
        [("a", {"z": 3})],
        "a:\n  # one\n  {z: 3} # two\nb: 1\n",
    ),
    "states of a position": (
        "arrangement:\n  table: {rear: 1, left: wall}\n",
        [("arrangement/table/states/sleep", {"rear": 9, "left": "wall"})],
        "arrangement:\n  table: {rear: 1, left: wall, states: {sleep: {rear: 9, left: wall}}}\n",
    ),
    "in front of, with blanks": ("a: {in front of: b}\n", [("a/in_front_of", "c")], "a: {in front of: c}\n"),
    "a thing that uses an entry": ("things:\n  a: {use: b/c}\n", [("things/a/height", 7)], "things:\n  a: {use: b/c, height: 7}\n"),
    "a later change goes on from an earlier": ("a: 1\n", [("b", {"c": 1}), ("b/d", 2), ("b/c", None)], "a: 1\nb: {d: 2}\n"),
    "what is not there need not go": ("a: 1\n", [("b", None), ("c/d", None)], "a: 1\n"),
    "below a text block": ("a:\n  b: |\n    c\n\n\nd: 1\n", [("a/e", 2)], "a:\n  b: |\n    c\n  e: 2\n\n\nd: 1\n"),
    "an anchor elsewhere": ("a: &x {b: 1}\nc: *x\nd: 1\n", [("d", 2)], "a: &x {b: 1}\nc: *x\nd: 2\n"),
    "a key of a question, elsewhere": ("? a\n: 1\nb: 2\n", [("b", 3), ("a", 4)], "? a\n: 4\nb: 3\n"),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("pure", [False, True], ids=["compiled", "pure"])
def test_every_byte_comes_out_as_written_here(case: str, pure: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file after the changes is as written in the table, with the compiled parser and without it."""
    before, said, after = CASES[case]
    if pure:
        monkeypatch.delattr(yaml, "CSafeLoader")

    assert _edit(before, *said) == after
    assert _edit(after, *said) == after or any(value is None for _, value in said)


def test_tabs_before_a_comment_stay() -> None:
    """The compiled parser reads tabs between a value and its comment; they stay too."""
    assert _edit("a: {b: 1\t#\tb\n  }\t# c\n", ("a/b", 22), ("d", 1)) == "a: {b: 22\t#\tb\n  }\t# c\nd: 1\n"


def test_a_key_that_touches_its_list_does_not_touch_a_number(monkeypatch: pytest.MonkeyPatch) -> None:
    """The parser without compiled code reads ``a:[1]``; a number there gets a blank ahead, or it would be a key."""
    monkeypatch.delattr(yaml, "CSafeLoader")

    assert _edit("{a:[1],b: 2}\n", ("a", 5)) == "{a: 5,b: 2}\n"


# The file; the change; the line, the key and words of what is told.
REFUSED: dict[str, tuple[str, Said, tuple[int, str, str]]] = {
    "an alias": ("a: &x {b: 1}\nc: *x\n", ("c/b", 2), (2, "c", "'*x' stands here")),
    "an anchor": ("d: 1\na: &x\n  b: 1\nc: *x\n", ("a/b", 2), (2, "a", "'&x' stands here")),
    "an anchor within": ("a:\n  b: [&x 1]\n", ("a", 2), (2, "a", "'&x' stands here")),
    "an anchor in what goes": ("a: 1\nb: {c: &x 1}\n", ("b", None), (2, "b", "'&x' stands here")),
    "an anchor of a key": ("a: 1\n&x b: 1\n", ("b", 2), (2, "b", "'&x' stands here")),
    "an anchor of the top": ("--- &x\na: 1\n", ("a", 2), (1, "", "'&x' stands here")),
    "a tag": ("a: !!str 1\n", ("a", 2), (1, "a", "'!!str' stands here")),
    "a merge key": ("a: &x {b: 1}\nc:\n  <<: *x\n", ("c/b", 2), (3, "c", "merge keys are not read")),
    "a key that is there twice": ("a: 1\nb: 2\na: 3\n", ("a", 2), (3, "a", "keep one of them")),
    "a text block": ("a: |\n  b\nc: 1\n", ("a", 2), (1, "a", "write it in one line first, in quotes")),
    "a text block within": ("a:\n  b: >\n    c\n", ("a", 2), (2, "a", "write it in one line first, in quotes")),
    "a text block that goes": ("b: 1\na: |\n  b # c\n", ("a", None), (2, "a", "write it in one line first, in quotes")),
    "what is below a text block goes": ("a: |\n  b\nc: 1\n", ("c", None), (1, "c", "changes with the lines below it")),
    "a text block that keeps its breaks": ("a: |+ # c\n  b\n\n", ("c", 1), (1, "c", "changes with the lines below it")),
    "a text block without an end": ("a: |\n  b", ("c", 1), (1, "c", "changes with the lines below it")),
    "two documents": ("a: 1\n---\nb: 1\n", ("a", 2), (2, "", "a second document begins here")),
    "an entry of the catalogue": ("space:\n  use: a/b\n", ("space/walls/left", 2), (1, "space.walls.left", "write the key out first")),
    "below one of the catalogue": ("space:\n  use: a/b\n  walls: {}\n", ("space/walls/left", 2), (3, "space.walls.left", "write the key out first")),
    "what the catalogue says cannot go": ("things: {a: {use: a/b}}\n", ("things/a/mass", None), (1, "things.a.mass", "write a value that overrules it")),
    "through a text": ("a: b\n", ("a/c", 2), (1, "a", "is a value without keys of its own")),
    "through a list": ("c: 1\na: [b]\n", ("a/0", 2), (2, "a", "is a list, which is only changed whole")),
    "a key of a question": ("? a\n: 1\nb: 2\n", ("a", None), (1, "a", "write it as 'key: value'")),
    "a key of a question in braces": ("b: {x: 1, ? a : 1}\n", ("b/a", None), (1, "b.a", "write it as 'key: value'")),
    "a key of a question with a block": ("? a\n:\n  b: 1\n", ("a", 2), (1, "a", "write it as 'key: value'")),
    "an empty key of a question": ("?\n  a\n:\n", ("a", 2), (2, "a", "write it as 'key: value'")),
    "all of it": ("a: 1\n", ("a", None), (1, "", "nothing would be left")),
    "no mapping": ("- a\n", ("a", 1), (1, "", "the file must be a mapping")),
    "no YAML": ("a: [\n", ("a", 1), (2, "", "not YAML here")),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_edited_is_refused_in_words(case: str) -> None:
    """The refusal names the file, the line, the key, what stands there and what to write instead."""
    before, said, (line, key, words) = REFUSED[case]

    with pytest.raises(InputError) as error:
        _edit(before, said)

    [fault] = error.value.faults
    assert (fault.file, fault.line, fault.key) == ("van.yaml", line, key)
    assert words in fault.text


def test_all_refusals_are_told_at_once() -> None:
    """Two changes that cannot be are told together, in the order of the file."""
    with pytest.raises(InputError) as error:
        _edit("a: &x 1\nb: |\n  c\n", ("b", 1), ("a", 2))

    assert [(fault.line, fault.key) for fault in error.value.faults] == [(1, "a"), (2, "b")]


def test_a_file_keeps_something_of_its_own() -> None:
    """A change of everything that a file says is refused, even if something else is added."""
    with pytest.raises(InputError, match="nothing would be left of the file"):
        _edit("a: 1\nb: 2\n", ("a", None), ("c", 3), ("b", None))


def test_what_is_not_utf8_or_too_large_is_refused() -> None:
    """Bytes that are no text are refused as the reader does, and so is an edit that makes the file too large."""
    with pytest.raises(InputError, match="not UTF-8"):
        edited(b"a: 1\n\xff: 2\n", [Change(("a",), 2)], "van.yaml")
    with pytest.raises(InputError, match="at most 1000000 are read"):
        edited(b"a: 1\n", [Change(("a",), "b" * LARGEST_FILE)], "van.yaml")


def _nested(depth: int) -> Value:
    value: Value = 1
    for _ in range(depth):
        value = [value]
    return value


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("a", float("nan"), "cannot be written"),
        ("a", [float("-inf")], "cannot be written"),
        ("b", {"<<": 1}, "'<<' cannot be a key"),
        ("<<", 1, "'<<' cannot be a key"),
        ("b" * 1001, 1, "cannot be a key"),
        ("a", _nested(49), "nested more than 50 deep"),
        ("a", "b\ud800", "half a sign"),
    ],
)
def test_what_no_file_can_hold_is_a_mistake_of_the_caller(path: str, value: Value, words: str) -> None:
    """Values and keys that could not be read again are refused before anything is written."""
    with pytest.raises(ValueError, match=words):
        edited(b"a: 1\n", [Change((path,), value)], "van.yaml")


def test_what_a_file_can_just_hold_is_written() -> None:
    """The longest key and the deepest value come back."""
    new = edited(b"a: 1\n", [Change(("b" * 1000,), 1), Change(("c",), _nested(48))], "van.yaml")

    assert read_nodes(new, "van.yaml")["b" * 1000] == "1"
    assert new.endswith(b"c: " + b"[" * 48 + b"1" + b"]" * 48 + b"\n")


def test_a_change_names_a_key() -> None:
    """A change without a path is none."""
    with pytest.raises(ValueError, match="at least one key"):
        Change((), 1)


@pytest.mark.parametrize("lost", ["a: 2\n", "a: 3 # b\n", "a: [\n"])
def test_a_text_that_is_not_as_wanted_is_a_defect(lost: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """If splicing lost a comment, wrote another value or broke the file, an error of our own says so; nothing is given."""
    monkeypatch.setattr(write.Edit, "done", lambda self: lost)

    with pytest.raises(EditDefectError, match=r"van\.yaml: .*"):
        _edit("a: 1 # b\n", ("a", 2))


def test_edits_that_meet_are_a_defect() -> None:
    """Two splices over the same signs are never written."""
    edit = write.Edit(Source("a: 123\n"), "van.yaml")
    edit.splice(3, 5, "4")
    edit.splice(4, 6, "5")

    with pytest.raises(EditDefectError, match="two edits meet in line 1"):
        edit.done()


def test_a_chosen_arrangement_is_read_as_a_project() -> None:
    """Positions and a size written into an example are what the project then says; the other lines are as they were."""
    data = (ROOT / "examples" / "market-van.yaml").read_bytes()
    changes = [
        Change(("arrangement", "water 1"), {"at": [100, 500.5, 0], "states": {"sleep": {"rear": 40, "left": "wall"}}}),
        Change(("arrangement", "bike 1", "gap"), 25),
        Change(("things", "bed", "length"), 1900),
        Change(("things", "cups", "height"), 270),
    ]

    new = edited(data, changes, "van.yaml")

    said = read_project(new, "van.yaml").said
    water = said.arrangement["water 1"]
    assert (water.at, water.states["sleep"].rear, said.arrangement["bike 1"].gap) == ((100, 500.5, 0), 40, 25)
    assert (said.things["bed"].length, said.things["cups"].height) == (1900, 270)  # type: ignore[union-attr]
    before, after = data.decode().splitlines(), new.decode().splitlines()
    assert len(after) == len(before) + 1
    assert len([line for line in before if line not in after]) == 3


def _leaves(tree: Value, path: tuple[str, ...] = ()) -> list[tuple[tuple[str, ...], Value]]:
    inner = tree.items() if isinstance(tree, dict) else ()
    return [*([(path, tree)] if path else []), *(leaf for key, below in inner for leaf in _leaves(below, (*path, key)))]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_value_set_to_what_it_is_changes_nothing(path) -> None:  # type: ignore[no-untyped-def]  # a Path
    """Every value of every file, set to itself one at a time and all at once, leaves the file byte for byte."""
    data = path.read_bytes()
    leaves = _leaves(read_nodes(data, str(path)))

    assert len(leaves) > 20
    for key, value in leaves:
        assert edited(data, [Change(key, value)], str(path)) == data
    assert edited(data, [Change(key, value) for key, value in leaves], str(path)) == data
