"""What happened: turns, marks, probes and stops in a log that only grows."""
