"""A roll as a moving side view: its story as one plain document, and what is drawn from it."""
