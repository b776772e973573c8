"""What next: the advice, the decision and its reason, checks that a skill lasts."""
