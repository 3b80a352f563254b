"""How high everything is: the level book, the ground, strings, pier tops and column cuts."""
