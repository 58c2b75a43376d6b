"""Whether the plan of rehearsals is worth its minutes: see `__main__`."""
