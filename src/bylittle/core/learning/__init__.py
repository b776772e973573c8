"""What we believe: prior, tracker, forecast, mastery."""
