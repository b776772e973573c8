"""Trade knowledge as data files with a loader, and every sentence meant for people."""
