"""Outline figures of people, built from shares of the stature: upright, sitting, lying; from side, front and above.

All lengths are mm. Who stands has the soles at (0, 0) and the crown at the stature; who sits has the middle of the
trunk over (0, 0), which is on the seat; who lies has the heels at u = 0, the crown at u = stature, the back at v = 0.
Seen from the side people look toward +u. The figures are our own; the shares are those of a table with its sources.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shapely.affinity import rotate, scale, translate
from shapely.geometry.base import BaseGeometry

from layout.views.people_limbs import box_between, chain, ellipse, hull, joined, limb

#: The silhouette, then what is drawn within it (an arm, a head), each a closed outline, mm.
Outline = tuple[BaseGeometry, ...]

_BOTH = (1.0, -1.0)
_SMOOTH = 0.012  # of the stature: the corners between limbs are rounded by so much


@dataclass(frozen=True, kw_only=True, slots=True)
class Body:
    """A body: `stature` and `sitting` (over the seat) in mm, its `shares` of the stature by name."""

    stature: float
    sitting: float
    shares: Mapping[str, float]

    def of(self, share: str) -> float:
        """Return a measure of the body in mm."""
        return self.stature * self.shares[share]

    @property
    def lower_leg(self) -> float:
        """Return how high a seat is from which the feet just reach the floor, mm: the knee less half a thigh."""
        return self.of("knee") - self.of("thigh") / 2

    @property
    def shoulder_over_seat(self) -> float:
        """Return the height of the shoulder joint of somebody who sits, mm: as far below the crown as when standing."""
        return self.sitting - (self.stature - self.of("shoulder"))


def standing_side(body: Body) -> Outline:
    """Return the outline of somebody who stands, seen from the side; as high as the stature."""
    knee, ankle, hip, calf = body.of("knee"), body.of("ankle"), body.of("hip"), body.of("calf")
    leg = chain(((0.0, hip), 1.3 * body.of("thigh")), ((0.0, knee), calf), ((-0.3 * calf, ankle), 0.6 * calf))
    trunk = _trunk_side(body, hip, body.of("shoulder"))
    arm = _arm((0.0, body.of("shoulder")), body, (-0.02, 0.03, 0.06))
    parts = [leg, *trunk, *_head_side(body, body.stature), arm, _shoe(body, -0.3 * calf, 0.0)]
    return joined(parts, _smooth(body)), arm


def standing_front(body: Body) -> Outline:
    """Return the outline of somebody who stands, seen from the front, arms at the sides; as high as the stature."""
    hip, knee, ankle, calf = body.of("hip"), body.of("knee"), body.of("ankle"), body.of("calf")
    out = 0.26 * body.of("hips")
    sides: list[BaseGeometry] = []
    for s in _BOTH:
        leg = chain(
            ((s * out, hip), 1.05 * body.of("thigh")), ((s * out, knee), 0.9 * calf), ((s * out, ankle), 0.6 * calf)
        )
        sides += [leg, box_between((s * (out - 0.4 * calf), 0.0), (s * (out + 0.6 * calf), 0.6 * ankle))]
    trunk, arms = _trunk_front(body, hip, body.of("shoulder")), _arms_front(body, body.of("shoulder"))
    return joined([*trunk, *sides, *_head_front(body, body.stature), *arms], _smooth(body) / 3), *arms


def standing_above(body: Body) -> Outline:
    """Return the outline of somebody who stands, from above: shoulders, head and the tips of the feet; looks to +u."""
    out, foot = 0.26 * body.of("hips"), body.of("foot")
    feet = [limb((0.0, s * out), (foot * 0.62, s * out * 1.2), 45.0, 60.0) for s in _BOTH]
    return joined([*_shoulders(body), *feet], _smooth(body)), _head_above(body)


def sitting_side(body: Body, drop: float) -> Outline:
    """Return the outline of somebody who sits erect, the floor `drop` mm under the seat, seen from the side.

    The legs hang down before the seat; where that is lower than half a lower leg they are stretched out.
    """
    hip = (0.0, body.of("thigh") / 2)
    trunk = _trunk_side(body, hip[1], body.shoulder_over_seat)
    arm = _arm((0.0, body.shoulder_over_seat), body, (-0.02, 0.05, 0.75))
    legs = _legs_hanging(body, hip, drop) if drop >= body.lower_leg / 2 else _legs_stretched(body, hip, drop)
    return joined([*trunk, *legs, *_head_side(body, body.sitting), arm], _smooth(body)), arm


def sitting_front(body: Body, drop: float) -> Outline:
    """Return the outline of somebody who sits erect, seen from the front."""
    thigh, calf = body.of("thigh"), body.of("calf")
    low = -min(drop, body.lower_leg)
    out = 0.33 * body.of("hips")
    legs: list[BaseGeometry] = []
    for s in _BOTH:
        legs.append(ellipse((s * out, thigh / 2), 1.2 * thigh, thigh))
        if low < -thigh:
            shin = chain(((s * out, thigh / 2), 1.1 * calf), ((s * out, low + body.of("ankle")), 0.6 * calf))
            legs += [
                shin,
                box_between((s * out - 0.45 * calf, low), (s * out + 0.45 * calf, low + 0.6 * body.of("ankle"))),
            ]
    trunk, arms = _trunk_front(body, thigh / 2, body.shoulder_over_seat), _arms_front(body, body.shoulder_over_seat)
    return joined([*trunk, *legs, *_head_front(body, body.sitting), *arms], _smooth(body) / 3), *arms


def sitting_above(body: Body, drop: float) -> Outline:
    """Return the outline of somebody who sits, from above: shoulders, head, thighs and feet; looks to +u."""
    thigh, out = body.of("thigh"), 0.33 * body.of("hips")
    knee = body.of("hip") - body.of("knee")
    stretched = drop < body.lower_leg / 2
    end = body.of("hip") - body.of("ankle") if stretched else knee + body.of("foot") * 0.5
    legs = [
        chain(((0.0, s * out), 1.1 * thigh), ((knee, s * out), 0.9 * thigh), ((end, s * out), 0.6 * body.of("calf")))
        for s in _BOTH
    ]
    return joined([*_shoulders(body), *legs], _smooth(body)), _head_above(body)


def lying_above(body: Body) -> Outline:
    """Return the outline of somebody who lies on the back, from above: heels at u = 0, crown at u = stature."""
    return tuple(rotate(part, -90, origin=(0, 0)) for part in standing_front(body))


def lying_side(body: Body) -> Outline:
    """Return the outline of somebody who lies on the back, from the side: heels at u = 0, crown at u = stature."""
    chest, calf, thigh, head = body.of("chest"), body.of("calf"), body.of("thigh"), body.of("head_depth")
    h = body.stature
    crown = ellipse((h - body.of("head") / 2, 0.62 * head), body.of("head"), head)
    neck = limb((body.of("shoulder"), 0.45 * chest), (h - 0.8 * body.of("head"), 0.5 * head), 0.4 * chest, 0.5 * head)
    trunk = chain(
        ((body.of("hip"), chest / 2), 0.9 * chest), ((body.of("hip") * 1.2, chest / 2), 0.85 * chest),
        ((body.of("shoulder") - chest / 2, chest / 2), chest),
    )  # fmt: skip
    leg = chain(
        ((body.of("hip"), thigh * 0.6), 1.2 * thigh), ((body.of("knee"), 0.6 * calf), calf),
        ((0.35 * calf, 0.35 * calf), 0.7 * calf),
    )  # fmt: skip
    foot = limb((0.3 * calf, 0.35 * calf), (0.3 * calf, body.of("foot") - 0.25 * calf), 0.6 * calf, 0.4 * calf)
    arm = chain(
        ((body.of("shoulder"), 0.45 * chest), body.of("arm")),
        ((body.of("shoulder") - body.of("upper_arm"), 0.3 * chest), 0.8 * body.of("arm")),
        ((body.of("hip") - 0.03 * h, 0.3 * chest), 0.6 * body.of("arm")),
    )  # fmt: skip
    return joined([crown, neck, trunk, leg, foot, arm], _smooth(body)), arm


def lying_end(body: Body, *, feet_first: bool) -> Outline:
    """Return the outline of somebody who lies on the back, seen along the body: from the feet, or from the crown."""
    chest, calf, half = body.of("chest"), body.of("calf"), body.of("breadth") / 2
    arms = [ellipse((s * (half - 0.8 * body.of("arm")), 0.4 * chest), 1.6 * body.of("arm"), 0.7 * chest) for s in _BOTH]
    trunk = ellipse((0.0, chest / 2), 1.6 * half, chest)
    head = ellipse((0.0, 0.62 * body.of("head_depth")), body.of("head_breadth"), body.of("head_depth"))
    feet = [
        limb(
            (s * 0.3 * body.of("hips"), 0.4 * calf), (s * 0.4 * body.of("hips"), body.of("foot") - 0.3 * calf),
            0.7 * calf, 0.6 * calf,
        )
        for s in _BOTH
    ]  # fmt: skip
    seen = feet if feet_first else [head]
    return joined([trunk, *arms, *seen], _smooth(body)), *seen


def _smooth(body: Body) -> float:
    return _SMOOTH * body.stature


def _head_side(body: Body, crown: float) -> list[BaseGeometry]:
    """Return head, nose and neck from the side, the crown at that height."""
    high, deep = body.of("head"), body.of("head_depth")
    middle = (0.1 * deep, crown - high / 2)
    nose = hull(
        (middle[0] + 0.4 * deep, middle[1] + 0.12 * high), (middle[0] + 0.58 * deep, middle[1] - 0.06 * high),
        (middle[0] + 0.4 * deep, middle[1] - 0.14 * high),
    )  # fmt: skip
    chin = ellipse((middle[0] + 0.24 * deep, middle[1] - 0.3 * high), 0.45 * deep, 0.36 * high)
    neck = limb((0.0, crown - 0.6 * high), (0.0, crown - 1.35 * high), 0.5 * deep, 0.58 * deep)
    return [ellipse(middle, deep, high), nose, chin, neck]


def _head_front(body: Body, crown: float) -> list[BaseGeometry]:
    high, broad = body.of("head"), body.of("head_breadth")
    neck = limb((0.0, crown - 0.7 * high), (0.0, crown - 1.35 * high), 0.62 * broad, 0.7 * broad)
    return [ellipse((0.0, crown - high / 2), broad, high), neck]


def _trunk_side(body: Body, hip: float, shoulder: float) -> list[BaseGeometry]:
    chest, rise = body.of("chest"), shoulder - hip
    return [
        chain(
            ((0.0, hip), 0.9 * chest), ((0.02 * chest, hip + 0.35 * rise), 0.78 * chest),
            ((0.05 * chest, hip + 0.72 * rise), chest), ((0.0, shoulder - 0.02 * body.stature), 0.66 * chest),
        )
    ]  # fmt: skip


def _trunk_front(body: Body, hip: float, shoulder: float) -> list[BaseGeometry]:
    """Return the trunk from the front: from the slope of the shoulders to the seat."""
    joint, rise = _joint(body), shoulder - hip
    hips, waist, neck = body.of("hips") / 2, 0.42 * body.of("hips"), 0.34 * body.of("head_breadth")
    chest = hull(*(
        (s * u, v) for s in _BOTH for u, v in (
            (waist, hip + 0.38 * rise), (0.8 * joint, shoulder - 0.22 * rise), (0.9 * joint, shoulder),
            (neck, shoulder + 0.4 * body.of("head")))
    ))  # fmt: skip
    seat = hull(*(
        (s * u, v) for s in _BOTH for u, v in (
            (waist, hip + 0.45 * rise), (hips, hip + 0.01 * body.stature), (0.94 * hips, hip - 0.04 * body.stature))
    ))  # fmt: skip
    return [chest, seat]


def _arms_front(body: Body, shoulder: float) -> list[BaseGeometry]:
    """Return both arms from the front; over them it is as broad as over the shoulders."""
    arm, joint = body.of("arm"), _joint(body)
    elbow = shoulder - body.of("upper_arm")
    wrist = elbow - body.of("forearm")
    return [
        chain(
            ((s * joint, shoulder), 1.1 * arm), ((s * (joint + 0.05 * arm), elbow), 0.8 * arm),
            ((s * (joint + 0.1 * arm), wrist), 0.55 * arm), ((s * joint, wrist - 0.55 * body.of("hand")), 0.6 * arm),
        )
        for s in _BOTH
    ]  # fmt: skip


def _joint(body: Body) -> float:
    """Return how far the middle of a shoulder joint is from the middle of the body, mm."""
    return body.of("breadth") / 2 - 0.55 * body.of("arm")


def _shoulders(body: Body) -> list[BaseGeometry]:
    """Return shoulders and head from above, looking toward +u."""
    chest, breadth = body.of("chest"), body.of("breadth")
    half = breadth / 2 - 0.3 * chest
    ends = [limb((0.0, -half), (0.0, half), 0.6 * chest, 0.6 * chest), ellipse((0.0, 0.0), chest, 0.7 * breadth)]
    return [*ends, _head_above(body)]


def _head_above(body: Body) -> BaseGeometry:
    """Return the head from above, a little before the shoulders."""
    return ellipse((0.1 * body.of("chest"), 0.0), body.of("head_depth"), body.of("head_breadth"))


def _arm(shoulder: tuple[float, float], body: Body, leans: tuple[float, float, float]) -> BaseGeometry:
    """Return an arm from the side: how far elbow, wrist and hand come forward, as shares of their lengths."""
    arm = body.of("arm")
    points = [(shoulder, arm)]
    for lean, length, thick in zip(leans[1:], ("upper_arm", "forearm"), (0.85, 0.6), strict=True):
        (u, v), run = points[-1][0], body.of(length)
        forward = lean * run
        points.append(((u + forward, v - (run**2 - forward**2) ** 0.5), thick * arm))
    (u, v), run = points[-1][0], 0.55 * body.of("hand")
    points.append(((u + leans[2] * run, v - (1 - leans[2] ** 2) ** 0.5 * run), 0.6 * arm))
    return chain(*points)


def _shoe(body: Body, ankle: float, sole: float) -> BaseGeometry:
    """Return a foot from the side, its sole at that height, its heel behind the ankle."""
    heel, high, length = ankle - 0.25 * body.of("foot"), body.of("ankle"), body.of("foot")
    return hull(
        (heel, sole), (heel + length, sole), (heel + length, sole + 0.3 * high),
        (heel + 0.55 * length, sole + 0.8 * high), (heel + 0.1 * length, sole + high), (heel, sole + 0.6 * high),
    )  # fmt: skip


def _legs_hanging(body: Body, hip: tuple[float, float], drop: float) -> list[BaseGeometry]:
    thigh, calf = body.of("thigh"), body.of("calf")
    knee = (hip[0] + body.of("hip") - body.of("knee"), hip[1])
    sole = -min(drop, body.lower_leg)
    leg = chain((hip, 1.1 * thigh), (knee, 0.95 * thigh), ((knee[0], sole + body.of("ankle")), 0.6 * calf))
    return [leg, _shoe(body, knee[0], sole)]


def _legs_stretched(body: Body, hip: tuple[float, float], drop: float) -> list[BaseGeometry]:
    thigh, calf = body.of("thigh"), body.of("calf")
    heel = (hip[0] + body.of("hip") - body.of("ankle"), 0.4 * calf - drop)
    knee = (hip[0] + body.of("hip") - body.of("knee"), (hip[1] + heel[1]) / 2 + 0.1 * thigh)
    leg = chain((hip, 1.1 * thigh), (knee, 1.1 * calf), (heel, 0.8 * calf))
    foot = limb((heel[0], heel[1]), (heel[0] + 0.2 * calf, heel[1] + 0.8 * body.of("foot")), 0.7 * calf, 0.4 * calf)
    return [leg, foot]


def moved(outline: Outline, u: float, v: float, *, mirrored: bool = False) -> Outline:
    """Return an outline shifted by u and v mm, turned to look toward -u first where `mirrored`."""
    turned = tuple(scale(part, -1, 1, origin=(0, 0)) for part in outline) if mirrored else outline
    return tuple(translate(part, u, v) for part in turned)
