"""Panel sheets: each panel once, all that a person needs to make it, and nothing that cannot be read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest

from layout.building.alike import alike
from layout.building.fixings import joint_fixings
from layout.building.prism import of_panel
from layout.drawing.model import SMALLEST_TEXT, Drawing, Text
from layout.drawing.model import Path as Line
from layout.errors import InputError
from layout.jobs.draw import Paper
from layout.jobs.load import Plan, load
from layout.jobs.panel_sheets import panel_sheets
from layout.jobs.panels import parts_of
from layout.jobs.worked import panel_works, panels_alike, part_names
from layout.model.panel import Panel
from layout.model.worked import Alike, Work
from layout.views.panel_sheets.figure import screw_points
from layout.views.panel_sheets.running import running
from tests.builders import ROOT, plan_of

Check = Callable[[Drawing], list[str]]
THINGS = sorted((ROOT / "tests" / "things").glob("*.yaml"))
NAMES = ("box-trailer", "crosswise-wish", "high-roof-inches", "market-van")
FURNISHED = [*(ROOT / "examples" / f"{name}.yaml" for name in NAMES), *THINGS]
RACK, BED = ROOT / "tests" / "things" / "bin-rack.yaml", ROOT / "examples" / "market-van.yaml"


def _texts(sheets: tuple[Drawing, ...]) -> list[str]:
    return [m.text.replace("\u00a0", " ") for d in sheets for m in d.marks if isinstance(m, Text)]


def _named(panels: tuple[Alike, ...], part: str) -> Alike:
    return next(one for one in panels if any(work.part == part for work in one.every))


@pytest.fixture(scope="module")
def rack() -> tuple[Alike, ...]:
    """Return the panels of the puppeteer's racks."""
    return panels_alike(load(str(RACK)))


@pytest.fixture(scope="module")
def bed() -> tuple[Alike, ...]:
    """Return the panels of the potters' bed."""
    return panels_alike(load(str(BED)))


@pytest.mark.parametrize("paper", [None, "A4"])
@pytest.mark.parametrize("path", FURNISHED, ids=lambda p: p.stem)
def test_every_text_can_be_read(path: Path, paper: str | None, text_faults: Check) -> None:
    """No text overlaps another, leaves the frame or is under 1.8 mm, for every kind of furniture."""
    for drawing in panel_sheets(load(str(path)), Paper(name=paper)):
        assert text_faults(drawing) == [], drawing.name
        assert all(m.height >= SMALLEST_TEXT for m in drawing.marks if isinstance(m, Text))


@pytest.mark.parametrize("path", FURNISHED, ids=lambda p: p.stem)
def test_every_panel_is_on_the_sheets_once_under_its_name_in_the_cut_list(path: Path) -> None:
    """The counts of all cards are those of the parts to saw, name by name, and so is the number of outlines drawn."""
    plan = load(str(path))
    panels = panels_alike(plan)
    drawn = Counter(work.part for one in panels for work in one.every)
    sheets = panel_sheets(plan, Paper())
    outlines = [m for d in sheets for m in d.marks if isinstance(m, Line) and m.layer == "panel"]

    assert drawn == {part.name: part.count for part in parts_of(plan.layout.things)}
    assert len(outlines) == len(panels)
    for one in panels:
        assert any(text.startswith(f"{len(one.every)} × ") for text in _texts(sheets))


@pytest.mark.parametrize("path", FURNISHED, ids=lambda p: p.stem)
def test_outlines_are_to_scale(path: Path) -> None:
    """An outline on paper times the scale of its sheet is the panel's length and width."""
    plan = load(str(path))
    sizes = {one.first.part: set() for one in panels_alike(plan)}  # type: dict[str, set[tuple[float, float]]]
    for one in panels_alike(plan):
        sizes[one.first.part].add((round(one.first.length, 2), round(one.first.width, 2)))
    for drawing in panel_sheets(plan, Paper()):
        assert drawing.scale
        for mark in drawing.marks:
            if isinstance(mark, Line) and mark.layer == "panel":
                us, vs = zip(*mark.points, strict=True)
                found = tuple(round((max(s) - min(s)) * drawing.scale, 2) for s in (us, vs))
                assert found in sizes[mark.id]


