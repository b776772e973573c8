"""The program as a newcomer starts it: a real server, a real data directory, the verbs on it."""

from __future__ import annotations

import json
import os
import re
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from bylittle.core.evidence.child_record import ChildRecord
from bylittle.files.archive import read_archive

pytestmark = pytest.mark.slow

BYLITTLE = str(Path(sys.executable).with_name("bylittle"))
HEADER = "date,turn,step,offered,result,adult,place,grade,source,note\n"


def clean() -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("BYLITTLE", "DJANGO"))}
    kept.pop("DATABASE_URL", None)
    return kept


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def served(verb: str, data: Path, **extra: str) -> Iterator[tuple[int, list[str]]]:
    """The running program, once it says that it is ready; with what it printed."""
    port = free_port()
    command = [BYLITTLE, verb, "--data", str(data), "--port", str(port)]
    server = subprocess.Popen(
        command, env={**clean(), **extra}, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    )
    assert server.stdout is not None
    said: list[str] = []
    try:
        for line in server.stdout:
            said.append(line.strip())
            if "is ready at" in line:
                break
        assert said[-1] == f"Bylittle is ready at http://127.0.0.1:{port}"
        yield port, said
    finally:
        server.terminate()
        server.wait(timeout=30)


def page(port: int, path: str) -> str:
    with urllib.request.urlopen(f"http://127.0.0.1:{port}{path}", timeout=20) as response:
        return str(response.read().decode())


def verb(*words: str) -> tuple[int, object]:
    done = subprocess.run([BYLITTLE, *words], env=clean(), text=True, capture_output=True, timeout=120)
    return done.returncode, json.loads(done.stdout)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    data = tmp_path_factory.mktemp("demo")
    with served("demo", data, DEMO_PASSWORD="a word for the test") as (port, said):
        assert any("a word for the test" in line for line in said)
        assert "Sign in" in page(port, "/sign-in")
    return data


def test_a_second_start_keeps_the_data(demo: Path) -> None:
    before = (demo / "bylittle.sqlite3").stat().st_size
    with served("demo", demo) as (port, _):
        assert page(port, "/ready") == "ready"
    assert (demo / "bylittle.sqlite3").stat().st_size >= before


def test_children_lists_the_nine(demo: Path) -> None:
    code, found = verb("children", "--data", str(demo), "--json")
    assert code == 0
    assert isinstance(found, list)
    assert sorted(child["name"] for child in found) == [
        "Ada", "Bram", "Juno", "Noor", "Otto", "Pip", "Sol", "Teo", "Wren",
    ]  # fmt: skip
    assert all(
        set(skill) == {"id", "name", "plan", "version"} for child in found for skill in child["skills"]
    )


def test_a_service_with_few_children_keeps_the_shipped_prior(demo: Path) -> None:
    code, told = verb("fit-prior", "--data", str(demo), "--json")
    assert code == 2
    assert isinstance(told, dict)
    assert re.match(r"[1-9] children have enough practice to learn from; 20 are needed", told["fault"])
    assert not (demo / "prior.json").exists()


def test_import_takes_a_file_once_and_a_faulty_one_not_at_all(demo: Path, tmp_path: Path) -> None:
    _, found = verb("children", "--data", str(demo), "--json")
    wren = str(next(child["id"] for child in found if child["name"] == "Wren"))
    good, bad = tmp_path / "good.csv", tmp_path / "bad.csv"
    row = f"{date.today()},1,6,alone,managed,Z,,,visit,\n"
    good.write_text(HEADER + row)
    bad.write_text(HEADER + row.replace("visit", "home") + f"{date.today()},2,6,shouting,managed,Z,,,home,\n")
    call = ("--data", str(demo), "--child", wren, "--json")
    assert verb("import", str(good), *call) == (0, {"added": 1, "already": 0, "faults": []})
    assert verb("import", str(good), *call) == (0, {"added": 0, "already": 1, "faults": []})
    code, told = verb("import", str(bad), *call)
    assert code == 1
    assert isinstance(told, dict)
    assert (told["added"], [fault["line"] for fault in told["faults"]]) == (0, [3])
    assert verb("import", str(bad).replace("bad", "good"), *call)[1] == {
        "added": 0,
        "already": 1,
        "faults": [],
    }


def unnumbered(archive: Path) -> ChildRecord:
    record = read_archive(archive.read_bytes())
    return replace(record, id="", skills=tuple(replace(skill, id="") for skill in record.skills))


def test_an_archive_comes_in_again_as_a_child_of_her_own(demo: Path, tmp_path: Path) -> None:
    _, before = verb("children", "--data", str(demo), "--json")
    juno = str(next(child["id"] for child in before if child["name"] == "Juno"))
    first, second = tmp_path / "first.zip", tmp_path / "second.zip"
    go = ("export", "--data", str(demo), "--as", "archive", "--json")
    verb(*go, "--child", juno, "--out", str(first))
    code, told = verb("import", str(first), "--data", str(demo), "--json")
    assert isinstance(told, dict)
    assert (code, told["name"], told["team"] > 0) == (0, "Juno", True)
    verb(*go, "--child", str(told["child"]), "--out", str(second))
    assert unnumbered(second) == unnumbered(first)


def test_import_says_whether_a_child_is_to_be_named(demo: Path, tmp_path: Path) -> None:
    log, archive = tmp_path / "log.csv", tmp_path / "any.zip"
    log.write_text(HEADER)
    archive.write_bytes(b"PK\x03\x04 cut short")
    data = ("--data", str(demo), "--json")
    assert verb("import", str(log), *data)[0] == 2
    code, told = verb("import", str(archive), *data, "--child", "1")
    assert (code, "of her own" in str(told)) == (2, True)
    code, told = verb("import", str(archive), *data)
    assert (code, "no archive" in str(told)) == (2, True)


def test_no_records_says_what_to_do(tmp_path: Path) -> None:
    code, told = verb("children", "--data", str(tmp_path / "nowhere"), "--json")
    assert code == 2
    assert set(told) == {"fault", "mend"}
    assert not (tmp_path / "nowhere").exists()


def test_an_empty_directory_gives_a_link_for_the_first_account(tmp_path: Path) -> None:
    with served("serve", tmp_path) as (port, said):
        link = next(line for line in said if "/first-account/" in line)
        path = re.sub(r"^http://[^/]+", "", link)
        assert "Welcome to Bylittle" in page(port, path)


def test_a_taken_port_is_told(tmp_path: Path) -> None:
    with socket.socket() as holder:
        holder.bind(("127.0.0.1", 0))
        holder.listen()
        port = holder.getsockname()[1]
        command = [BYLITTLE, "serve", "--data", str(tmp_path), "--port", str(port)]
        done = subprocess.run(command, env=clean(), text=True, capture_output=True, timeout=60)
    assert done.returncode == 2
    assert "in use" in done.stderr


def test_the_demo_is_whole_and_a_broken_file_is_told_with_its_place(tmp_path: Path) -> None:
    data = tmp_path / "data"
    with served("demo", data):
        code, told = verb("verify", "--data", str(data), "--json")
    assert (code, told["whole"], told["damage"]) == (0, True, [])
    assert told["looked_at"]["marks"] > 1000
    database = data / "bylittle.sqlite3"
    database.write_bytes(database.read_bytes()[:200_000])
    code, told = verb("verify", "--data", str(data), "--json")
    assert (code, told["whole"], told["damage"][0]["where"]) == (1, False, "database")
    code, told = verb("verify", "--data", str(tmp_path / "nothing"), "--json")
    assert (code, set(told)) == (2, {"fault", "mend"})
