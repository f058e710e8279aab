"""The office brings tables: they are read, what they would change is shown, and it is asked."""
