"""A skill as data: its steps, what must come before what, its settings and complications. Pure."""
