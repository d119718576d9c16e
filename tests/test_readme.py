"""The README says what the program does."""

import re
import textwrap

import yaml

from layout.jobs.check import report
from layout.jobs.load import load
from tests.builders import ROOT, project_text, read

README = (ROOT / "README.md").read_text(encoding="utf-8")


def _blocks(language: str) -> list[str]:
    return [textwrap.dedent(text) for text in re.findall(rf"```{language}\n(.*?)```", README, re.DOTALL)]


def test_the_refusal_that_it_shows_is_what_the_check_says() -> None:
    """The lines shown for the refused example stand in its report."""
    [shown] = [block for block in _blocks("text") if "fail" in block]

    assert shown.strip() in report(load(str(ROOT / "examples" / "crosswise-wish.yaml")))


def test_the_project_file_that_it_explains_can_be_read() -> None:
    """The commented project in the README is a project."""
    [project] = [block for block in _blocks("yaml") if block.startswith("layout: 1")]

    assert read(project).said.title == "Two potters, a market stall and two bicycles"


def test_the_space_that_it_explains_can_be_read() -> None:
    """The commented space in the README is a space."""
    [space] = [block for block in _blocks("yaml") if block.startswith("space:")]

    assert read(project_text(**yaml.load(space, Loader=yaml.BaseLoader))).space.length == 3150


def test_setup_lines_are_there_for_ci() -> None:
    """The two lines that CI copies out of the README are the only ones of their form."""
    lines = README.splitlines()

    assert sum(line.startswith("python3 -m venv") and "layout book" in line for line in lines) == 1
    assert sum(line.startswith("python3 -m venv") and line.endswith("pytest") for line in lines) == 1
