"""Small spaces, things and projects that the tests build on."""

from __future__ import annotations

from pathlib import Path

import yaml

from layout.files.project import Project, read_project
from layout.jobs.load import Plan, load
from layout.model.solid import Solid, box
from layout.space.parts import Door, Hole, Obstacle
from layout.space.space import Space
from layout.space.walls import Station, Wall

ROOT = Path(__file__).resolve().parent.parent
EXAMPLES = sorted((ROOT / "examples").glob("*.yaml"))


def wall(*profile: tuple[float, float]) -> Wall:
    """Return a wall of the same profile everywhere: pairs of height and half-width."""
    return Wall(stations=(Station(x=0.0, profile=profile),))


def plain_space(
    length: float = 3000.0,
    width: float = 1700.0,
    height: float = 1800.0,
    left: Wall | None = None,
    right: Wall | None = None,
    obstacles: tuple[Obstacle, ...] = (),
    holes: tuple[Hole, ...] = (),
    doors: tuple[Door, ...] = (),
) -> Space:
    """Return a box of a room; walls given lean."""
    half = width / 2
    upright = wall((0.0, half))
    return Space(
        outline=((0.0, -half), (length, -half), (length, half), (0.0, half)),
        left=left or upright, right=right or upright, roof=((0.0, height), (length, height)),
        obstacles=obstacles, holes=holes, doors=doors,
    )  # fmt: skip


def cube(x: float, y: float, z: float, size: float) -> Solid:
    """Return a cube by its low corner."""
    return box("cube", (x, x + size), (y, y + size), (z, z + size))


BASE = {
    "layout": "1",
    "title": "test",
    "units": "mm",
    "space": {
        "floor": {"length": "3000", "width": "1700"},
        "roof": {"0": "1800", "3000": "1800"},
        "rear_door": {"width": "1500", "height": "1700", "kind": "two leaves"},
    },
}


def project_text(**more: object) -> str:
    """Return a project file: a plain room, with `more` laid over it."""
    return yaml.safe_dump({**BASE, **more}, sort_keys=False, allow_unicode=True)


def read(text: str, folder: Path | None = None) -> Project:
    """Return the project that a text says."""
    return read_project(text.encode(), "van.yaml", folder)


def plan_of(folder: Path, **more: object) -> Plan:
    """Return the checked plan of a project file with `more` laid over the plain room."""
    path = folder / "van.yaml"
    path.write_text(project_text(**more), encoding="utf-8")
    return load(str(path))
