"""Use cases as plain functions over values."""
