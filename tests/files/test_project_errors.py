"""A bad project file is told by file, line, column and key, with what to write instead; all faults at once."""

import pytest

from layout.errors import InputError
from tests.builders import project_text, read


def _faults(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(text)
    return [str(fault) for fault in caught.value.faults]


HEAD = "layout: 1\ntitle: t\nunits: mm\n"
ROOM = "space: {floor: {length: 3000, width: 1700}, roof: {0: 1800}}\n"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "van.yaml:1:1: the file is empty"),
        ("# only this\n", "van.yaml:1:1: the file holds only comments"),
        ("- a\n- b\n", "van.yaml:1:1: the file must be a mapping"),
        ("title: x\n", "van.yaml:1:1: layout: is missing"),
        (HEAD, "van.yaml:1:1: space: is missing"),
        (HEAD.replace("units: mm", "units: furlong") + ROOM, "van.yaml:3:8: units: read 'furlong'; write one of: mm, cm, m, in, ft"),
        ("layout: 2\n" + HEAD[10:] + ROOM, "van.yaml:1:9: layout: '2' is too large"),
        (HEAD + ROOM + "spcae: 1\n", "van.yaml:5:1: spcae: unknown key 'spcae'; did you mean 'space'?"),
        (HEAD + ROOM + "title: again\n", "van.yaml:5:1: title: the key 'title' stands here and in line 2"),
        (HEAD + ROOM + "people: {A: {stature: tall}}\n", "van.yaml:5:23: people.A.stature: cannot read 'tall' as a length"),
        (HEAD + ROOM + "people: {A: {stature: -3}}\n", "must be 400 or more mm"),
        (HEAD + ROOM + "people: {A: {stature: .nan}}\n", "cannot read '.nan' as a length"),
        (HEAD + ROOM + "people: {A: {stature: .inf}}\n", "cannot read '.inf' as a length"),
        (HEAD + ROOM + "people: {A: {stature: 12 m}}\n", "at most 2700 mm"),
        (HEAD + ROOM + "people: {A: 5}\n", "van.yaml:5:13: people.A: read '5'; a group of indented keys is wanted here"),
        (HEAD + ROOM + "things: {a: {kind: bix}}\n", "did you mean 'box'?"),
        (HEAD + ROOM + "things: {a: {length: 3}}\n", "things.a.kind: is missing"),
        (HEAD + ROOM + "things: {a: {use: bins/euro-600x400x28}}\n", "did you mean 'bins/euro-600x400x280'?"),
        (HEAD + ROOM + "things: {a: {kind: box, length: 1, width: 1, height: 1, count: no}}\n", "cannot read 'no' as a whole number"),
        (HEAD + ROOM + "things: {a: {kind: mattress, length: 1, width: 1, thickness: 1, sleeps: [Bo]}}\n", "no person is called 'Bo'"),
        (HEAD + ROOM + "things: {a 1: {kind: box, length: 1, width: 1, height: 1}, "
                       "a: {kind: box, length: 1, width: 1, height: 1, count: 2}}\n", "the name 'a 1' is taken"),
        (HEAD + "space: {floor: {length: 21 m, width: 1700}, roof: {0: 1800}}\n", "at most 20000 mm"),
        (HEAD + "space: {floor: {length: 0, width: 1700}, roof: {0: 1800}}\n", "more than 0 mm"),
        (HEAD + "space: {floor: {corners: [[0, -5], [9, 5], [9, -5], [0, 5]]}, roof: {0: 1800}}\n", "crosses itself"),
        (HEAD + "space: {floor: {length: 3000, width: 1700}, roof: {0: 1800}, build_up: {walls: 900}}\n", "leaves no"),
        (HEAD + "space: {floor: {length: 3000, width: 1700}, roof: {0: 1800}, "
                "wheel_wells: [{x: [4000, 5000], width: 200, height: 200}]}\n", "lies outside the floor"),
        (HEAD + "space: {floor: {length: 3000, width: 1700}, roof: {0: 1800}, "
                "walls: {both: [{x: 0, profile: {0: 700, 900: 800}}]}}\n", "measure again"),
        (HEAD + ROOM + "rules: {headrom: {wanted: 700}}\n", "did you mean 'headroom'?"),
        (HEAD + ROOM + "rules: {headroom: {wanted: lots}}\n", "rules.headroom.wanted: cannot read 'lots' as a length"),
        (HEAD + ROOM + "a: [1, 2\n", "not YAML here"),
        (HEAD + ROOM + "a:\n\t- 1\n", "not YAML here"),
        (HEAD + ROOM + "a: &x [*x]\n", "refer to themselves"),
        (HEAD + ROOM + "a: " + "[" * 60 + "]" * 60 + "\n", "nested more than 50 deep"),
        (HEAD + ROOM + "a: &x 1\nb: [" + "*x, " * 201 + "]\n", "more than 200 aliases"),
        (HEAD + ROOM + "a: \x07\n", "a control character"),
        (HEAD + ROOM + "a: " + "x" * 1_000_001, "at most 1000000 are read"),
    ],
)  # fmt: skip
def test_each_fault_is_told(text: str, words: str) -> None:
    """Each kind of fault that the README promises to refuse is refused in these words."""
    assert any(words in fault for fault in _faults(text)), _faults(text)


