"""What can be shown: series, phases, attainment and report facts."""
