"""The edge: the clock, and the way from a branch folder to a plan, a verdict and the board."""
