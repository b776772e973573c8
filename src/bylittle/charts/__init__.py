"""Core series to one chart definition for screen and print."""
