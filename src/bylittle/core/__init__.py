"""The pure core: standard library, numpy and scipy only; no clock, no chance, no files, no sentences."""
