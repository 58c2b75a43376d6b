"""A student played by the coach, who makes mistakes for the instructor to catch; pure."""
