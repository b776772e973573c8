"""What is taught: steps and their versions, the help ladder, materials and cue words."""
