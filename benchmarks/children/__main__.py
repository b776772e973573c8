"""`python -m benchmarks.children`: the table alone."""

from benchmarks.children.command import main

if __name__ == "__main__":
    raise SystemExit(main())
