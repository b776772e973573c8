"""Core values to PDF."""