def test_a_housing_is_told_with_width_depth_face_and_place(rack: tuple[Alike, ...]) -> None:
    """A side of the rack is 675.4 high: 2 x 280 of bins, 2 x 40 above them, 3 boards of 11.8; the shelf's housing starts
    at 11.8 + 280 + 40 = 331.8 from its foot and is 11.8 wide and 2.95 deep, a quarter of the board.
    """
    side = _named(rack, "rack side")
    shelf = next(m for m in side.first.meets if m.to == ("shelf",))

    assert side.first.length == pytest.approx(2 * (280 + 40) + 3 * 11.8)
    assert [shelf.rect[0], shelf.rect[2] - shelf.rect[0], shelf.depth] == pytest.approx([331.8, 11.8, 11.8 / 4])
    assert (shelf.cut, shelf.face) == (True, "near")
    assert side.first.good == "far"


def test_words_of_the_rack(rack: tuple[Alike, ...]) -> None:
    """The sheet says what is cut and what is drilled, in words with numbers."""
    texts = " ".join(_texts(panel_sheets(load(str(RACK)), Paper())))

    assert "housing in this face, 11.8 wide, 3 deep, for shelf" in texts
    assert "rebate in this face, 9.2 wide, 3 deep, for back" in texts
    assert "1 piece as drawn, 1 piece as its mirror image" in texts
    assert "drill 4.5 mm, 4 × wood screw 4 × 35, 40 from both ends, 110 apart" in texts
    assert "pilot holes 3 mm" in texts


def test_a_pair_of_sides_is_one_drawing_and_its_mirror_image(rack: tuple[Alike, ...], bed: tuple[Alike, ...]) -> None:
    """The rack's sides are mirror images; plain ones of the low rack are the same piece turned, as are the uprights.

    Of five uprights on each side the two that carry a bracket for a deck panel are made another way than the others.
    """
    assert [len(g) for g in (_named(rack, "rack side").same, _named(rack, "rack side").mirrored)] == [1, 1]
    assert [len(g) for g in (_named(rack, "low rack side").same, _named(rack, "low rack side").mirrored)] == [2, 0]
    uprights = [one for one in bed if any(w.part.endswith("upright") for w in one.every)]
    held = [one for one in uprights if any(f.item == "bracket-angle" for f in one.first.fittings)]
    assert Counter(w.part for one in uprights for w in one.every) == {"bed left upright": 5, "bed right upright": 5}
    assert Counter(w.part for one in held for w in one.every) == {"bed left upright": 2, "bed right upright": 2}


def test_uprights_stand_where_the_bed_says(bed: tuple[Alike, ...]) -> None:
    """Five uprights 14.9 thick on 1840, the outer ones flush: their near lines are (1840 - 14.9) / 4 = 456.275 apart."""
    bottom = _named(bed, "bed left bottom").first
    starts = sorted(m.rect[0] for m in bottom.meets if "left upright" in m.to)

    assert starts == pytest.approx([i * (1840 - 14.9) / 4 for i in range(5)], abs=0.01)
    assert {"456.3", "912.5", "1368.8"} <= set(_texts(panel_sheets(load(str(BED)), Paper())))


@pytest.mark.parametrize("path", FURNISHED, ids=lambda p: p.stem)
def test_every_screw_that_goes_through_a_panel_stands_on_a_panel_sheet(path: Path) -> None:
    """Fasteners drawn on panels, counted by item, are those of the joints that go through a panel or stand on one."""
    plan = load(str(path))
    drawn: Counter[str] = Counter()
    for work in panel_works(plan):
        for meet in work.meets:
            for fix in meet.fixes:
                assert len(screw_points(fix, meet.rect)) == fix.count
                if fix.role == "through":
                    drawn[fix.item] += fix.count
    wanted: Counter[str] = Counter()
    for thing in plan.layout.things:
        for fixing in joint_fixings(thing, plan.project.rules["screws"]):
            kind = fixing.contact.joint.kind
            screwed = fixing.item != "corner-block" and kind not in ("insert", "bolt")
            if screwed and isinstance(fixing.contact.through.made_of, Panel):
                wanted[fixing.item] += fixing.count

    assert drawn == wanted


@pytest.mark.parametrize("path", FURNISHED, ids=lambda p: p.stem)
def test_screws_and_seats_lie_on_their_panel(path: Path) -> None:
    """What is drawn on a face lies within the panel, and screws stand apart as told."""
    for work in panel_works(load(str(path))):
        for meet in work.meets:
            u0, v0, u1, v1 = meet.rect
            assert 0 <= u0 <= u1 <= work.length + 0.01
            assert 0 <= v0 <= v1 <= work.width + 0.01
            for fix in meet.fixes:
                places = screw_points(fix, meet.rect)
                assert all(u0 - 0.1 <= u <= u1 + 0.1 and v0 - 0.1 <= v <= v1 + 0.1 for u, v in places)


