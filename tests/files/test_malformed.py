"""Over two hundred malformed project files, made from a good one: refused in words, never with a traceback."""

import random
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from layout.cli.main import layout
from layout.errors import InputError
from tests.builders import ROOT

GOOD = (ROOT / "examples" / "market-van.yaml").read_bytes()
KINDS = 11
EACH = 20


def _wrong_type(rng: random.Random, lines: list[str]) -> str:
    places = [i for i, line in enumerate(lines) if line.startswith("    ") and ": " in line and "#" not in line]
    i = rng.choice(places)
    key = lines[i].split(":")[0]
    lines[i] = key + ": " + rng.choice(["[[1]]", "{a: {b: c}}", "''", "[]", "{}", "? x"])
    return "\n".join(lines)


def _wrong_unit(rng: random.Random, lines: list[str]) -> str:
    places = [
        i for i, line in enumerate(lines) if line.startswith(("    length:", "    width:", "    deck:", "  kerf:"))
    ]
    i = rng.choice(places)
    key = lines[i].split(":")[0]
    lines[i] = f"{key}: {rng.randint(1, 900)} {rng.choice(['furlong', 'px', 'kg', 'inchs', '°', 'mm mm', '%'])}"
    return "\n".join(lines)


def _cut_off(rng: random.Random, lines: list[str]) -> str:
    text = "\n".join(lines)
    return text[: rng.randint(1, text.index("spaces/van"))]


def _deep(rng: random.Random, lines: list[str]) -> str:
    depth = rng.randint(51, 3000)
    return "\n".join(lines) + "\nextra: " + rng.choice(["[", "{a: "]) * depth


def _alias_bomb(rng: random.Random, lines: list[str]) -> str:
    width = rng.randint(3, 9)
    rows = [f"x{n}: &x{n} [" + ", ".join([f"*x{n - 1}"] * width) + "]" for n in range(1, rng.randint(20, 60))]
    return "\n".join([*lines, "x0: &x0 [1]", *rows])


def _control(rng: random.Random, lines: list[str]) -> str:
    text = "\n".join(lines)
    at = rng.randint(1, len(text) - 1)
    return text[:at] + rng.choice("\x00\x01\x07\x08\x0b\x1b\x7f") + text[at:]


def _huge_number(rng: random.Random, lines: list[str]) -> str:
    places = [
        i
        for i, line in enumerate(lines)
        if line.startswith(("    length:", "    width:", "    deck:", "  kerf:", "  trim:"))
    ]
    i = rng.choice(places)
    number = rng.choice(
        ["9" * rng.randint(6, 400), "1e308", "-1", ".inf", ".nan", "0x" + "f" * 30, "1_000_000", "1/0", "-0.5"]
    )
    lines[i] = lines[i].split(":")[0] + f": {number}"
    return "\n".join(lines)


def _repeated(rng: random.Random, lines: list[str]) -> str:
    i = rng.choice(
        [i for i, line in enumerate(lines) if line.startswith(("  ", "    ")) and ":" in line and "#" not in line]
    )
    return "\n".join([*lines[: i + 1], lines[i], *lines[i + 1 :]])


def _misspelt(rng: random.Random, lines: list[str]) -> str:
    i = rng.choice([i for i, line in enumerate(lines) if line.startswith("    ") and ": " in line and "#" not in line])
    lines[i] = lines[i].replace(":", rng.choice("xqz") + ":", 1)
    return "\n".join(lines)


def _emptied(rng: random.Random, lines: list[str]) -> str:
    rooms = [
        "{floor: {length: 3 m, width: 2 m}, roof: {}}", "{floor: {}, roof: {0: 2 m}}", "{floor: {corners: []}, roof: {0: 2 m}}",
        "{floor: {length: 3 m, width: 2 m}, roof: {0: 2 m}, walls: {both: [{x: 0, profile: {}}]}}",
        "{floor: {length: 3 m, width: 2 m}, roof: {0: 2 m}, walls: {left: []}, front: {}}",
        "{floor: {length: 3 m, width: 2 m}, roof: {0: 2 m}, holes: {a: {}}}",
        "{floor: {length: 3 m, width: 2 m}, roof: {0: 2 m}, wheel_wells: [{}]}",
    ]  # fmt: skip
    room = rng.choice(rooms)
    return f"layout: 1\ntitle: {rng.randint(1, 999)}\nunits: mm\nspace: {room}\n"


MAKERS = [
    _wrong_type,
    _wrong_unit,
    _cut_off,
    _deep,
    _alias_bomb,
    _control,
    _huge_number,
    _repeated,
    _misspelt,
    _emptied,
]


def _malformed() -> list[tuple[str, bytes]]:
    made: dict[bytes, str] = {}
    for kind in range(KINDS):
        rng = random.Random(kind)
        for _ in range(50 * EACH):
            data = _one(kind, rng)
            if len(made) < (kind + 1) * EACH:
                made.setdefault(data, f"{kind}-{len(made)}")
    return [(name, data) for data, name in made.items()]


def _one(kind: int, rng: random.Random) -> bytes:
    if kind < len(MAKERS):
        return MAKERS[kind](rng, GOOD.decode().splitlines()).encode()
    at = rng.randint(1, len(GOOD) - 1)
    return GOOD[:at] + bytes([rng.randint(0x80, 0xBF), 0xFF]) + GOOD[at:]


CASES = _malformed()


def test_there_are_over_two_hundred_different_ones() -> None:
    """The set is as large as said, over two hundred, and none of it is the good file."""
    assert len({data for _, data in CASES}) == KINDS * EACH
    assert all(data.strip() != GOOD.strip() for _, data in CASES)


@pytest.mark.parametrize("data", [data for _, data in CASES], ids=[name for name, _ in CASES])
def test_malformed_file_is_refused_in_words(data: bytes, tmp_path: Path) -> None:
    """The file is refused with what InputError tells, a line number, and nothing written."""
    path = tmp_path / "van.yaml"
    path.write_bytes(data)
    out = tmp_path / "out"

    result = CliRunner().invoke(layout, ["book", str(path), "-o", str(out)])

    assert isinstance(result.exception, InputError), (result.exception, result.output)
    assert all(fault.line > 0 for fault in result.exception.faults)
    assert all(len(fault.text) < 600 and "Traceback" not in fault.text for fault in result.exception.faults)
    assert not out.exists()


@pytest.mark.parametrize("n", [0, 45, 105, 210])
def test_the_command_exits_with_2_and_no_traceback(n: int, tmp_path: Path) -> None:
    """The installed command, as a process, says the fault on standard error only and exits with 2."""
    path = tmp_path / "van.yaml"
    path.write_bytes(CASES[n][1])

    done = subprocess.run(
        [sys.executable, "-m", "layout", "check", str(path)], capture_output=True, text=True, check=False
    )

    assert (done.returncode, done.stdout) == (2, "")
    assert "Traceback" not in done.stderr
    assert f"{path}:" in done.stderr
