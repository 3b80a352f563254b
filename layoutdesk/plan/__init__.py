"""What is given: the plan as an immutable value, its edits and its file."""
