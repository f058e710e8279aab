"""The database of a branch: imports as versions, published plans, entries, and who did what.

Commands and the board may import it; the middle of the program never does. Everything in here is
loaded only when a branch has a database.
"""
