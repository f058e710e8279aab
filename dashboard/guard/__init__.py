"""Who is let in, what they may ask for, and what every answer carries against other sites."""