def test_all_faults_at_once_in_file_order() -> None:
    """A file with several faults has all of them told, from top to bottom."""
    text = HEAD + ROOM + "people:\n  A: {stature: tall}\nthings:\n  b: {kind: bix}\n  b: 5\nwrong: 1\n"

    faults = _faults(text)

    assert [fault.split(":")[1] for fault in faults] == ["6", "8", "9", "10"]


def test_faults_of_all_stages_come_together() -> None:
    """An unknown key, a well outside, a hole outside and an unknown neighbour are told in one go."""
    text = HEAD + (
        "space: {floor: {length: 3000, width: 1700}, roof: {0: 1800}, wheel_wells: [{x: [4000, 5000], width: 200, height: 200}],\n"
        "  holes: {step: {x: [5000, 6000], y: [0, 100], depth: 50}}}\n"
        "things: {a: {kind: box, length: 1, width: 1, height: 1, colour: red}}\narrangement: {a: {on: table}}\n"
    )

    faults = " | ".join(_faults(text))

    assert all(
        words in faults for words in ("colour", "well at x 4000", "hole lies outside", "no thing called 'table'")
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (HEAD + "space: {floor: {length: 3000, width: 1700}, roof: {0: 1800}, walls: {both: [{x: 0, profile: {300: 840, 30 cm: 500}}]}}\n",
         "'30 cm' means the same as '300' in line 4"),
        (HEAD + ROOM + "things: {bed: {kind: box, length: 1, width: 1, height: 1}, 'bed ': {kind: box, length: 1, width: 1, height: 1}}\n",
         "means the same as 'bed'"),
        (HEAD + "space: {floor: {length: 3000, width: 1700}, roof: {0: 1800}, walls: {left: [{x: 0, profile: {900: 840}}]}}\n",
         "give both: for two walls alike"),
        (HEAD + "space: {floor: {length: 3000, width: 1700}, roof: {0: 1800}, walls: {both: [{x: 0, profile: {9: 840}}, {x: 0, profile: {9: 850}}]}}\n",
         "stand at the same x"),
        (HEAD + "space: {floor: {length: 3000, width: 1700}, roof: {0: 1800}, obstacles: {o: {x: [5 m, 6 m], y: [0, 9], z: [0, 9]}}}\n",
         "the obstacle lies outside the space"),
        (HEAD + "space: {floor: {length: 3000, width: 1700}, roof: {0: 1800}, tie_downs: [{at: [9 m, 0, 0]}]}\n", "tie-down lies outside"),
    ],
)  # fmt: skip
def test_what_would_vanish_or_mislead_is_refused(text: str, words: str) -> None:
    """Two keys that mean the same, one wall of two, things far outside: told, never dropped in silence."""
    assert any(words in fault for fault in _faults(text)), _faults(text)


def test_not_utf8_names_the_line() -> None:
    """Bytes that are no UTF-8 are told by line."""
    from layout.files.project import read_project

    with pytest.raises(InputError, match=r"van.yaml:2:1: the file is not UTF-8"):
        read_project(b"layout: 1\ntitle: \xff\n", "van.yaml")


def test_byte_order_mark_is_no_fault() -> None:
    """A file that begins with a byte order mark reads like one that does not."""
    assert read("\ufeff" + project_text()).said.title == "test"


def test_yaml_words_stay_text() -> None:
    """Scalars are text until the schema types them: 1:10 is no 70, and no is no False."""
    assert read(project_text(title="no")).said.title == "no"
    assert (
        "cannot read '1:10' as a length"
        in _faults(HEAD + "space: {floor: {length: 1:10, width: 1}, roof: {0: 1}}\n")[0]
    )
