"""Values and keys of every kind written into files: whatever they hold comes back, in one line, from any reader."""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from layout.files.editing.change import Change
from layout.files.editing.words import Bare, in_one_line, number, scalar
from layout.files.editing.write import edited

WORDS = st.sampled_from(
    ["yes", "No", "null", "~", "3", "0x1f", "1:30", "1e3", "2001-01-01", "=", "<<", "-", "- a", "? b", "a: b", "a #b",
     "#", "&x", "*x", "!t", "%d", "@", "`", "'", '"', "it's", 'a"b', "a\\b", "[", "}", "a, b", "...", "---", ".5", "_1", ""]
)  # fmt: skip
TEXT = st.one_of(WORDS, st.text(st.characters(exclude_categories=["Cs"]), max_size=20))
KEY = TEXT.filter(lambda text: text != "<<")
NUMBERS = st.one_of(st.integers(-(10**20), 10**20), st.floats(allow_nan=False, allow_infinity=False))
VALUES = st.recursive(
    st.one_of(TEXT, NUMBERS, st.booleans()),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(KEY, inner, max_size=3)),
    max_leaves=8,
)
FILES = [
    "a: 1 # r\nb:\n  c: 2 # s\n",
    "{a: 1, b: {c: 2}}\n",
    "a: {x: [1]} # r\nb: {\n  c: 2, # s\n}",
    "# r\na:\n  - 1 # s\n\nb: {} # t\n# u\n",
    "\ufeffa: 'x' # r\r\nb:\r\n# s\r\n",
]


def _words(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _words(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_words(inner) for inner in value]
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else float(value)


def _numbers(read: Any, said: Any) -> Any:
    """Return what was read, a number where a number was said."""
    if isinstance(said, dict):
        return {key: _numbers(inner, said[key]) for key, inner in read.items()}
    if isinstance(said, list):
        return [_numbers(inner, one) for inner, one in zip(read, said, strict=True)]
    return float(read) if isinstance(said, (int, float)) and not isinstance(said, bool) else read


@settings(max_examples=150)
@given(st.sampled_from(FILES), KEY, VALUES)
@pytest.mark.parametrize("path", [("a",), ("b", "c"), ("b",), ("new", "new")], ids=".".join)
def test_any_value_under_any_key_comes_back(path: tuple[str, ...], file: str, key: str, value: Any) -> None:
    """A value is read back as it was given, by another reader too, and every remark is still there in its order."""
    path = (*path[:-1], key) if path[0] == "new" or path[-1] == "c" else path
    new = edited(file.encode(), [Change(path, value)], "van.yaml").decode()

    read = yaml.load(new.removeprefix("\ufeff"), Loader=yaml.BaseLoader)
    for step in path:
        read = read[step]
    assert _numbers(read, value) == _words(value)
    at = [new.index(f"# {sign}") for sign in "rstu" if f"# {sign}" in file]
    assert at == sorted(at)
    assert len(new.splitlines()) <= len(file.splitlines()) + 4


@settings(max_examples=500)
@given(TEXT)
def test_a_text_is_a_text_to_readers_that_type_words(text: str) -> None:
    """Nothing that is meant as a text is taken for a number, a date, a truth or nothing, in braces and out of them."""
    said = scalar(text)

    assert yaml.safe_load(f"a: {said} # r\nb: {{{said}: [{said}, {said}]}}\n") == {"a": text, "b": {text: [text, text]}}
    assert len(said.splitlines()) == 1


@settings(max_examples=500)
@given(NUMBERS)
def test_a_number_is_digits(value: float) -> None:
    """A number is written exactly, with no exponent and no needless fraction."""
    said = number(value)

    assert (float(said) if isinstance(value, float) else int(said)) == value
    assert set(said) <= set("-.0123456789")
    assert not said.endswith((".0", "."))


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("wall", "wall"), ("side door", "side door"), ("12 cm", "12 cm"), ("-5 mm", "-5 mm"), ("1/2", "1/2"),
        ("5' 11\"", "5' 11\""), ("🚲", "🚲"), ("a-b_c.d/e", "a-b_c.d/e"), ("bins/euro-600x400x280", "bins/euro-600x400x280"),
        ("120", '"120"'), ("yes", '"yes"'), ("NULL", '"NULL"'), ("~", '"~"'), ("1e3", '"1e3"'), ("0o17", '"0o17"'),
        ("a: b", '"a: b"'), ("a #b", '"a #b"'), ("-a", '"-a"'), ('"a"', "'\"a\"'"), ("'a'", "\"'a'\""), (" a", '" a"'),
        ("\u2028", '"\\u2028"'), ("\ufeff", '"\\ufeff"'), ("\x00\t", '"\\u0000\\t"'), ("a\\\n", '"a\\\\\\n"'), ("", '""'),
        (Bare("120"), "120"), ([Bare("1"), "2"], '[1, "2"]'), ({"yes": {"a": []}}, '{"yes": {a: []}}'), ({}, "{}"),
    ],
)  # fmt: skip
def test_what_needs_quotes_has_them_and_nothing_else(value: Any, said: str) -> None:
    """Plain words stay plain; what a reader could take for something else is quoted, in one line."""
    assert in_one_line(value) == said
