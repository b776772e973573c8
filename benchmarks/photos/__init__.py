"""Photographs of log sheets, simulated with defects by name, and how well they are read."""
