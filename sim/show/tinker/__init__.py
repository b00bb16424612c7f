"""The live page: sliders for the keys a builder changes, and the roll that follows them."""