@pytest.mark.parametrize("path", [RACK, ROOT / "tests" / "things" / "cabinet.yaml"], ids=lambda p: p.stem)
def test_the_drawn_face_is_not_mirrored(path: Path) -> None:
    """Told by vectors: looking at the drawn face, length to the right and width up, the outward normal looks at you.

    Of every panel with a groove the groove's corner nearest to the drawn low left corner is found in the unit's own
    axes by walking from the drawing: right by u, up by v, into the wood by the depth; the other piece must be there.
    """
    plan = load(str(path))
    names, tried = part_names(plan.layout.things), 0
    works = iter(panel_works(plan))
    for thing in plan.layout.things:
        for i, panel in enumerate(thing.panels):
            work = next(works)
            assert work.part == names[thing.name, i]
            for meet in work.meets:
                if meet.cut:
                    tried += 1
                    assert _fills_some_way(thing.panels, panel, work, meet), (work.part, meet)
    assert tried > 10


def _fills_some_way(panels: tuple[Panel, ...], panel: Panel, work: Work, meet: object) -> bool:
    """Return whether the groove is filled by the piece it is for, laying the drawing onto the panel without mirroring it."""
    u0, v0, u1, v1 = meet.rect  # type: ignore[attr-defined]  # a Meet
    axes = "xyz"
    a, b = axes.index(panel.along), axes.index(panel.across)
    n = 3 - a - b
    cyclic = (a, b) in ((0, 1), (1, 2), (2, 0))
    found = []
    for mirrored in (False, True):
        # As made, the high face looks up if the axes are right-handed; mirrored it is the other one that looks up.
        high_up = cyclic != mirrored
        near_high = high_up
        deep_face_high = near_high if meet.face == "near" else not near_high  # type: ignore[attr-defined]
        mid = [0.0, 0.0, 0.0]
        u = work.length - (u0 + u1) / 2 if mirrored else (u0 + u1) / 2
        low_u, low_v = min(p[0] for p in panel.outline), min(p[1] for p in panel.outline)
        mid[a], mid[b] = panel.at[a] + low_u + u, panel.at[b] + low_v + (v0 + v1) / 2
        t, half = panel.sheet.thickness, meet.depth / 2  # type: ignore[attr-defined]
        mid[n] = panel.at[n] + (t - half if deep_face_high else half)
        found.append(
            any(
                p is not panel
                and p.name in meet.to  # type: ignore[attr-defined]
                and all(low - 1e-3 <= m <= high + 1e-3 for m, (low, high) in zip(mid, of_panel(p).box, strict=True))
                for p in panels
            )
        )
    return any(found)


def test_alike_is_told_from_mirrored() -> None:
    """A panel with a groove off its middle is alike when turned, not when mirrored; without faces told apart it is."""
    from layout.model.worked import Meet

    def made(rect: tuple[float, float, float, float], face: str = "near", good: str | None = "far") -> Work:
        meet = Meet(rect=rect, kind="groove", to=("back",), face=face, depth=5.0, cut=True)  # type: ignore[arg-type]  # words
        return Work(
            part="a", unit="u", group="u", material="ply", thickness=12, mass_kg=1, length=400, width=300,
            cut_length=400, cut_width=300, oversize=0, grain="along", good=good,  # type: ignore[arg-type]  # a word
            outline=((0, 0), (400, 0), (400, 300), (0, 300)), meets=(meet,),
        )  # fmt: skip

    here, turned, mirrored = (10, 20, 22, 300), (378, 0, 390, 280), (378, 20, 390, 300)
    [half_turn] = alike([made(here), made(turned)])
    [mirror] = alike([made(here), made(mirrored)])
    groups = alike([made(here), made((50, 20, 62, 300))])
    over = alike([made(here), made(mirrored, "far", "near")])

    assert (len(half_turn.same), len(half_turn.mirrored)) == (2, 0)
    assert (len(mirror.same), len(mirror.mirrored)) == (1, 1)
    assert len(groups) == 2
    assert [(len(g.same), len(g.mirrored)) for g in over] == [(2, 0)]


def test_running_dimensions_never_crowd() -> None:
    """Places a millimetre apart on paper get texts at least a line apart, in order, within bounds."""
    places = [0.0, 10, 11, 12, 13, 14, 400, 990, 991, 1000]
    made = running(places, lambda mm: mm / 10, lambda mm: f"{mm:g}", (0.0, 100.0))
    marks = made.marks("bottom", 50.0, (0.0, 100.0))
    xs = [m.at[0] for m in marks if isinstance(m, Text)]

    assert made.left_out == 0
    assert all(b - a >= made.pitch - 1e-6 for a, b in pairwise(xs))
    assert min(xs) >= -6.5
    assert max(xs) <= 107
    assert [m.text for m in marks if isinstance(m, Text)] == [f"{mm:g}" for mm in places]


