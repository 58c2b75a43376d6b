"""How the tables of the records came about, one step after the other."""
