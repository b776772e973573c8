"""Check the data files and renew the pack after one was edited: `python -m bylittle.library`."""

from __future__ import annotations

import sys

from bylittle import library
from bylittle.library import kept_skills, pack
from bylittle.library.faults import FileFault


def main() -> int:
    """0: packed; 1: a file is faulty, all faults were told and the old pack stands."""
    faults: list[FileFault] = []
    skills = {name: library.read_skill_file(name, faults) for name in pack.skill_files()}
    for fault in faults:
        print(fault)
    if faults:
        return 1
    dangers = [kept_skills.fields(each) for each in library.hazards().values()]
    files = pack.write({name: kept_skills.plain(skill) for name, skill in skills.items()}, dangers)
    print(f"packed {files} files")
    return 0


if __name__ == "__main__":
    sys.exit(main())
