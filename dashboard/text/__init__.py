"""The board's words."""
