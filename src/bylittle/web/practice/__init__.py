"""What happened: practice, probes and baseline, typed, tapped or imported."""