def test_parts_cut_larger_say_so(tmp_path: Path) -> None:
    """A panel that follows the wall is sawn 10 larger and its sheet says both sizes."""
    texts = " ".join(_texts(panel_sheets(load(str(ROOT / "tests" / "things" / "wheel-well-box.yaml")), Paper())))

    assert "10 over to be cut to fit" in texts
    assert "saw to 1210 × 375.4" in texts


def test_no_furniture_no_sheets_and_a_false_paper_is_told(tmp_path: Path) -> None:
    """A plan without furniture has no panel sheets; a paper that is not there is a fault in words."""
    crate = {"kind": "bin", "length": "400", "width": "300", "height": "200", "mass": "5"}
    plan: Plan = plan_of(tmp_path, things={"crate": crate}, arrangement={"crate": {"at": ["100", "0", "0"]}})

    assert panel_sheets(plan, Paper()) == ()
    with pytest.raises(InputError, match="there is no paper 'B7'"):
        panel_sheets(load(str(RACK)), Paper(name="B7"))


def test_same_plan_same_sheets() -> None:
    """The same file gives the same drawings."""
    assert panel_sheets(load(str(RACK)), Paper()) == panel_sheets(load(str(RACK)), Paper())


def test_hardware_is_drawn_where_the_kind_says_it_sits(bed: tuple[Alike, ...]) -> None:
    """A cross rail 820 long and 80 high has plates at both its ends, holes 15 and 40 from them, half way up.

    A deck panel of 1320 x 940 is held 25 from its members, on its face that looks down; the uprights that carry the
    brackets have a hole 25 below the deck. Every counted bolt and insert of the panels' faces is on some sheet.
    """
    rail = _named(bed, "bed cross rail").first
    deck = _named(bed, "bed deck panel").first
    spots = {(f.at, f.face) for f in rail.fittings if f.item == "bolt-m6x30"}
    drawn = Counter(f.item for one in bed for work in one.every for f in work.fittings)

    assert {at for at, _ in spots} == {(15.0, 40.0), (40.0, 40.0), (780.0, 40.0), (805.0, 40.0)}
    assert len({face for _, face in spots}) == 1
    assert {f.face for f in rail.fittings if f.item == "tee-nut-m6"} != {face for _, face in spots}
    assert deck.looks == "bottom"
    assert {f.face for f in deck.fittings} == {"near"}
    # The first upright is 14.9 thick and begins at 20: the bracket's hole is at 20 + 14.9 + 25 = 59.9 from the rear.
    inserts = sorted(v for f in deck.fittings if f.item == "insert-m6" for _, v in [f.at])
    assert inserts in ([59.9, 907.55], [32.45, 880.1])
    assert drawn == {
        "plate-flat": 10, "bolt-m6x30": 44, "tee-nut-m6": 44, "bolt-m8x40": 10, "bracket-angle": 4, "insert-m6": 4,
        "bolt-m6x16": 4,
    }  # fmt: skip


def test_holes_are_told_with_width_depth_and_place() -> None:
    """The sheets of the bed say how deep an insert goes, that a nut's hole goes through, and what lies under the deck."""
    sheets = panel_sheets(load(str(BED)), Paper())
    texts = " ".join(_texts(sheets))

    assert "hole 8 mm right through at" in texts
    assert "2 holes 9 mm, 11 mm deep" in texts or "2 holes 9 mm, 11 deep" in texts
    assert "tee nut M6 on the other face" in texts
    assert "lies here on cross rail, loose" in texts
    dashed = [
        m for d in sheets for m in d.marks if isinstance(m, Line) and m.layer == "seats" and m.pen.dash == "dashed"
    ]
    assert len(dashed) == 3 + 6 + 2  # under a deck panel: three rails, six uprights, two backs, of the one card


def test_letters_cover_no_sign() -> None:
    """No letter in a circle lies on the sign of a hole or of hardware."""
    for path in (BED, RACK):
        for drawing in panel_sheets(load(str(path)), Paper()):
            signs = [m for m in drawing.marks if isinstance(m, Line) and m.layer == "hardware" and len(m.points) > 4]
            letters = [m for m in drawing.marks if isinstance(m, Line) and m.layer == "labels"]
            for sign in signs:
                x, y = (sum(p[i] for p in sign.points[:-1]) / (len(sign.points) - 1) for i in (0, 1))
                for letter in letters:
                    us, vs = zip(*letter.points, strict=True)
                    assert not (min(us) < x < max(us) and min(vs) < y < max(vs)), (drawing.name, x, y)
