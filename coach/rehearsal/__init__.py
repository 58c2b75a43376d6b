"""When to rehearse which skill next, from what came of it so far: pure, and handed the time."""
