"""What is agreed: home plans, the safety gate, goals, and their pages on paper."""
