"""What can be shown: series of days and probes, phases, agreement, and the facts that a report rests on."""
