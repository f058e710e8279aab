"""One page for each question."""
