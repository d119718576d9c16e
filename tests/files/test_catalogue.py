"""Catalogue entries: shipped, overruled, and the owner's own."""

from pathlib import Path

import pytest

from layout.errors import InputError
from layout.files.catalogue import Catalogue
from tests.builders import project_text, read


def test_any_field_is_overruled_in_place() -> None:
    """A field beside use: takes the place of the entry's; the others stay."""
    said = read(project_text(things={"c": {"use": "bins/euro-600x400x280", "mass": "15"}})).said.things["c"]

    assert (said.mass, said.height) == (15, 280)  # type: ignore[union-attr]


def test_an_entry_keeps_its_own_units() -> None:
    """An entry written in millimetres means millimetres in a project that speaks inches."""
    said = read(
        project_text(units="in", space={"use": "spaces/trailer-box"}, things={"c": {"use": "bins/euro-600x400x280"}})
    ).said

    assert said.things["c"].height == 280  # type: ignore[union-attr]


def test_the_owners_catalogue_beside_the_project(tmp_path: Path) -> None:
    """A catalogs folder beside the project adds entries, and its entry comes before the shipped one of that name."""
    (tmp_path / "catalogs").mkdir()
    own = "units: cm\nentries:\n  apple-box: {kind: bin, length: 50, width: 30, height: 25}\n"
    (tmp_path / "catalogs" / "bins.yaml").write_text(own, encoding="utf-8")

    said = read(project_text(things={"c": {"use": "bins/apple-box"}}), tmp_path).said.things["c"]

    assert said.length == 500  # type: ignore[union-attr]
    assert "bins/euro-600x400x280" in Catalogue(tmp_path).names()


def test_a_fault_in_the_owners_catalogue_names_that_file(tmp_path: Path) -> None:
    """What is wrong in a catalogue is told with the catalogue's own file and line."""
    (tmp_path / "catalogs").mkdir()
    own = "units: cm\nentries:\n  apple-box: {kind: bin, length: long, width: 30, height: 25}\n"
    (tmp_path / "catalogs" / "bins.yaml").write_text(own, encoding="utf-8")

    with pytest.raises(InputError, match=r"catalogs/bins.yaml:3:34: things.c.length: cannot read 'long'"):
        read(project_text(things={"c": {"use": "bins/apple-box"}}), tmp_path)


def test_every_shipped_entry_has_a_source_and_can_be_used() -> None:
    """Each entry of each shelf says where its figures are from and makes a valid part of a project."""
    for name in Catalogue(None).names():
        shelf, entry = name.split("/")[0], Catalogue(None).entry(name)
        assert entry is not None
        assert entry["source"], name
        if shelf == "spaces":
            assert read(project_text(space={"use": name})).space.volume > 1e9, name
        elif shelf == "sheets":
            read(project_text(workshop={"sheets": {"ply": {"use": name}}}))
        elif shelf == "timber":
            read(project_text(workshop={"sheets": {}, "bars": {"bar": {"use": name}}}))
        elif shelf == "hardware":
            assert entry["does"], name
        else:
            read(project_text(things={"a": {"use": name}}))
