"""The house keeps its own promises: no addresses in dependency files, links that lead somewhere."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LARGEST = 1_500_000


def tracked() -> list[Path]:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True)
    return [ROOT / name for name in listed.stdout.splitlines() if (ROOT / name).is_file()]


def test_no_dependency_file_names_a_host() -> None:
    files = [*(ROOT / "requirements").glob("*.txt"), ROOT / "pyproject.toml", ROOT / "Makefile"]
    assert len(files) >= 4
    found = [file.name for file in files if re.search(r"https?://(?!127\.0\.0\.1)", file.read_text())]
    assert found == []


def test_every_requirement_is_pinned_with_its_hash() -> None:
    for file in (ROOT / "requirements").glob("*.txt"):
        blocks = re.split(r"\n(?=\S)", file.read_text().strip())
        packages = [block for block in blocks if not block.startswith("#")]
        assert packages
        assert [block.split()[0] for block in packages if "--hash=sha256:" not in block] == []


@pytest.mark.parametrize(
    "document", sorted(ROOT.glob("*.md")) + sorted((ROOT / "docs").rglob("*.md")), ids=str
)
def test_links_of_the_docs_lead_somewhere(document: Path) -> None:
    targets = re.findall(r"\]\(([^)#\s]+)", document.read_text(encoding="utf-8"))
    local = [target for target in targets if not re.match(r"[a-z]+:", target)]
    assert [target for target in local if not (document.parent / target).exists()] == []


def test_large_files_say_their_licence() -> None:
    large = [path for path in tracked() if path.stat().st_size > LARGEST]
    told = [path for path in large if any(path.parent.glob("*LICEN*")) or any(path.parent.glob("OFL*"))]
    assert large == told


def test_the_demo_and_the_examples_thread_no_beads() -> None:
    rooms = [ROOT / "src/bylittle/demo", ROOT / "docs/guide", ROOT / "src/bylittle/library/skills"]
    texts = [path for room in rooms for path in room.rglob("*") if path.suffix in (".py", ".md", ".toml")]
    assert texts
    assert [path.name for path in texts if re.search(r"\bbeads?\b", path.read_text(), re.I)] == []


def test_no_path_of_one_machine_stands_in_the_tree() -> None:
    text = [path for path in tracked() if path.suffix in (".py", ".md", ".toml", ".html", ".sh", ".js", "")]
    pattern = re.compile(r"(?<![\w.])/(?:work|farm)/[a-z.]")
    found = [
        path.name
        for path in text
        if path != Path(__file__) and pattern.search(path.read_text(errors="ignore"))
    ]
    assert found == []
