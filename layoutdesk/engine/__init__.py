"""What follows from a plan: pure functions without input or output; ``derive`` is the one door."""
