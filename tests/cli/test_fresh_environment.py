"""The wheel without extras, in a fresh environment, advises on a log: numpy and scipy are all it needs."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
UV = Path(sys.prefix) / "bin" / "uv"
HEAD = "# skill: Pull on a rain boot\n# steps: Open the boot | Pull up\n"
HEADER = "date,turn,step,offered,result,adult,place,grade,source,note\n"

pytestmark = pytest.mark.slow


def uv(*argv: object) -> None:
    done = subprocess.run([UV, *map(str, argv)], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """`bylittle` installed from a wheel built here; offline, from the cache that the set-up filled."""
    place = tmp_path_factory.mktemp("fresh")
    locked = re.split(r"\n(?=[A-Za-z0-9])", (ROOT / "requirements" / "base.txt").read_text("utf-8"))
    core = [block for block in locked if block.startswith(("numpy==", "scipy=="))]
    (place / "core.txt").write_text("\n".join(core), "utf-8")
    python = place / "env" / "bin" / "python"
    uv("build", "--offline", "--no-build-isolation", "--python", sys.executable, "--wheel", "-o", place, ROOT)
    uv("venv", "--offline", "--python", sys.executable, place / "env")
    uv(
        *("pip", "install", "--offline", "--python", python, "--no-deps"),
        *("--require-hashes", "-r", place / "core.txt"),
    )
    uv("pip", "install", "--offline", "--python", python, *place.glob("*.whl"))
    return place / "env" / "bin" / "bylittle"


def test_nothing_else_is_installed(program: Path) -> None:
    names = {path.name.partition("-")[0] for path in program.parents[1].rglob("*.dist-info")}
    assert names == {"bylittle", "numpy", "scipy"}


def test_it_advises_on_a_log(program: Path, tmp_path: Path) -> None:
    start = date(2026, 3, 2)
    rows = (f"{start + timedelta(days=day)},1,Pull up,words,managed,M,hall,,home,\n" for day in range(8))
    log = tmp_path / "log.csv"
    log.write_text(HEAD + HEADER + "".join(rows), "utf-8")
    done = subprocess.run(
        [program, "advise", "--log", log, "--json"], cwd=tmp_path, capture_output=True, text=True, check=True
    )
    told = json.loads(done.stdout)
    assert [step["name"] for step in told["steps"]] == ["Open the boot", "Pull up"]
    assert "Pull up" in told["why"]


def test_a_part_that_needs_an_extra_names_it(program: Path, tmp_path: Path) -> None:
    argv = [program, "demo", "--data", tmp_path]
    done = subprocess.run(argv, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert 'pip install "bylittle[web]"' in done.stderr
