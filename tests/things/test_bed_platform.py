"""The bed platform on carcasses: its panels by hand arithmetic, and all beds held against what they promise."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layout.building.rebuild import faults
from layout.errors import ValueFaultError
from layout.jobs.load import load
from layout.model.thing import Thing
from layout.things.bed_platform import BedPlatform
from tests.things.beds import filled_mm3, needed, screws, shop, sizes, union_mm3, weighed_kg

HERE = Path(__file__).parent


def _bed(**more: object) -> BedPlatform:
    said = {"length": 1900.0, "width": 1300.0, "deck": 700.0, "carcass_width": 300.0, "support": 500.0, **more}
    return BedPlatform(kind="bed platform", sheet="ply", **said)  # type: ignore[arg-type]


def _made(thickness: float = 15.0, **more: object) -> Thing:
    return _bed(**more).make("bed", "bed", shop(thickness))


def test_panels_by_hand() -> None:
    """A bed 1900 x 1300 x 700 in 15 mm: 4 fields of support need 5 uprights and rails, sized by what stands between them."""
    found = sizes(_made())

    # (1900 - 15) / 500 = 3.77, so 4 fields and 5 stations; upright: 700 - 2 x 15 high, 300 - 15 wide.
    # Deck: a field of 471.25 has 1300 x 471.25 x 15 x 700 = 6.4 kg; two are 942.5 + 7.5 = 950 long with 13.0 kg, three too heavy.
    assert found == {
        ("left upright", 670, 285): 5, ("right upright", 670, 285): 5, ("left bottom", 1900, 300): 1,
        ("right bottom", 1900, 300): 1, ("left back", 1900, 670): 1, ("right back", 1900, 670): 1,
        ("cross rail", 700, 80): 5, ("deck panel", 1300, 950): 2,
    }  # fmt: skip


def test_project_by_hand() -> None:
    """The florist's bed, worked out from the numbers in the file: 1900 x 1300 x 700, 12 mm, 50 short of both ends."""
    plan = load(str(HERE / "bed-platform.yaml"))
    bed = plan.layout.things[0]

    # Carried over 1900 - 2 x 50 = 1800: (1800 - 12) / 450 = 3.97, so 4 fields of 447, and 5 of each upright and rail.
    # Uprights: 700 - 2 x 12 = 676 high, 280 - 12 = 268 wide; rails: 1300 - 2 x 280 = 740 long.
    # Middles from 50 + 6 = 56: 503, 950, 1397, 1844. Two fields, 0 to 950, are under 1200 long; with the flare of 60 over
    # 420 they are 950 x 1300 + 2 x 60 x 420 = 1.2854 m², 12 mm and 695 kg/m³: 10.7 kg, under 15; a third is too long.
    assert sizes(bed) == {
        ("left upright", 676, 268): 5, ("right upright", 676, 268): 5, ("left bottom", 1800, 280): 1,
        ("right bottom", 1800, 280): 1, ("left back", 1800, 676): 1, ("right back", 1800, 676): 1,
        ("cross rail", 740, 80): 5, ("deck panel", 1420, 950): 1, ("deck panel", 1300, 950): 1,
    }  # fmt: skip
    rear = next(p for p in bed.panels if p.name == "deck panel")
    holes = len(rear.holes) * 3 * 15**2 * 1e-6  # a hole of twelve corners has 3 r²; two of them are slots of 100 x 25
    holes += 2 * (100 * 25 - 3 * 15**2) * 1e-6
    assert rear.mass_kg == pytest.approx((1.2854 - holes) * 0.012 * 695)
    assert bed.box.bounds == pytest.approx((0, -710, 1900, 710))
    assert faults(bed) == ()
    assert not plan.fails


@pytest.mark.parametrize("name", ["bed-platform", "bed-platform-wall-rails", "bed-platform-legs", "slide-out-bed"])
def test_the_projects_have_no_failing_finding(name: str) -> None:
    """Each project of a bed stands in a real room with what goes under it, and no rule fails; nor does the referee."""
    plan = load(str(HERE / f"{name}.yaml"))

    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    assert [faults(t) for t in plan.layout.things if t.panels] == [()]
    assert all(faults(form) == () for t in plan.layout.things if t.panels for form in t.forms.values())


