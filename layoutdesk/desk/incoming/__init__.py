"""The page where a drawing comes in: how it is shown, what becomes of it, and the taking in."""
