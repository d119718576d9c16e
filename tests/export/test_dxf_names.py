"""Names in DXF files: whatever people call their things, it is a name there and never a command."""

from __future__ import annotations

from io import StringIO
from typing import Any

import pytest
from ezdxf.filemanagement import read as load_dxf
from ezdxf.lldxf.validator import is_valid_layer_name
from ezdxf.tools.text import plain_text
from hypothesis import given
from hypothesis import strategies as st

from layout.export.dxf import DATA, dxf
from layout.export.dxf_model import CadDrawing, Line, Words
from layout.export.dxf_names import for_text, layer_names, plain, shortened

HOSTILE = {
    "100%%d %%u %%%": "100%%d %%u %%%",
    "5 % of all": "5 % of all",
    "a\\Pb \\H3x; {\\C1;red} \\~": "a\\Pb \\H3x; {\\C1;red} \\~",
    "^J caret ^ and ^^.": "^J caret ^ and ^^.",
    "line\nbreak\r\n\ttab \x00 end\u2028": "line break   tab   end",
    "0\nSECTION\n2\nENTITIES": "0 SECTION 2 ENTITIES",
    "\\U+0041 \\m+14E00": "\\ U+0041 \\ m+14E00",
    "ü 漢 😀 ½": "ü 漢 😀 ½",
    "</text><b>&amp;": "</text><b>&amp;",
    "lone \ud800 half": "lone   half",
}


@pytest.mark.parametrize(("name", "shown"), HOSTILE.items(), ids=range(len(HOSTILE)))
def test_a_name_is_shown_as_it_is(name: str, shown: str) -> None:
    """A reader of the file shows every sign of a name; control signs become blanks, and no sign formats others."""
    ring = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0))
    marks = (
        Words(layer=name, at=(0.0, 0.0), text=name, height=5.0),
        Line(layer=name, points=ring, shows=name, view=name),
    )
    document: Any = load_dxf(StringIO(dxf(CadDrawing(marks=marks, layers={}, units="mm", scale=1)).decode()))
    text, line = document.modelspace()
    kept = line.get_xdata(DATA)

    assert text.plain_text() == shown
    assert [tag.value.replace("^ ", "^") for tag in kept] == [shown, shown]
    assert text.dxf.layer == line.dxf.layer
    assert line.dxf.layer in document.layers
    assert len(document.modelspace()) == 2


@given(st.text(max_size=40))
def test_any_text_comes_back(text: str) -> None:
    """What is written as TEXT reads as the text again, but for a blank in what would be a sign by its number."""
    read = plain_text(for_text(text))
    shown = plain(text)
    for code in ("U+", "u+", "M+", "m+"):
        shown = shown.replace(f"\\{code}", f"\\ {code}")

    assert read == shown


@given(st.lists(st.text(max_size=300), max_size=8))
def test_layers_have_valid_names_of_their_own(wanted: list[str]) -> None:
    """Each layer has a name that the format allows, no longer than it allows, and two names are never one layer."""
    names = layer_names(wanted)

    assert set(names) == set(wanted)
    assert all(is_valid_layer_name(name) and 0 < len(name.encode()) <= 255 for name in names.values())
    assert len({name.lower() for name in names.values()}) == len(names)


def test_layers_that_differ_only_in_what_is_not_allowed_stay_two() -> None:
    """Two materials called alike but for a slash, or but for capitals, are not thrown together."""
    assert layer_names(["ply/15", "ply:15", "PLY:15", "0", ""]) == {
        "ply/15": "ply_15", "ply:15": "ply_15 2", "PLY:15": "PLY_15 3", "0": "0 2", "": "2",
    }  # fmt: skip


def test_a_cut_off_name_has_no_half_sign() -> None:
    """A sign of several bytes is kept whole or left out."""
    assert shortened("aé漢", 3) == "aé"
    assert shortened("aé漢", 5) == "aé"
    assert shortened("aé漢", 6) == "aé漢"
