"""The proof: measures taken on site, adjusted together, and what they say of every stake."""
