"""How fast the records answer, and how fast they are made anew."""
