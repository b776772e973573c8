"""Who: the team, the children, their adults, and who may see which child."""
