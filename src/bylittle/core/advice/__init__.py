"""What next: challenge, patterns, decision and the reason as code and numbers."""
