"""What is agreed: the home plan, the goal and its levels, order of help, stop rule, the safety gate."""
