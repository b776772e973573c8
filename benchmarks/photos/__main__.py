"""`python -m benchmarks.photos`."""

from __future__ import annotations

import sys

from benchmarks.photos.command import main

if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