@pytest.mark.parametrize("thickness", [9.2, 11.8, 14.9, 17.7])
def test_outside_stays_and_insides_follow_the_sheet(thickness: float) -> None:
    """Whatever the sheet measures, deck height and outside stay; uprights give the thickness away."""
    thing = _made(thickness)

    assert thing.box.bounds == pytest.approx((0, -650, 1900, 650))
    assert thing.box.z1 == pytest.approx(700)
    upright = next(p for p in thing.panels if p.name == "left upright")
    assert (upright.length, upright.width) == pytest.approx((700 - 2 * thickness, 300 - thickness))


def test_deck_panels_are_light_and_meet_on_uprights() -> None:
    """No deck panel is heavier than said, and each joint lies on the middle of an upright."""
    thing = _made(heaviest_panel=8.0)
    deck = [p for p in thing.panels if p.name == "deck panel"]
    middles = {round(sum(p.solid.bounds[::2]) / 2, 3) for p in thing.panels if p.name == "left upright"}

    assert len(deck) > 1
    assert all(panel.mass_kg <= 8.0 for panel in deck)
    assert {round(p.solid.bounds[0], 3) for p in deck[1:]} <= middles


def test_hardware_by_hand() -> None:
    """Five rails have ten ends, a plate at each with two bolts a side; fastenings to the body at most 500 apart."""
    thing = _made()
    found = needed(thing)

    assert found["plate-flat"] == 10
    # And one holds each bracket to its upright: two deck panels, held down by two brackets each.
    assert found["tee-nut-m6"] == found["bolt-m6x30"] == 10 * 4 + 2 * 2
    assert found["bracket-angle"] == found["insert-m6"] == found["bolt-m6x16"] == 2 * 2
    # 1900 less 40 at both ends is 1820: four steps of at most 500, five points at each of two carcasses.
    assert found["insert-m8-body"] == found["bolt-m8x40"] == 10
    # Each side: the back along 1900 has ceil(1820 / 150) + 1 = 14; five uprights 285 deep ceil(205 / 150) + 1 = 3 at the
    # bottom and, 670 high, ceil(590 / 150) + 1 = 5 at the back.
    assert screws(thing) == 2 * (14 + 5 * 3 + 5 * 5)


def test_thin_sheet_has_corner_blocks() -> None:
    """Sheet under 12 mm is not screwed into its edge: blocks stand behind, as many as there would be screws."""
    thin, thick = _made(11.0, deck=600.0), _made(12.0, deck=600.0)

    # Each side: the back along 1900 has ceil(1820 / 150) + 1 = 14; five uprights 289 deep ceil(209 / 150) + 1 = 3 at the
    # bottom and, 578 high, ceil(498 / 150) + 1 = 5 at the back.
    assert needed(thin)["corner-block"] == 2 * (14 + 5 * 3 + 5 * 5)
    assert "corner-block" not in needed(thick)
    # A threaded insert does not go into 11 mm: deck panels are held down by nuts let in, two each, as are plates and brackets.
    deck = sum(p.name == "deck panel" for p in thin.panels)
    assert needed(thin)["tee-nut-m6"] == 10 * 4 + 2 * deck + 2 * deck
    assert "insert-m6" not in needed(thin)
    assert faults(thin) == faults(thick) == ()


@pytest.mark.parametrize(("real", "nominal"), [(17.7, 18.0), (11.6, 12.0)])
@pytest.mark.parametrize("on", ["carcasses", "wall rails", "legs"])
@pytest.mark.parametrize("top", ["solid", "slats"])
def test_a_thinner_sheet_keeps_outside_and_openings(real: float, nominal: float, on: str, top: str) -> None:
    """In sheet as it really is, a bed still keeps what it promised in sheet as it is named."""
    nominal_bed, real_bed = (_made(t, on=on, top=top) for t in (nominal, real))
    assert nominal_bed.promise is not None
    held = replace(real_bed, promise=replace(nominal_bed.promise, closed=()))

    if on == "wall rails":
        # The rails hang 0.3 or 0.4 higher, as the deck is thinner: their foot is the deck less what lies on it.
        up = nominal - real
        assert real_bed.box.z0 - nominal_bed.box.z0 == pytest.approx(up)
        held = replace(held, promise=replace(held.promise, outside=replace(held.promise.outside, z0=real_bed.box.z0)))  # type: ignore[type-var, union-attr]  # a promise is there
    assert faults(held) == ()


