"""How the work is done with a circular saw, a drill, a tape and a square: only what the units of a plan need."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil

from layout.building.worked import works
from layout.jobs.built import Building
from layout.jobs.hardware import drill_of, what_is
from layout.model.rule import Rule
from layout.model.worked import Meet, Work
from layout.units.length import drawn_unit, format_length

Section = tuple[str, tuple[str, ...]]
_DIGITS = 1
_SLOT = ("strap-", "handle-slot")


def how_to(made: Building) -> tuple[Section, ...]:
    """Return what is to be known at the bench, under headings; nothing where nothing is built."""
    if not made.units:
        return ()
    every = tuple(_works(made))
    items = {hardware.item for _, hardware in made.hardware}
    sections = (
        _before(made), _saw(), _panels(made), _cuts(made, every), _holes_sawn(made, every, items), _screws(made, items),
        _let_in(made, items), _glue(made, items), _dry(made), _put_on(items), _body(made, items),
    )  # fmt: skip
    return tuple(section for section in sections if section[1])


def _works(made: Building) -> Iterator[Work]:
    for units in made.groups.values():
        names = {i: panel.name for i, panel in enumerate(units[0].panels)}
        yield from works(units[0], names, made.plan.project.rules, 1000.0)


def _said(made: Building, mm: float) -> str:
    return format_length(mm, made.plan.project.said.units, unit_sign=True)


def _rule(made: Building) -> Rule:
    return made.plan.project.rules["bench"]


def _before(made: Building) -> Section:
    return "Before the first cut", (
        "Measure how thick each sheet really is, in three places. These pages were worked out for the thickness "
        "that they name; if yours differs by more than half a millimetre, write it into the file and print again.",
        "Write its name on every piece as it comes off the saw, and mark its lower edge and left end as its panel "
        "sheet shows it. Left, right, front and rear of a unit are its own, seen by somebody who stands behind it "
        "and looks the way it faces; the plan shows how it stands in the vehicle.",
        "Where two holes of a joint's screws would meet, move one of them along by two of its widths.",
    )


def _saw() -> Section:
    return "At the saw", (
        "Eyes and ears covered, a mask on: plywood dust stays in the air for long. Sleeves tight, no gloves, hair "
        "tied.",
        "The sheet lies on battens or foam over its whole area, so that both halves stay where they are when the "
        "cut is through. A blade that is pinched throws the saw back at you: stand beside its line, both hands on "
        "it, and let it come up to speed before it touches wood.",
        "The cable goes over your shoulder, away from the blade. Pull the plug, or take the battery out, before you "
        "set the depth or touch the blade. Wait until the blade stands before you put the saw down.",
        "Never cut a piece by hand that is too small to be clamped: cut it from a larger one.",
    )


def _panels(made: Building) -> Section:
    below = _said(made, _rule(made)["blade_below"])
    return "Cutting panels with a guide", (
        f"Set the blade so that it comes out {below} below the sheet, good face down. Clamp the guide at both ends; "
        "the cutting list says what each cut measures. Once for all, cut a strip of waste along the guide and "
        "measure from the guide to the cut: that is how far the guide stands off the line.",
        "The blade takes its width on the waste side of the line. Cut pieces that must be alike one after the other "
        "with the same setting, and lay them on each other to see that they are.",
        "Notches and steps: stop the saw before the corner and finish the cut with a hand saw, so that nothing is "
        "cut beyond it.",
    )


def _cuts(made: Building, every: Sequence[Work]) -> Section:
    cuts = {
        (meet.kind, round(_wide(meet), _DIGITS), round(meet.depth, _DIGITS)): meet
        for work in every
        for meet in work.meets
        if meet.cut
    }
    if not cuts:
        return "Housings, grooves and rebates", ()
    workshop = made.plan.project.said.workshop
    kerf = workshop.kerf if workshop else 0.0
    listed = "; ".join(
        f"{kind} {_said(made, wide)} wide, {_said(made, deep)} deep{_passes(wide, kerf)}"
        for kind, wide, deep in sorted(cuts)
    )
    test = _said(made, _rule(made)["test_piece"])
    return "Housings, grooves and rebates with the circular saw", (
        f"Here there are: {listed}.",
        f"Set the depth at the blade with a rule, cut a trial at least {test} long in waste of the same sheet, and "
        "measure it. Set again until it is right, and then cut all of one depth.",
        "Mark both edges of the cut with a knife. Clamp the guide so that the blade runs just inside the first "
        "line; then so that it runs just inside the second; then take away what is between, moving the guide by "
        "less than the blade is wide.",
        "Hold the two sides of a pair edge to edge and cut both at once: so their cuts are at one height.",
        "Pare what stands between the passes with a chisel laid flat, working from both ends towards the middle. A "
        "waste piece of the other sheet must go in by hand, without a hammer and without play.",
        "A cut that ends inside the panel: mark where to stop on the guide, let the blade come to rest there before "
        "you lift the saw, and finish the end with a chisel. A rebate at an edge is the same cut, with the guide on "
        "the panel and waste of the same thickness beside it to carry the saw.",
    )


def _wide(meet: Meet) -> float:
    u0, v0, u1, v1 = meet.rect
    return min(u1 - u0, v1 - v0)


def _passes(wide: float, kerf: float) -> str:
    return f", at least {ceil(wide / kerf)} passes with a blade {kerf:g} mm wide" if kerf else ""


def _holes_sawn(made: Building, every: Sequence[Work], items: set[str]) -> Section:
    if not any(work.holes for work in every):
        return "Slots and large holes", ()
    said = [
        "Slots: drill a hole as wide as the slot at both its ends and further ones side by side between them, with "
        "waste clamped below so that nothing tears out; clear the rest with a chisel and a file. Round holes: a "
        "hole saw or a flat bit of that width, from both faces.",
        "Break all edges of slots with sandpaper: they are for hands or for straps.",
    ]
    if any(item.startswith("strap-") for item in items):
        said.append(
            "A strap with a loop at its end: push the loop through the slot from inside, then the strap through its "
            "own loop, so that it holds the wood before the slot. The ratchet is on the front, where a hand finds "
            "it."
        )
    return "Slots and large holes", tuple(said)


def _screws(made: Building, items: set[str]) -> Section:
    rule = made.plan.project.rules["screws"]
    if not any(item.startswith("screw-") for item in items):
        return "Screws", ()
    said = [
        "Mark the middle of the piece that is joined on the face of the other one; the panel sheet tells how far "
        "the first screw is from the ends and how far they are apart. Drill that board right through with the wider "
        "drill.",
        "Put the pieces together without glue, clamp them, and drill the narrow pilot hole through the first one "
        "into the edge, as deep as the screw is long. Tape round the drill marks the depth. Hold the drill in line "
        "with the edge: somebody at the side sees it better than you do.",
        f"Into an edge a screw goes {_said(made, rule['bite'])} at least. Countersink, so that heads are level.",
    ]
    if "corner-block" in items:
        said.append(
            "Corner blocks stand in the inner corner of a joint that no screw goes through; the panel sheets show "
            "them as o. Screw them to one piece first, then, with the joint clamped, to the other."
        )
    return "Screws", tuple(said)


def _let_in(made: Building, items: set[str]) -> Section:
    said = []
    for item in sorted(items):
        drill = drill_of(item)
        if drill and item.startswith(("insert-m6", "tee-nut")):
            wide = format_length(drill.across, "mm", unit_sign=True)
            deep = f"{format_length(drill.deep, 'mm', unit_sign=True)} deep" if drill.deep else "right through"
            said.append(f"{what_is(item)}: hole {wide}, {deep}, unless its own paper says otherwise. {_HOW[item]}")
    if "plate-flat" in items:
        said.append(
            "Flat plates: clamp the two pieces on a level board, end to edge, lay the plate across the joint with "
            "its middle on the joint, and mark through its holes. The places on the panel sheets are those of a "
            "common plate; yours may differ a little, so drill where its holes are."
        )
    if "bracket-angle" in items:
        said.append(
            "Angle brackets: hold one in its corner, mark through its holes, and drill; both holes before either bolt."
        )
    return "Nuts, inserts and plates", tuple(said)


_HOW = {
    "insert-m6": "Tape on the drill tells when to stop. Turn it in with its key or a bolt with two nuts, square to "
    "the face, until it is level with the face.",
    "tee-nut-m6": "Drill from the face that is told first, with waste behind. Draw the nut in with its bolt and a "
    "large washer, until its flange is level.",
}


def _glue(made: Building, items: set[str]) -> Section:
    if "glue" not in items:
        return "Glue", ()
    rule = _rule(made)
    return "Glue", (
        f"The paper of the glue decides. Where it says nothing, common practice: {rule['glue_warm']:g} °C or warmer, "
        f"a thin even coat on one face, joints closed within {rule['glue_open']:g} minutes and left clamped or "
        f"screwed, unmoved, for {rule['glue_clamp']:g} minutes; no load before {rule['glue_load']:g} hours.",
        "Have screws, clamps and a wet rag at hand before the bottle is opened; glue one part at a time.",
        "What comes apart again is never glued: joints that are bolted, and what lies loose.",
    )


def _dry(made: Building) -> Section:
    off = _said(made, _rule(made)["square"])
    return "Dry fit", (
        "Put all of it together once with clamps and a few screws, without glue, on a level floor. Try what goes in.",
        f"Measure both diagonals of every large face: they differ by {off} at most. If they do not, push on the "
        "longer one, and clamp. Check with the square that uprights stand at right angles.",
        "Only when it is right: mark how the pieces sit, take it apart, and begin to glue.",
    )


def _put_on(items: set[str]) -> Section:
    said = []
    if any(item.startswith(("latch-", "stay-")) for item in items):
        said.append(
            "Latches and stays: hold them to their places, mark their holes, and drill no deeper than half the "
            "panel. Open and shut the part by hand before the last screw is in; a latch must hold when you pull at "
            "the part."
        )
    if "hinge-piano" in items:
        said.append(
            "Piano hinge: along the whole joint between the fixed strip and the lids, its pin over the joint; a "
            "screw at each end and at each lid's ends first, then every second hole. Lids and strip lie on a level "
            "board meanwhile."
        )
    if "foot-rubber" in items:
        said.append(
            "Rubber feet: in the middle of the foot of each leg, with the screw that comes with it, drilled first."
        )
    return "Hinges, latches and feet", tuple(said)


def _body(made: Building, items: set[str]) -> Section:
    if "insert-m8-body" not in items:
        return "Held to the body", ()
    rule = made.plan.project.rules["places"]
    shift = _said(made, rule["body_shift"])
    drill = drill_of("insert-m8-body")
    wide = format_length(drill.across, "mm", unit_sign=True) if drill else ""
    return "Held to the body", (
        "The list 'Held to the body' tells each place from the cross line and the centreline of the set-out sheet, "
        "and its height. Stand the unit there, and mark through its own holes: so they meet whatever the body does.",
        "Look behind before you drill: tank, brake lines, cables, tyres, and the outer skin. A place may move along "
        f"by {shift} to miss them or to meet a rib; drill the hole of the unit there too.",
        f"Hole {wide} in the metal, edge painted against rust, the insert drawn in with its tool. Lining and floor "
        "over the metal get a hole as wide as a washer's shank; a bolt must go into the insert by all its thread, "
        f"so take a longer one where the build-up is thick ({drawn_unit(made.plan.project.said.units)} on these "
        "pages are to the finished floor or wall).",
    )
