"""What we believe about the child: prior, tracker, forecast and mastery, replayed from the log."""