@st.composite
def beds(draw: st.DrawFn) -> dict[str, object]:
    """Draw what a file may say of a bed that can be built, of any design, and the thickness of its sheet."""
    on = draw(st.sampled_from(["carcasses", "wall rails", "legs"]))
    top = draw(st.sampled_from(["solid", "slats"]))
    more: dict[str, object] = {"on": on, "top": top, "overhang": draw(st.floats(0, 250))}
    if on != "carcasses":
        more |= {"bar": draw(st.sampled_from([None, "beam"])), "ledger": draw(st.floats(20, 80))}
    if top == "slats":
        more |= draw(st.sampled_from([{"slat": "lath"}, {"slat_width": 65.0}, {"slat_width": 90.0, "slat_gap": 55.0}]))
    else:
        more |= {
            "hatch": draw(st.sampled_from(["none", "lift off", "hinged"])),
            "vents": draw(st.sampled_from(["yes", "no"])),
        }
        more |= {"flare_rear": draw(st.sampled_from([0.0, 70.0])), "flare_front": draw(st.sampled_from([0.0, 45.5]))}
        more |= {"strip": 180.0} if more["hatch"] == "hinged" else {}
    spans = {"length": (1500, 2200), "width": (800, 1700), "deck": (380, 950), "carcass_width": (100, 340),
             "support": (300, 800), "rail": (45, 120)}  # fmt: skip
    more |= {key: draw(st.floats(*span)) for key, span in spans.items()}
    return {"thickness": draw(st.floats(9, 19)), "heaviest_panel": 60.0, **more}


@settings(max_examples=150, deadline=None, derandomize=True)
@given(beds())
def test_any_bed_keeps_its_promise(said: dict[str, object]) -> None:
    """Whatever the sizes, the pieces meet, none reaches into another, nothing is in the openings, and the mass is right."""
    bed = _made(**said)  # type: ignore[arg-type]  # drawn by name
    assert faults(bed) == ()
    assert union_mm3(bed.solids) == pytest.approx(filled_mm3(bed), rel=1e-9)
    assert bed.mass_kg == pytest.approx(weighed_kg(bed), rel=1e-9)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(beds(), st.integers(0, 1000))
def test_a_spoilt_bed_is_found_out(said: dict[str, object], which: int) -> None:
    """A bed of which one panel is a little out of place is not let pass: the test above can fail."""
    bed = _made(**said)  # type: ignore[arg-type]  # drawn by name
    i = which % len(bed.panels)
    x, y, z = bed.panels[i].at
    moved = replace(bed.panels[i], at=(x + 0.3, y + 0.3, z + 0.3))

    assert faults(replace(bed, panels=(*bed.panels[:i], moved, *bed.panels[i + 1 :]))) != ()


@pytest.mark.parametrize(
    ("key", "more", "words"),
    [
        ("carcass_width", {"carcass_width": 650.0}, "no bay in a width of 1300"),
        ("carcass_width", {"carcass_width": 40.0}, "no opening in sheet 15 mm thick"),
        ("deck", {"deck": 100.0}, "too low for rails of 80: at least 125"), ("overhang", {"overhang": 400.0}, "at most 300"),
        ("length", {"length": 50.0}, "no carcass"), ("rail", {"rail": 15.0}, "more than 15"),
        ("support", {"support": 14.0}, "no room between cross members 15 thick"),
        ("heaviest_panel", {"heaviest_panel": 5.0}, "has 6.5 kg; bring support: down"),
        ("bar", {"bar": "beam"}, "belongs to on: wall rails or legs"), ("ledger", {"ledger": 30.0}, "on: wall rails or legs"),
        ("leg", {"leg": 60.0}, "belongs to on: legs"), ("slat", {"slat": "lath"}, "belongs to top: slats"),
        ("hinge", {"hinge": "left"}, "belongs to hatch: hinged"), ("hand_slots", {"hand_slots": "no"}, "hatch: lift off or"),
        ("flare_length", {"flare_length": 300.0}, "add flare_rear"),
    ],
)  # fmt: skip
def test_refuses_sizes_that_leave_no_opening(key: str, more: dict[str, object], words: str) -> None:
    """Sizes that cannot be built, and keys that would do nothing, are refused, naming the key and what to write."""
    with pytest.raises(ValueFaultError) as caught:
        _made(**more)

    assert caught.value.path == ("things", "bed", key)
    assert words in caught.value.text


def test_refuses_a_sheet_that_is_not_there() -> None:
    """A material that the workshop lacks is refused, naming the key."""
    with pytest.raises(ValueFaultError) as caught:
        replace(_bed(), sheet="oak").make("bed", "bed", shop())

    assert caught.value.path == ("things", "bed", "sheet")
