"""The window: the only rooms that know Qt widgets."""
