"""Photos of the child's own things: opened safely, cut square, faces covered, no note of place kept."""
