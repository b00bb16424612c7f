"""The card: one page for the workshop wall and the field."""
