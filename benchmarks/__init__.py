"""What the tool promises, measured: run `python -m benchmarks` (or `make bench`)."""
