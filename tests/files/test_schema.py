"""The published schema and the reader agree, so that an editor and the program say the same."""

from typing import Any

import jsonschema
import pytest
import yaml

from layout.errors import InputError
from layout.files.project import schema
from tests.builders import BASE, EXAMPLES, project_text, read


def _valid(document: Any) -> bool:
    return jsonschema.Draft202012Validator(schema()).is_valid(document)


def _plain(text: str) -> Any:
    """Return the document as an editor sees it, keys as text."""
    return _texts(yaml.load(text, Loader=yaml.BaseLoader))


def _texts(value: Any) -> Any:
    if isinstance(value, dict):
        return {str(key): _texts(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_texts(inner) for inner in value]
    return int(value) if isinstance(value, str) and value.isdigit() and len(value) < 3 else value


def test_the_schema_is_a_schema() -> None:
    """What `layout schema` prints is itself valid."""
    jsonschema.Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_every_example_passes_the_schema(path: Any) -> None:
    """What the reader accepts, an editor that knows the schema accepts."""
    assert _valid(_plain(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize(
    "change",
    [
        {"units": "furlong"}, {"layout": "2"}, {"spcae": "1"}, {"people": {"A": {"stature": "tall"}}},
        {"people": {"A": "5"}}, {"things": {"a": {"kind": "bix"}}}, {"things": {"a": {"kind": "box", "length": "3"}}},
        {"things": {"a": {"kind": "box", "length": "3", "width": "3", "height": "3", "colour": "red"}}},
        {"arrangement": {"a": {"on": ["x"]}}}, {"states": "drive"}, {"workshop": {"sheets": {"p": {"length": "1"}}}},
    ],
)  # fmt: skip
def test_what_the_schema_refuses_the_reader_refuses(change: dict[str, Any]) -> None:
    """A file that an editor marks as wrong is refused by the program too."""
    text = project_text(**change)

    assert not _valid(_plain(text))
    with pytest.raises(InputError):
        read(text)


def test_the_plain_project_passes_both() -> None:
    """The project that the tests build on is good to both, so the refusals above are of the change."""
    assert _valid(_plain(project_text()))
    assert read(project_text()).said.title == BASE["title"]


def test_the_schema_beside_the_examples_is_this_one() -> None:
    """The schema that the examples name for editors is what `layout schema` prints; renew it with that command."""
    import json

    path = EXAMPLES[0].parent / "layout.schema.json"

    assert json.loads(path.read_text(encoding="utf-8")) == schema()
    assert all(f"$schema={path.name}" in example.read_text(encoding="utf-8").splitlines()[0] for example in EXAMPLES)
