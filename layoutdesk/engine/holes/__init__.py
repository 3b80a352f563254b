"""What is dug, caged, sawn and poured for each pier, and the holes as they came out."""
