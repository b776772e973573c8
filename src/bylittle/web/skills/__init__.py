"""What is taught to a child: her skills and their versioned steps."""
