"""The board: one page for each question, worded and drawn from what was worked out before."""
