"""What a start must have, one rule a file; each says in plain words what it took away."""
