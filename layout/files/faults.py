"""The validator's complaints in our words, each with its place in the file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from difflib import get_close_matches
from typing import Any

from layout.errors import Fault
from layout.files.nodes import Group, Items, Mark

Loc = Sequence[str | int]
_KEY = "[key]"


def to_faults(errors: Sequence[Any], root: Group, schema: Callable[[], dict[str, Any]]) -> list[Fault]:
    """Return one fault per complaint, in file order.

    Parameters
    ----------
    errors
        What pydantic's ``ValidationError.errors()`` returned.
    root
        The values with their places.
    schema
        Gives the JSON Schema of the file; asked only when a key is unknown.
    """
    unknown = any(error["type"] == "unexpected_keyword_argument" for error in errors)
    known = schema() if unknown else {}
    return sorted({_fault(error, root, known) for error in errors})


def place_of(root: Group, loc: Loc) -> tuple[Mark, str]:
    """Return where `loc` stands in the file, or the nearest thing around it, and its dotted key path."""
    node: Any = root
    mark, path = root.mark, []
    for i, step in enumerate(loc):
        if step == _KEY:
            break
        if isinstance(node, Group) and step in node:
            mark, node = node.keys_at[str(step)], node[str(step)]
            mark = node.mark if loc[i + 1 : i + 2] != [_KEY] and not isinstance(node, (Group, Items)) else mark
            path.append(str(step))
        elif isinstance(node, Items) and isinstance(step, int) and step < len(node):
            node = node[step]
            mark = node.mark
            path.append(str(step + 1))
        elif i == len(loc) - 1 and not _is_tag(node, step):
            path.append(str(step + 1) if isinstance(step, int) else str(step))
    return mark, ".".join(path)


def _is_tag(node: Any, step: str | int) -> bool:
    return isinstance(node, Group) and node.get("kind") == step


def _fault(error: Any, root: Group, schema: dict[str, Any]) -> Fault:
    loc, kind = tuple(error["loc"]), error["type"]
    mark, path = place_of(root, loc)
    if kind == "unexpected_keyword_argument":
        mark = _key_mark(root, loc) or mark
        text = _unknown_key(str(loc[-1]), _keys_at(schema, loc[:-1], root))
    elif kind == "union_tag_not_found":
        path, text = (
            f"{path}.kind",
            "is missing; write kind: bin (or box, bicycle, ...), or use: a catalogue entry",
        )
    else:
        text = _WORDS.get(kind, _anything)(error)
    return Fault(mark.file, mark.line, mark.column, path, text)


def _key_mark(root: Group, loc: Loc) -> Mark | None:
    node: Any = root
    for step in loc[:-1]:
        if isinstance(node, Group) and step in node:
            node = node[str(step)]
        elif isinstance(node, Items) and isinstance(step, int):
            node = node[step]
    return node.keys_at.get(str(loc[-1])) if isinstance(node, Group) else None


def _unknown_key(key: str, known: list[str]) -> str:
    close = get_close_matches(key, known, n=1)
    hint = f"did you mean {close[0]!r}?" if close else f"allowed here: {', '.join(known)}"
    return f"unknown key {key[:60]!r}; {hint}"


def _read(error: Any) -> str:
    value = error.get("input")
    if isinstance(value, dict):
        return "a group of keys"
    if isinstance(value, (list, tuple)):
        return "a list"
    return repr(str(value)[:60])


def _literal(error: Any) -> str:
    expected = str(error["ctx"]["expected"])
    words = [word.strip("' ") for word in expected.replace(" or ", ", ").split(",")]
    close = get_close_matches(str(error.get("input")), words, n=1)
    hint = f"; did you mean {close[0]!r}?" if close else ""
    return f"read {_read(error)}; write one of: {', '.join(words)}{hint}"


def _tag(error: Any) -> str:
    expected = str(error["ctx"]["expected_tags"])
    words = [word.strip("' ") for word in expected.split(",")]
    close = get_close_matches(str(error["ctx"]["tag"]), words, n=1)
    hint = f"; did you mean {close[0]!r}?" if close else ""
    return f"unknown kind {str(error['ctx']['tag'])[:60]!r}; write one of: {', '.join(words)}{hint}"


def _anything(error: Any) -> str:
    return f"read {_read(error)}, which cannot be used here"


def _missing(error: Any) -> str:
    return "is missing"


def _group_wanted(error: Any) -> str:
    return f"read {_read(error)}; a group of indented keys is wanted here"


def _list_wanted(error: Any) -> str:
    return f"read {_read(error)}; a list is wanted here, such as [1, 2]"


def _text_wanted(error: Any) -> str:
    return f"read {_read(error)}; one word or number is wanted here"


def _own_words(error: Any) -> str:
    return str(error["ctx"]["error"])


def _too_long(error: Any) -> str:
    return f"the list has {error['ctx']['actual_length']} values; at most {error['ctx']['max_length']}"


_WORDS: dict[str, Callable[[Any], str]] = {
    "missing": _missing,
    "value_error": _own_words,
    "literal_error": _literal,
    "union_tag_invalid": _tag,
    "dict_type": _group_wanted,
    "dataclass_type": _group_wanted,
    "model_attributes_type": _group_wanted,
    "mapping_type": _group_wanted,
    "tuple_type": _list_wanted,
    "list_type": _list_wanted,
    "string_type": _text_wanted,
    "too_long": _too_long,
}


def _keys_at(schema: dict[str, Any], loc: Loc, root: Any) -> list[str]:
    """Return the keys that the schema allows at `loc`."""
    here = schema
    for step in loc:
        here = _inner(schema, _whole(schema, here), step)
    return sorted(_whole(schema, here).get("properties", {}))


def _whole(schema: dict[str, Any], part: dict[str, Any]) -> dict[str, Any]:
    """Follow references, and out of "this or nothing" take this."""
    while True:
        if "$ref" in part:
            part = schema["$defs"][part["$ref"].rsplit("/", 1)[1]]
        elif "anyOf" in part:
            part = next((p for p in part["anyOf"] if p.get("type") != "null"), {})
        else:
            return part


def _inner(schema: dict[str, Any], part: dict[str, Any], step: str | int) -> dict[str, Any]:
    if isinstance(step, int):
        return dict(part.get("items") or {})
    if "discriminator" in part:
        return {"$ref": part["discriminator"]["mapping"].get(step, "")}
    inner = part.get("properties", {}).get(step) or part.get("additionalProperties") or {}
    return dict(inner) if isinstance(inner, dict) else {}
