"""Every public statistic has its page in docs/methods, and the pages name nothing that is not there."""

from __future__ import annotations

import inspect
import re
from pathlib import Path

import pytest

from bylittle.core.stats import (
    agreement,
    attainment,
    autocorrelation,
    between_case,
    conservative_dual,
    overlap,
    proportions,
    randomization,
    ratios,
    separation,
    trend,
)

PAGES = Path(__file__).parents[3] / "docs" / "methods"
MODULES = {
    module.__name__.rsplit(".", 1)[-1]: module
    for module in (
        agreement,
        attainment,
        autocorrelation,
        between_case,
        conservative_dual,
        overlap,
        proportions,
        randomization,
        ratios,
        separation,
        trend,
    )
}
PUBLIC = [
    (name, function)
    for name, module in MODULES.items()
    for function, value in vars(module).items()
    if inspect.isfunction(value) and value.__module__ == module.__name__ and not function.startswith("_")
]
# `most_kept` is the step that PAND and IRD share.
STEPS = {"most_kept"}
PARTS = ("**Question.**", "**Formula.**", "**Source.**", "**When it misleads.**", "**Do not use**")


def pages() -> list[Path]:
    """The pages of this family: those that the index links to."""
    linked = re.findall(r"\]\(([a-z-]+\.md)\) \|", (PAGES / "README.md").read_text("utf-8"))
    return [PAGES / name for name in linked]


@pytest.mark.parametrize(("module", "function"), PUBLIC, ids=lambda value: str(value))
def test_statistic_is_described(module: str, function: str) -> None:
    text = "".join(page.read_text("utf-8") for page in pages())
    assert function in STEPS or re.search(rf"\b{function}\b", text)


@pytest.mark.parametrize("page", pages(), ids=lambda page: page.stem)
def test_page_answers_its_questions(page: Path) -> None:
    text = page.read_text("utf-8")
    assert [part for part in PARTS if part not in text] == []


@pytest.mark.parametrize("page", pages(), ids=lambda page: page.stem)
def test_page_names_what_is_there(page: Path) -> None:
    calls = re.findall(rf"`({'|'.join(MODULES)})\.(\w+)", page.read_text("utf-8"))
    assert calls
    assert [call for call in calls if not hasattr(MODULES[call[0]], call[1])] == []


def test_pages_were_found() -> None:
    assert len(pages()) == 16
    assert len(PUBLIC) > 30
