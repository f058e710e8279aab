"""Plans and verdicts as JSON, as rows of the plan table and as text for a terminal."""
