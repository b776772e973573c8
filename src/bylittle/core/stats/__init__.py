"""Arrays in, values out; knows nothing of children."""
