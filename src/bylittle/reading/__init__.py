"""A photograph of a log sheet to the ink in its bubbles."""
