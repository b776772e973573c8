"""Text to core values and back: practice log CSV, plan JSON."""
