"""Palette, type, help bar and chain line: one source for screen and print."""
