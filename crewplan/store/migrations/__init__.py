"""Steps between the database's forms, up and down, with data in place."""
