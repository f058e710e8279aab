"""crewplan: which crew goes to which roof on which day, and whether modules can be lifted."""
