"""Text: its width, its breaking, its boxes; labels that keep apart."""

from __future__ import annotations

from io import BytesIO

import pytest

from layout.drawing.font import font, font_data
from layout.drawing.labels import Labels, key
from layout.drawing.model import SMALLEST_TEXT, Path, Text
from layout.drawing.notes import note_marks, notes_height
from layout.drawing.text_width import font_size, overlap, shorten, text_box, text_width, words, wrap


def test_widths_are_those_that_another_reader_finds_in_the_font() -> None:
    """Protects the own reader of the font's file against the one that the PDF library has, for every sign of the font."""
    from reportlab.pdfbase.ttfonts import TTFontFile

    other = TTFontFile(BytesIO(font_data()))
    known = {chr(code): width for code, width in other.charWidths.items() if 32 < code < 0x10000}
    assert len(known) > 5000
    assert known.keys() == {sign for sign in font().advances if ord(sign) > 32}
    for sign, width in known.items():
        assert text_width(sign, font().capital) * 1000 == pytest.approx(width, abs=0.51), sign


def test_a_capital_is_as_high_as_said() -> None:
    """Protects the height of lettering: DejaVu's capitals are 1493 of 2048 units high (its own OS/2 notes; from memory)."""
    assert font().capital == pytest.approx(1493 / 2048)
    assert font_size(2.5) * font().capital == pytest.approx(2.5)


def test_signs_of_sizes_and_names_are_in_the_font() -> None:
    """Protects sizes in inches, names with accents, and the signs that the lists use."""
    assert set("×″′½¼¾⅛⅜⅝⅞éüÄß°²³≤≥±→•…–€Ø") <= font().advances.keys()


def test_an_unknown_sign_is_given_much_room() -> None:
    """Protects text in other scripts from being taken for narrower than it is."""
    assert text_width("漢", 1.0) >= text_width("M", 1.0)


def test_a_turned_text_stands_upright() -> None:
    """Protects the overlap check for dimensions that read from the right."""
    flat = text_box(Text(layer="a", at=(0, 0), text="1900"))
    turned = text_box(Text(layer="a", at=(0, 0), text="1900", angle=90))
    assert turned[3] - turned[1] == pytest.approx(flat[2] - flat[0])
    assert turned[2] - turned[0] == pytest.approx(flat[3] - flat[1])


def test_lines_are_never_wider_than_asked() -> None:
    """Protects lists and tables from running out of their columns, also with words of any length."""
    lines = wrap("a few words and averyveryverylongword here", 12.0, 2.5)
    assert all(text_width(line, 2.5) <= 12.0 for line in lines)
    assert "".join(lines).replace(" ", "") == "afewwordsandaveryveryverylongwordhere"


def test_a_no_break_space_keeps_sizes_together() -> None:
    """Protects sizes such as 600 × 400 from being torn apart."""
    assert words("back 600\u00a0×\u00a0400") == ["back", "600\u00a0×\u00a0400"]


def test_what_is_cut_off_shows_it() -> None:
    """Protects against a title that ends without saying that there is more."""
    short = shorten("a title that is far too long", 20.0, 2.5)
    assert short.endswith("…")
    assert text_width(short, 2.5) <= 20.0


def test_many_labels_in_one_place_keep_apart() -> None:
    """Protects the readability of things that stand above each other: words first, then keys."""
    labels = Labels(bounds=(0, 0, 60, 60))
    for i in range(12):
        labels.name(f"thing {i}", (20, 20, 34, 34))
    boxes = [text_box(mark) for mark in labels.marks if isinstance(mark, Text)]
    assert len(boxes) == 12
    assert not any(overlap(a, b) for i, a in enumerate(boxes) for b in boxes[:i])
    assert labels.notes
    assert all(mark.height >= SMALLEST_TEXT for mark in labels.marks if isinstance(mark, Text))


def test_a_label_with_no_room_gets_a_leader() -> None:
    """Protects tiny things: their key stands beside them, with a line to the place meant."""
    labels = Labels(bounds=(0, 0, 60, 60))
    assert not labels.name("kettle", (30, 30, 31, 31))
    assert labels.notes == [("1", "kettle")]
    assert any(isinstance(mark, Path) and not mark.closed for mark in labels.marks)


def test_a_label_with_no_place_at_all_is_still_in_the_list() -> None:
    """Protects against a thing that silently loses its name."""
    labels = Labels(bounds=(0, 0, 1, 1))
    labels.name("kettle", (0, 0, 1, 1))
    assert labels.notes == [("1", "kettle (no room to mark it)")]
    assert labels.marks == []


def test_keys_count_on_after_z() -> None:
    """Protects sheets with more than 26 small parts."""
    assert [key(i, letters=True) for i in (0, 25, 26, 27, 52)] == ["A", "Z", "AA", "AB", "BA"]
    assert key(9, letters=False) == "10"


def test_notes_stay_in_their_room_and_tell_what_is_left_out() -> None:
    """Protects against a list that runs into the title block or ends without saying so."""
    notes = [(str(i + 1), f"note number {i + 1} with several words that may need two lines") for i in range(60)]
    room = (20.0, 40.0, 200.0, 70.0)
    texts = [mark for mark in note_marks(notes, room) if isinstance(mark, Text)]
    assert texts[-1].text.endswith("more: see the lists")
    assert all(room[1] <= text_box(t)[1] and text_box(t)[3] <= room[3] + 0.1 for t in texts)
    assert notes_height(notes, 180.0) > 30.0
    assert notes_height([], 180.0) == 0.0
